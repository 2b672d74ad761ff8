"""The page that holds two groups of runs against each other: chips, two strips, sentences.

With NumPy, so imported only where a page is made.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

import numpy as np
from sqlmodel import Session

from server.domain.base.durations import format_apart
from server.domain.base.errors import Fault
from server.domain.base.text import with_capital
from server.domain.drift.pairs import chosen, compared
from server.store.across_runs import plan_keys
from server.web.drift.cells import beyond_chance
from server.web.drift.choice import Choice, OptionGroup, choice_words, chosen_runs, options
from server.web.drift.drift_reading import DriftReading
from server.web.drift.groups import DifferenceRow, PairTable, pair_table
from server.web.drift.interval_strip import IntervalStrip, strips
from server.web.drift.trend_address import day_from
from server.web.frame.editing import routine_context
from server.web.frame.forms import Form
from server.web.frame.shown import RoutinePage
from server.web.runs.strips import Bed, RunStrip, StripMaker

AT_HAND = {"All", "Kind of run", "Venue", "Before and after"}
"""Kinds of groups that stand open; the others are folded."""

SIDES = (("first", "These runs"), ("second", "Against"))
MOST_TOLD = 3


@dataclass(frozen=True)
class ChoiceChip:
    """A group of runs that one touch puts on a side, or takes off it."""

    words: str
    url: str
    chosen: bool


@dataclass(frozen=True)
class Side:
    """One side of the comparison: what is chosen, and what could be."""

    key: str
    title: str
    name: str
    size: int
    words: tuple[str, ...]
    chips: tuple[ChoiceChip, ...]
    more: tuple[tuple[str, tuple[ChoiceChip, ...]], ...]
    """Further chips, each kind under its title."""


@dataclass(frozen=True, kw_only=True)
class VersusPage(RoutinePage, folder="versus"):
    """The page."""

    headline: str
    runs: int
    sides: tuple[Side, ...]
    form: Form
    result: PairTable | None
    bed: Bed
    drawn: tuple[RunStrip, ...]
    sentences: tuple[str, ...]
    intervals: tuple[IntervalStrip, ...]


def versus_page_of(
    session: Session,
    reading: DriftReading,
    first: tuple[str, ...],
    second: tuple[str, ...],
    typed: Mapping[str, str],
) -> VersusPage:
    """The page for the words that name either side, and the days that narrow it down."""
    faults: list[Fault] = []
    days = {name: day_from(name, text, faults) for name, text in typed.items()}
    plans = plan_keys(session, reading.stored.routine.id)
    offered = options(reading, plans)
    choices = (
        Choice(first, days["first_since"], days["first_until"]),
        Choice(second, days["second_since"], days["second_until"]),
    )
    ids = chosen_runs(reading, plans, *choices)
    found = compared(reading.drift.table, chosen(reading.drift.table, *ids))
    (is_sure,) = beyond_chance([found.total])
    table = pair_table(reading.drift, found, is_sure)
    result = None if found.total is None else table
    names = tuple(choice_words(each, offered) for each in choices)
    maker = StripMaker(reading.stored.routine, reading.rules, reading.counted)
    base = f"/routines/{reading.stored.routine.id}/drift/compare"
    return VersusPage(
        **routine_context(session, reading.stored, "runs"),
        headline=_headline(names, result),
        runs=reading.drift.table.runs,
        sides=tuple(
            _side(
                base, n, {"first": first, "second": second}, typed, offered, names[n], len(ids[n])
            )
            for n in range(2)
        ),
        form=Form(typed, tuple(faults)),
        result=result,
        bed=maker.bed(),
        drawn=tuple(_typical(reading, maker, names[n], ids[n]) for n in range(2)) if result else (),
        sentences=_sentences(result),
        intervals=tuple(strips([table.total, *table.segments])),
    )


def _side(
    base: str,
    n: int,
    words: Mapping[str, tuple[str, ...]],
    typed: Mapping[str, str],
    offered: list[OptionGroup],
    name: str,
    size: int,
) -> Side:
    key, title = SIDES[n]

    def chip(value: str, text: str) -> ChoiceChip:
        now = words[key]
        kept = tuple(each for each in now if each != value)
        asked = {**words, key: kept if value in now else (*now, value)}
        query = urlencode({**asked, **{k: v for k, v in typed.items() if v}}, doseq=True)
        return ChoiceChip(text, f"{base}?{query}", value in now)

    made = [
        (group.title, tuple(chip(each.value, each.words) for each in group.options))
        for group in offered
    ]
    open_chips = [each for kind, chips in made if kind in AT_HAND for each in chips]
    folded = tuple((kind, chips) for kind, chips in made if kind not in AT_HAND)
    # What is chosen stands open, whatever kind it is of.
    open_chips += [each for _, chips in folded for each in chips if each.chosen]
    return Side(key, title, name, size, words[key], tuple(open_chips), folded)


def _headline(names: tuple[str, ...], result: PairTable | None) -> str:
    if result is None:
        return "Compare runs"
    one, other = with_capital(names[0]), names[1]
    if not result.total.shift.sure:
        return f"{one} against {other}: no difference beyond chance"
    return f"{one}: {_difference(result.total)} than {other}"


def _difference(row: DifferenceRow) -> str:
    return format_apart(row.shift_s or 0.0, "longer", "shorter", "no longer", tenths=True)


def _sentences(result: PairTable | None) -> tuple[str, ...]:
    """Whether the totals differ beyond chance, and which segments do."""
    if result is None:
        return ()
    total = result.total
    sure = "more than chance would do" if total.shift.sure else "no more than chance does"
    told = [f"Typically {total.first} against {total.second}: {_difference(total)}, {sure}."]
    told += [
        f"“{row.name}” is {_difference(row)}."
        for row in sorted(result.segments, key=lambda row: -abs(row.shift_s or 0.0))
        if row.shift.sure
    ][:MOST_TOLD]
    if len(told) == 1:
        told.append("No segment differs beyond chance.")
    return tuple(told)


def _typical(reading: DriftReading, maker: StripMaker, name: str, ids: list[str]) -> RunStrip:
    """The medians of a group as a strip."""
    table = reading.drift.table
    rows = [table.run_ids.index(key) for key in ids]
    splits = {}
    for column, key in enumerate(table.segment_ids[: table.planned_columns]):
        known = table.splits_s[rows, column]
        known = known[np.isfinite(known)]
        if known.size:
            splits[key] = float(np.median(known))
    totals = table.total_s[rows]
    return maker.typical(name, splits, float(np.median(totals)))
