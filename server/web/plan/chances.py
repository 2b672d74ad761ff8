"""Chances in words and figures, as the pages of the plan say them."""

from dataclasses import dataclass

from server.domain.base.durations import format_clock
from server.domain.risk.outcome import QUANTILES, Forecast
from server.domain.routine.rules import RuleSheet
from server.web.frame.filters import decimal, percent


@dataclass(frozen=True)
class Chance:
    """A figure of a forecast: `id` is the same wherever it stands, so that it can be followed."""

    id: str
    name: str
    value: str


def chances_of(forecast: Forecast, rules: RuleSheet) -> tuple[Chance, ...]:
    """The figures that stand beside the tape."""
    found = [
        Chance("inside", f"Inside the slot of {format_clock(rules.slot_s)}",
               percent(forecast.chance_inside)),
        Chance("target", f"By the target {format_clock(rules.target_s)}",
               percent(forecast.chance_target)),
        Chance("penalty", "Expected penalty", f"{decimal(forecast.penalty, 1)} points"),
        Chance("finish", "Finish, half of all slots", format_clock(quantile(forecast, 0.5))),
        Chance("spread", "Four in five finish between", f"{format_clock(quantile(forecast, 0.1))} "
               f"and {format_clock(quantile(forecast, 0.9))}"),
    ]  # fmt: skip
    found += [
        Chance(f"ready-{each.id}", f"{each.name}: ready in time", percent(each.chance_ready))
        for each in forecast.processes
    ]
    if rules.cutoff_s is not None:
        name = f"Stopped at {format_clock(rules.cutoff_s)}"
        found.append(Chance("cutoff", name, percent(forecast.chance_cut_off)))
    return tuple(found)


def quantile(forecast: Forecast, probability: float) -> float:
    """One of the quantiles that a forecast holds, in seconds."""
    return forecast.quantiles_s[QUANTILES.index(probability)]
