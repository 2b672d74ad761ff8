import time

import pytest

from server.domain.glass.figures import Estimate
from server.web.frame.filters import FILTERS, day
from tests.table import table

SECONDS = (None, 0, 59.94, 59.96, 589.6, -75)


@pytest.fixture
def berlin(monkeypatch):
    """A server whose clock on the wall is that of Berlin."""
    monkeypatch.setenv("TZ", "Europe/Berlin")
    time.tzset()
    yield
    monkeypatch.undo()
    time.tzset()


@pytest.mark.parametrize(
    ("lacks", "shown"), [((), "20 % (19–21)"), (("samphire oil",), "at least 19 %")]
)
def test_what_is_at_least_so_much_is_the_low_end_and_has_no_range(lacks, shown):
    assert FILTERS["estimate"](Estimate(20.0, 19.0, 21.0, lacks), unit="%") == shown


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("duration", ["–", "0:00", "0:59.9", "1:00", "9:49.6", "−1:15"]),
        ("clock", ["–", "0:00", "1:00", "1:00", "9:50", "−1:15"]),
        ("signed", ["–", "±0.0 s", "+59.9 s", "+60.0 s", "+589.6 s", "−75.0 s"]),
    ],
)
def test_seconds_read_as(name, shown):
    assert [FILTERS[name](value) for value in SECONDS] == shown


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("clock_ms", ["–", "0:00", "1:00", "1:00", "9:50", "−1:15"]),
        ("split_ms", ["–", "0:00.0", "0:59.9", "1:00.0", "9:49.6", "−1:15.0"]),
    ],
)
def test_milliseconds_read_as(name, shown):
    ms = [None if value is None else value * 1000 for value in SECONDS]
    assert [FILTERS[name](value) for value in ms] == shown


def test_a_split_is_rounded_as_the_stage_rounds_it():
    assert FILTERS["split_ms"](41_250) == "0:41.3"


def test_measured_differences_are_told_to_the_tenth():
    told = [FILTERS["apart_ms"](ms, "longer", "shorter") for ms in (None, 20, 1840, -940)]
    assert told == ["–", "on plan", "1.8 s longer", "0.9 s shorter"]
    assert [FILTERS["spread_ms"](ms) for ms in (None, 0, 4060)] == ["–", "0.0 s", "4.1 s"]


def test_an_instant_is_told_by_the_clock_on_the_wall(berlin):
    assert day(1_790_000_000_000) == "21 Sep 2026, 16:13"


@pytest.mark.parametrize("ms", [None, 2**53])
def test_an_instant_that_has_no_date_is_a_dash(ms):
    assert day(ms) == "–"


@pytest.mark.parametrize(
    ("number", "words", "shown"),
    [
        (1, ("run",), "1 run"),
        (2, ("run",), "2 runs"),
        (0, ("process", "processes"), "0 processes"),
    ],
)
def test_a_number_agrees_with_its_noun(number, words, shown):
    assert FILTERS["count"](number, *words) == shown


@pytest.mark.parametrize(
    ("share", "words"),
    [(0, "0 %"), (0.004, "under 1 %"), (0.286, "29 %"), (0.996, "over 99 %"), (1, "100 %")],
)
def test_a_chance_is_never_said_to_be_none_or_certain_where_it_is_neither(share, words):
    assert FILTERS["percent"](share) == words


@table(
    "known, shown",
    [
        (Estimate(347.2, 320.1, 380.4), "350 ml (320–380)"),
        (Estimate(347.2, 340.1, 349.4), "347 ml (340–349)"),
        (Estimate(3412.0, 2900.0, 3900.0), "3400 ml (2900–3900)"),
        (Estimate(347.2, 320.1, 380.4, ("mix",)), "at least 320 ml"),
        (Estimate(347.2, 320.1, 380.4, ("mix",), is_open=True), "about 350 ml"),
    ],
)
def test_a_whole_number_is_written_as_far_as_its_range_carries_it(known, shown):
    # The value itself would say how much to the millilitre, which nobody knows.
    assert FILTERS["estimate"](known, 0, "ml") == shown


def test_a_range_below_zero_has_no_dash_among_its_minus_signs():
    assert FILTERS["estimate"](Estimate(-4.0, -5.0, 3.0), 0, "°C") == "−4 °C (−5 to 3)"
