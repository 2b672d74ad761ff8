from dataclasses import replace
from datetime import UTC, date, timedelta, timezone

from server.domain.base.durations import DAY_MS, HOUR_MS
from server.domain.drift.sessions import sessions, started_at
from server.domain.runs.labels import Occasion
from tests.factories import NOW_MS, make_line

MIDNIGHT_MS = NOW_MS - NOW_MS % DAY_MS


def line(run_id, total_s=590.0, *, day=0, hour=18, venue="", tags=(), **changes):
    started_ms = MIDNIGHT_MS + day * DAY_MS + hour * HOUR_MS
    return make_line(
        total_s, id=run_id, started_ms=started_ms, occasion=Occasion(venue, tags), **changes
    )


def ids(found):
    return [[run.id for run in session.runs] for session in found]


def test_runs_of_a_day_at_a_venue_make_a_session_the_latest_day_first():
    lines = [line("a"), line("b", hour=19), line("c", day=1), line("d", day=1, venue="Studio")]
    assert ids(sessions(lines, UTC)) == [["c"], ["d"], ["a", "b"]]


def test_the_day_is_that_of_the_time_zone():
    lines = [line("a", hour=23), line("b", day=1, hour=1)]
    assert len(sessions(lines, UTC)) == 2
    (found,) = sessions(lines, timezone(timedelta(hours=3)))
    assert found.day == date.fromtimestamp(lines[1].started_ms / 1000)


def test_a_session_tells_what_its_counted_runs_came_to():
    runs = [
        line("a", 610, tags=("coach",)),
        line("b", 590, tags=("coach", "alone")),
        line("c", 600),
        line("d", 300, status="abandoned"),
    ]
    (found,) = sessions(runs, UTC)
    assert (found.first_ms, found.best_ms, found.median_ms) == (610_000, 590_000, 600_000)
    assert found.inside(600) == 2
    assert found.tags == ("coach", "alone")


def test_a_session_of_broken_off_runs_has_no_times():
    (found,) = sessions([line("a", 300, status="abandoned")], UTC)
    assert (found.best_ms, found.median_ms, found.first_ms) == (None, None, None)


def test_a_run_that_was_never_started_belongs_to_no_session():
    assert sessions([replace(line("a"), status="waiting", started_ms=None)], UTC) == ()


def test_a_clock_beyond_the_calendar_gives_no_day():
    lost = replace(line("a"), started_ms=9_000_000_000_000_000)
    assert started_at(lost, UTC) is None
    assert sessions([lost, line("b")], UTC)[-1].day is None
