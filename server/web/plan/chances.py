"""What is told of the next run, as every page tells it.

The words themselves are the domain's (`server.domain.risk.saying`), so that files have them too.
"""

from dataclasses import dataclass

from server.domain.base.durations import format_clock
from server.domain.risk.next_run import NextRun
from server.domain.risk.outcome import Forecast
from server.domain.risk.saying import (
    in_a_hundred,
    inside_words,
    interval_words,
    median_words,
    past_words,
    why_words,
)
from server.domain.routine.rules import RuleSheet
from server.web.frame.filters import decimal


@dataclass(frozen=True)
class Chance:
    """A figure of a forecast: `id` is the same wherever it stands, so that it can be followed."""

    id: str
    name: str
    value: str


@dataclass(frozen=True)
class NextRunTold:
    """The next run in a few words, for pages that do not show every figure.

    `inside`, `finish` and `spread` are those of `chances_of`; `wide` is the spread of 95 in 100.
    """

    routine_id: str
    sentence: str
    inside: str
    finish: str
    spread: str
    wide: str
    why: str
    past: str


def chances_of(forecast: Forecast, rules: RuleSheet, routine_id: str) -> tuple[Chance, ...]:
    """The figures that stand beside the tape; their ids name the routine."""
    found = [
        Chance("inside", f"Finish within {format_clock(rules.slot_s)}",
               in_a_hundred(forecast.chance_inside)),
        Chance("target", f"By the target {format_clock(rules.target_s)}",
               in_a_hundred(forecast.chance_target)),
        Chance("penalty", "Points you risk", penalty(forecast)),
        Chance("finish", "Typical finish", median_words(forecast)),
        Chance("spread", "Most runs finish between", interval_words(forecast)),
    ]  # fmt: skip
    found += [
        Chance(f"ready-{each.id}", f"{each.name}: ready in time", in_a_hundred(each.chance_ready))
        for each in forecast.processes
    ]
    if rules.cutoff_s is not None:
        name = f"Stopped at {format_clock(rules.cutoff_s)}"
        found.append(Chance("cutoff", name, in_a_hundred(forecast.chance_cut_off)))
    return tuple(Chance(f"{each.id}:{routine_id}", each.name, each.value) for each in found)


def told_of(next_run: NextRun, rules: RuleSheet, routine_id: str) -> NextRunTold:
    """The next run in a few words."""
    forecast = next_run.forecast
    return NextRunTold(
        routine_id=routine_id,
        sentence=inside_words(forecast, rules.slot_s),
        inside=in_a_hundred(forecast.chance_inside),
        finish=median_words(forecast),
        spread=interval_words(forecast),
        wide=interval_words(forecast, 0.95),
        why=why_words(next_run.why),
        past=past_words(next_run.past),
    )


def penalty(forecast: Forecast) -> str:
    """The points that are lost on average."""
    return f"{decimal(forecast.penalty, 1)} points"
