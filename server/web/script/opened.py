"""What opens beside the script and the ledger: one claim, or one sentence, with all it hangs on."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import partial

from server.domain.base.amounts import Amount
from server.domain.base.durations import format_clock
from server.domain.claims.cures import Cure, cures_of, held_as_meant
from server.domain.claims.pace import Paces, costs
from server.domain.claims.rows import LedgerRow
from server.domain.routine.edits import part_of
from server.domain.routine.routine import Routine, Segment
from server.web.drinks.checked import Checked
from server.web.drinks.view import Glass, told_glass
from server.web.script.check import row_id, sentence_id
from server.web.script.claims_view import LedgerLine, line_of

FILL = 0.8
"""How full the larger of two measuring glasses is drawn."""

SAME_S = 0.5
"""A change of less is none that a clock shows."""


@dataclass(frozen=True)
class MeasuringGlass:
    """A measuring glass: what it holds, whose figure that is, and how full it is drawn (0 to 1)."""

    amount: str
    whose: str
    filled: float
    is_said: bool


@dataclass(frozen=True)
class WayToSettle:
    """A way to settle a claim: its button, and what it changes."""

    cure: str
    words: str
    effect: str


@dataclass(frozen=True)
class OpenedClaim:
    """A claim with its measures, the ways to settle it, and when it is tasted.

    `givers` are the parts (id, name) of which one may give what nothing is on record as giving.
    """

    line: LedgerLine
    measures: tuple[MeasuringGlass, ...]
    givers: tuple[tuple[str, str], ...]
    ways: tuple[WayToSettle, ...]
    tasted_s: float | None

    @property
    def said_s(self) -> tuple[float, ...]:
        """The moments in the slot at which it is said."""
        return tuple(
            place.saying.at_s for place in self.line.shown if place.saying.at_s is not None
        )


@dataclass(frozen=True)
class OpenSentence:
    """A sentence with its seconds, and what becomes of its claims without it."""

    id: str
    segment: Segment
    number: int
    index: int
    text: str
    seconds: float
    losses: tuple[str, ...]

    @property
    def choice(self) -> str:
        """What names it where a change is tried."""
        return f"{self.segment.id}:{self.index}"


def open_claim(found: Checked, routine: Routine, claim_id: str, paces: Paces) -> OpenedClaim | None:
    """The claim with that id; None where nobody makes it any more."""
    row = next((each for each in found.ledger.every if row_id(each.key) == claim_id), None)
    if row is None:
        return None
    tasted = [each.from_s for each in found.case.tastings if each.drink_id == row.drink_id]
    return OpenedClaim(
        line=line_of(row, routine),
        measures=_measures(row, routine),
        givers=tuple(_givers(row, routine)),
        ways=tuple(_ways(row, routine, paces)),
        tasted_s=tasted[0] if tasted else None,
    )


def open_sentence(
    found: Checked, routine: Routine, wanted: str, paces: Paces
) -> OpenSentence | None:
    """The sentence with that id; None where it is no longer in the script."""
    for number, segment in enumerate(routine.segments, 1):
        if not wanted.startswith(sentence_id(segment.id, 0)[:-1]):
            continue
        for cost in costs(segment.said, paces.of(segment.id), routine.language):
            if sentence_id(segment.id, cost.index) == wanted:
                losses = _losses(found.ledger.rows, segment.id, cost.index)
                text = segment.said[cost.start : cost.end]
                return OpenSentence(
                    wanted, segment, number, cost.index, text, cost.seconds, tuple(losses)
                )
    return None


def _losses(rows: Iterable[LedgerRow], segment_id: str, index: int) -> Iterable[str]:
    """What becomes of each claim of a sentence when that is left out."""
    here = (segment_id, index)
    for row in rows:
        places = [(each.segment_id, each.sentence_index) for each in row.sayings]
        if here not in places or not row.is_checked:
            continue
        left = [each for each, at in zip(row.sayings, places, strict=True) if at != here]
        if not left:
            yield f"“{row.label}” is then never said."
        elif places[0] == here and left[0].at_s is not None:
            yield f"“{row.label}” is then first said at {format_clock(left[0].at_s)}."


def _measures(row: LedgerRow, routine: Routine) -> tuple[MeasuringGlass, ...]:
    """The amount that is said beside the recipe's, where they are not the same."""
    held = held_as_meant(row, routine)
    if row.said is None or held is None:
        return ()
    sizes = [_size(row.said), _size(held.amount)]
    most = max(sizes)
    if not most:
        return ()
    beside = "recipe, each" if held.is_each else "the recipe"
    said, recipe = (round(FILL * size / most, 3) for size in sizes)
    return (
        MeasuringGlass(str(row.said), "you say", said, is_said=True),
        MeasuringGlass(str(held.amount), beside, recipe, is_said=False),
    )


