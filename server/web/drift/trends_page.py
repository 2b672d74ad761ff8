"""The page of trends: three sentences, the next run, the goal, and sections folded beneath.

With NumPy, so imported only where a page is made: the app starts without it.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from sqlmodel import Session

from server.domain.base.errors import Fault
from server.domain.drift.analysis import Drift
from server.domain.drift.sentence import DriftSentence
from server.domain.drift.sentences import sentences
from server.domain.drift.wording import day as day_words
from server.store.goals import load_goal
from server.store.routines import StoredRoutine
from server.web.drift import view
from server.web.drift.drift_reading import ALWAYS, DriftReading, Span, read_drift
from server.web.drift.goal_form import Aim, aim, goal_values, goal_words
from server.web.drift.groups import PairTable, pair_tables
from server.web.drift.pictures import PictureData, picture_data
from server.web.drift.trend_address import ALL, SECTIONS, AskedOfTrends, day_from
from server.web.drift.trends import TrendTold, headline, three
from server.web.frame.editing import routine_context
from server.web.frame.forms import Form
from server.web.frame.shown import RoutinePage
from server.web.plan.chances import Chance, NextRunTold, chances_of, told_of
from server.web.plan.outlook import Outlooks

SAID = ("changed", "removed")
WEEKS = (2, 4, 8)

WITH_PICTURES = {"lost", "segments", "forecasts", "claims"}


@dataclass(frozen=True)
class Chip:
    """Something to choose by one touch."""

    words: str
    query: str
    chosen: bool


@dataclass(frozen=True)
class Section:
    """A part of the page that is folded until it is asked for."""

    key: str
    words: str
    query: str
    shown: bool


@dataclass(frozen=True, kw_only=True)
class TrendsPage(RoutinePage, folder="drift"):
    """The page of trends."""

    headline: str
    reading: DriftReading
    drift: Drift
    chips: tuple[Chip, ...]
    dates: Form
    spanned: str
    """The chosen days in words; "" for all."""
    span_query: str
    three: tuple[TrendTold, ...]
    sentences: tuple[DriftSentence, ...]
    sections: tuple[Section, ...]
    shown: frozenset[str]
    told: NextRunTold | None
    chances: tuple[Chance, ...]
    untold: str
    aim: Aim | None
    goal_told: str
    goal_said: str
    editing: bool
    form: Form
    rows: list[view.SeriesRow]
    links: list[tuple[str, str, str]]
    link_groups: list[str]
    past: list[view.ForecastRow]
    tellable: view.Tellable | None
    calibration: list[view.CalibrationRow]
    pairs: list[PairTable]
    pictures: PictureData | None


def trends_page_of(
    session: Session,
    stored: StoredRoutine,
    outlooks: Outlooks,
    day: date,
    asked: AskedOfTrends,
    form: Form | None = None,
) -> TrendsPage:
    """The page; `form` is a goal that was typed and refused."""
    faults: list[Fault] = []
    days = {name: day_from(name, getattr(asked, name), faults) for name in ("since", "until")}
    span = Span(**days)
    reading = read_drift(session, stored, outlooks, span=span)
    drift, rules, routine_id = reading.drift, reading.rules, stored.routine.id
    found = sentences(drift, today=day) if drift.table.runs else ()
    goal, ahead = load_goal(session, routine_id).now, reading.ahead
    shown = frozenset(SECTIONS if asked.open == ALL else {asked.open} & set(SECTIONS))
    if not drift.table.runs:
        shown = frozenset()
    needs_pictures = bool(shown & WITH_PICTURES)
    query = _query(span)
    return TrendsPage(
        **routine_context(session, stored, "runs"),
        headline=headline(drift, reading.counted),
        reading=reading,
        drift=drift,
        chips=_chips(span, day),
        dates=Form({"since": asked.since, "until": asked.until}, tuple(faults)),
        spanned=_span_words(span),
        span_query=query,
        three=three(reading, found) if drift.table.runs else (),
        sentences=found,
        sections=_sections(shown, query),
        shown=shown,
        told=None if ahead is None else told_of(ahead, rules, routine_id),
        chances=chances_of(ahead.forecast, rules, routine_id) if ahead else (),
        untold=reading.untold,
        aim=aim(goal, reading.lines),
        goal_told=goal_words(goal, ahead.forecast, rules) if goal and ahead else "",
        goal_said=asked.goal if asked.goal in SAID else "",
        editing=asked.edit == "goal",
        form=form or goal_values(goal, rules),
        rows=view.series_rows(reading) if "figures" in shown else [],
        links=view.links(drift) if "figures" in shown else [],
        link_groups=view.together_groups(drift) if "figures" in shown else [],
        past=view.forecast_rows(reading),
        tellable=view.tellable(drift),
        calibration=view.calibration_rows(drift.calibration),
        pairs=pair_tables(drift, drift.pairs) if "groups" in shown else [],
        pictures=picture_data(reading) if needs_pictures else None,
    )


def _chips(span: Span, day: date) -> tuple[Chip, ...]:
    chips = [Chip("all runs", "", span == ALWAYS)]
    for weeks in WEEKS:
        since = Span(since=day - timedelta(weeks=weeks))
        chips.append(Chip(f"last {weeks} weeks", _query(since), span == since))
    return tuple(chips)


def _sections(shown: frozenset[str], query: str) -> tuple[Section, ...]:
    joined = f"&{query}" if query else ""
    return tuple(
        Section(key, words, f"open={key}{joined}", key in shown) for key, words in SECTIONS.items()
    )


def _query(span: Span) -> str:
    said = (("since", span.since), ("until", span.until))
    return "&".join(f"{name}={day.isoformat()}" for name, day in said if day)


def _span_words(span: Span) -> str:
    words: Sequence[str] = [
        f"{word} {day_words(day)}"
        for word, day in (("since", span.since), ("up to", span.until))
        if day
    ]
    return " ".join(words)
