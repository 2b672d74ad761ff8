"""How often each claim was said over the counted runs, for the runs page."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from server.domain.claims.heard import HeardDescriptor, most_forgotten
from server.domain.routine.routine import Routine
from server.domain.runs.summary import RunLine


@dataclass(frozen=True)
class HeardLine:
    """A claim with its count; `wrong` of the runs in which it was not heard said it wrongly."""

    label: str
    drink: str
    count: HeardDescriptor
    wrong: int


def heard_lines(routine: Routine, lines: Iterable[RunLine]) -> tuple[HeardLine, ...]:
    """Every claim that someone ticked in a counted run, the one most likely forgotten first.

    A claim said wrongly was not said: it counts as missed.
    """
    verdicts = [line.summary.claims for line in lines if line.counts]
    names = {drink.id: drink.name for drink in routine.drinks}
    return tuple(
        HeardLine(
            label=claim_words(count.label),
            drink=names.get(count.label.partition(":")[0], ""),
            count=count,
            wrong=sum(ticks.get(count.label) == "wrong" for ticks in verdicts),
        )
        for count in most_forgotten(_ticks(verdicts))
    )


def _ticks(verdicts: Iterable[Mapping[str, str]]) -> dict[str, list[bool]]:
    ticks: dict[str, list[bool]] = {}
    for each in verdicts:
        for key, verdict in each.items():
            ticks.setdefault(key, []).append(verdict == "heard")
    return ticks


def claim_words(key: str) -> str:
    """The words at the end of a key: "drink-1:descriptor:ripe pear"."""
    return key.split(":", 2)[-1]
