"""What came of a tasting: its tasters, and the words or the choice they agree on."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from server.domain.base.text import plain_name
from server.domain.tasters.found_words import Findings, Oddity, findings, oddity
from server.domain.tasters.sitting import Sitting
from server.domain.tasters.taster_answers import Answer
from server.domain.tasters.telling_apart import DifferenceOutcome, outcome
from server.store.tastings.tasters import Taster, tasters_of

ODD_WORDS: dict[Oddity, str] = {
    "all": "ticked everything",
    "none": "ticked nothing",
    "": "",
}


@dataclass(frozen=True)
class TasterLine:
    """One who tasted, and what is odd about their card."""

    taster: Taster
    state: str
    odd: str


@dataclass(frozen=True)
class Result:
    """A tasting with those who tasted; a list has findings, the others an outcome."""

    sitting: Sitting
    people: tuple[Taster, ...]
    found: Findings | None
    outcome: DifferenceOutcome | None

    @property
    def tasters(self) -> int:
        """How many count."""
        return sum(each.counts for each in self.people)


def result_of(session: Session, sitting: Sitting) -> Result:
    """What came of a sitting so far."""
    people = tasters_of(session, sitting.id)
    counted = [each for each in people if each.counts]
    if sitting.kind == "list":
        found = findings(sitting, [each.answer for each in counted])
        return Result(sitting, tuple(people), found, None)
    hits = sum(_is_hit(sitting, each) for each in counted)
    seen = outcome(sitting.kind, hits, len(counted), sitting.aim.alpha)
    return Result(sitting, tuple(people), None, seen)


def in_both(one: Result, other: Result) -> list[tuple[Answer, Answer]]:
    """The cards of those who count in both tastings, by their name where nobody shares it."""
    mine, theirs = _by_name(one), _by_name(other)
    return [(answer, theirs[name]) for name, answer in mine.items() if name in theirs]


def _by_name(result: Result) -> dict[str, Answer]:
    named = [(plain_name(each.name), each.answer) for each in result.people if each.counts]
    names = Counter(name for name, _ in named)
    return {name: answer for name, answer in named if name and names[name] == 1}


def taster_lines(result: Result) -> tuple[TasterLine, ...]:
    """Those who tasted as the host's page lists them."""
    return tuple(_line(result.sitting, each) for each in result.people)


def odd_tasters(lines: Sequence[TasterLine]) -> int:
    """How many cards that count tell no words apart."""
    return sum(bool(each.odd) and each.taster.counts for each in lines)


def _line(sitting: Sitting, taster: Taster) -> TasterLine:
    state = "done" if taster.answer.done else "still tasting"
    odd = ""
    if chosen := _chosen(sitting, taster):
        state = f"{state}, {chosen}"
    if sitting.kind == "list" and taster.answer.done:
        odd = ODD_WORDS[oddity(sitting, taster.answer)]
    return TasterLine(taster, "kept apart" if taster.apart else state, odd)


def _chosen(sitting: Sitting, taster: Taster) -> str:
    """Which glass one chose, once their card is handed in; "" of a list."""
    if sitting.kind == "list" or not taster.answer.done:
        return ""
    if sitting.kind == "triangle":
        return "named the odd glass" if _is_hit(sitting, taster) else "named another glass"
    return f"prefers version {sitting.sets[taster.place - 1].version_of(taster.answer.chosen)}"


def _is_hit(sitting: Sitting, taster: Taster) -> bool:
    """Whether one named the odd glass; of two, whether they prefer version A."""
    glasses = sitting.sets[taster.place - 1]
    return taster.answer.chosen == glasses.odd
