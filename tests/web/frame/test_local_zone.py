import time
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from server.web.frame.local_zone import LOCAL, today
from tests.laws import ON_ONE_FOLDER

BERLIN = "Europe/Berlin"
DECADE_S = (1_600_000_000, 1_900_000_000)


@pytest.fixture(scope="module")
def berlin():
    """The server stands in Berlin while the tests of this module run."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("TZ", BERLIN)
        time.tzset()
        yield
    time.tzset()


@settings(suppress_health_check=ON_ONE_FOLDER)
@given(st.integers(*DECADE_S))
def test_every_moment_is_shown_as_the_time_zone_database_has_it(berlin, at_s):
    there = datetime.fromtimestamp(at_s, ZoneInfo(BERLIN))
    here = datetime.fromtimestamp(at_s, LOCAL)
    assert here.replace(tzinfo=None, fold=0) == there.replace(tzinfo=None, fold=0)


def test_summer_time_is_that_of_the_day_and_not_of_today(berlin):
    summer, winter = (
        datetime.fromtimestamp(datetime(2026, month, 1, 12, tzinfo=UTC).timestamp(), LOCAL)
        for month in (7, 1)
    )
    assert (summer.hour, winter.hour) == (14, 13)
    assert (summer.utcoffset().seconds, winter.utcoffset().seconds) == (7200, 3600)


def test_a_day_begins_at_midnight_of_the_server(berlin):
    late_ms = int(datetime(2026, 7, 1, 22, 30, tzinfo=UTC).timestamp() * 1000)
    assert today(late_ms) == date(2026, 7, 2)