def _size(amount: Amount) -> float:
    return amount.volume_ml or amount.value


def _givers(row: LedgerRow, routine: Routine) -> Iterable[tuple[str, str]]:
    is_wanting = row.is_checked and row.state == "unbacked" and row.polarity != "lacks"
    if row.kind not in ("descriptor", "perhaps") or not is_wanting:
        return
    meant = [drink for drink in routine.drinks if row.drink_id in (drink.id, None)]
    for drink in meant:
        of_which = f" ({drink.name})" if len(meant) > 1 else ""
        yield from ((part.id, f"{part.name}{of_which}") for part in drink.ingredients)


def _ways(row: LedgerRow, routine: Routine, paces: Paces) -> Iterable[WayToSettle]:
    cures = cures_of(row, routine)
    for cure in sorted(cures, key=lambda each: not each.is_likely):
        yield WayToSettle(cure.id, cure.words, _effect(cure, row, routine, paces))


def _effect(cure: Cure, row: LedgerRow, routine: Routine, paces: Paces) -> str:
    if cure.routine.drinks == routine.drinks:
        return _longer(routine.segments, cure.routine, paces)
    return _other_glass(row, routine, cure.routine)


def _longer(segments: Sequence[Segment], after: Routine, paces: Paces) -> str:
    """How much longer a changed text takes, in words."""
    change_s = sum(
        _spoken_s(now, after, paces) - _spoken_s(before, after, paces)
        for before, now in zip(segments, after.segments, strict=True)
        if before.said != now.said
    )
    if abs(change_s) < SAME_S:
        return "a few words change, the time stays"
    return f"{abs(change_s):.0f} s {'longer' if change_s > 0 else 'shorter'} to say"


def _spoken_s(segment: Segment, routine: Routine, paces: Paces) -> float:
    pace = paces.of(segment.id)
    return sum(each.seconds for each in costs(segment.said, pace, routine.language))


def _other_glass(row: LedgerRow, routine: Routine, after: Routine) -> str:
    """What another amount makes of the glass, in words."""
    if row.drink_id is None:
        return "the glass changes"
    before, now = (
        told_glass(part_of(each.drinks, row.drink_id), each)[0] for each in (routine, after)
    )
    told = filter(None, map(partial(_change, before, now), _FIGURES))
    return "; ".join(told) or "the glass stays much the same"


_FIGURES = (
    ("sugar_to_acid", "sugar to acid {} : 1, now {} : 1", 0),
    ("abv_percent", "{} % vol, now {} %", 1),
    ("volume_ml", "{} ml a serve, now {} ml", 0),
)
"""What of a glass is told of: its name among the totals, the words, and decimals."""


def _change(before: Glass | None, now: Glass | None, figure: tuple[str, str, int]) -> str:
    name, words, places = figure
    if before is None or now is None:
        return ""
    values = [getattr(each.balance.serve, name) for each in (now, before)]
    if any(each is None or not math.isfinite(each.value) for each in values):
        return ""
    then, today = (f"{each.value:.{places}f}" for each in values)
    return words.format(then, today) if then != today else ""
