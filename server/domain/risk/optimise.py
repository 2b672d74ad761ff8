"""An order of the movable segments with a better chance to finish with everything ready.

Local search: move one block to another place or swap two, keep the best step, stop where none
helps. A block is a segment with those that run alongside it. All orders are tried on the same
drawn slots, so the search is steady and repeatable; it finds a good order, not provably the best.
"""

from collections.abc import Collection, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import combinations, pairwise

from server.domain.base.errors import NotFound
from server.domain.risk.model import Model
from server.domain.risk.parts import Parts, TimedSegment
from server.domain.risk.trials import Score, Trials
from server.domain.routine.rules import RuleSheet

SLOTS = 2048
MOST_TRIES = 1500
MOST_WORK = 15_000
"""Orders tried times segments in each: a plan of ten segments has all its tries."""

Order = tuple[str, ...]
Blocks = tuple[Order, ...]


@dataclass(frozen=True)
class OrderProposal:
    """An order of segments (ids) and how it scores beside the order now.

    `moved_ids` are the fewest that must be moved to get there; none where nothing better was
    found. `tries` is how many orders were simulated; `exhausted` says that the search
    stopped for their number, so that a better order may be near.
    """

    order: Order
    moved_ids: Order
    before: Score
    after: Score
    tries: int
    exhausted: bool


def propose_order(
    model: Model,
    rules: RuleSheet,
    movable_ids: Collection[str],
    keep_orders: Iterable[Sequence[str]] = (),
    most_tries: int = MOST_TRIES,
) -> OrderProposal:
    """A better order, to which only the segments of `movable_ids` are moved.

    What runs alongside a segment moves with it. Kept are: what is linked after something, a
    process between its start and its use, every sequence in `keep_orders` (the segments of one
    drink, say), the order of all others, and the first and last segment where they are not
    movable. Raises NotFound for unknown ids.
    """
    known = {segment.id for segment in model.parts.segments}
    if not known.issuperset(movable_ids):
        raise NotFound("A segment to be moved is no longer in the plan. Load the page again.")
    movable = frozenset(
        each for block in _blocks(model.parts) if block[0] in movable_ids for each in block
    )
    pairs = _before_after(model.parts, movable, keep_orders)
    most_tries = min(most_tries, MOST_WORK // max(len(known), 1))
    return _Search(Trials(model, rules, SLOTS), movable, pairs, most_tries).run()


def in_order(parts: Parts, order: Sequence[str]) -> Parts:
    """The parts with their segments in the order of these ids."""
    by_id: dict[str, TimedSegment] = {segment.id: segment for segment in parts.segments}
    return replace(parts, segments=tuple(by_id[each] for each in order))


def _before_after(
    parts: Parts, movable: frozenset[str], keep_orders: Iterable[Sequence[str]]
) -> frozenset[tuple[str, str]]:
    """Pairs of ids of which the first must stay before the second."""
    pairs = {(other, each.id) for each in parts.segments for other in each.after_ids}
    pairs |= {
        (process.after_id, process.before_id)
        for process in parts.processes
        if process.after_id is not None and process.before_id is not None
    }
    ids = [segment.id for segment in parts.segments]
    fixed = [each for each in ids if each not in movable]
    for order in (fixed, *keep_orders):
        pairs |= set(pairwise(order))
    if ids and ids[0] not in movable:
        pairs |= {(ids[0], each) for each in ids[1:]}
    if ids and ids[-1] not in movable:
        pairs |= {(each, ids[-1]) for each in ids[:-1]}
    return frozenset(pairs)


class _Search:
    def __init__(
        self,
        trials: Trials,
        movable: frozenset[str],
        before_after: frozenset[tuple[str, str]],
        most_tries: int,
    ) -> None:
        self._trials = trials
        self._parts = trials.model.parts
        self._movable = movable
        self._before_after = before_after
        self._most_tries = most_tries
        self._seen: dict[Order, Score] = {}

    def run(self) -> OrderProposal:
        start = _blocks(self._parts)
        before = self._score(start)
        best, better = start, self._better(start)
        while better is not None:
            best, better = better, self._better(better)
        return OrderProposal(
            order=_flat(best),
            moved_ids=_moved(_flat(start), _flat(best)),
            before=before,
            after=self._score(best),
            tries=len(self._seen),
            exhausted=len(self._seen) >= self._most_tries,
        )

    def _better(self, blocks: Blocks) -> Blocks | None:
        """The best of all orders one step away; None where none is better."""
        best, best_score = None, self._score(blocks)
        for candidate in self._steps(blocks):
            if len(self._seen) >= self._most_tries:
                break
            score = self._score(candidate)
            if score > best_score:
                best, best_score = candidate, score
        return best

    def _steps(self, blocks: Blocks) -> Iterator[Blocks]:
        movable = [block for block in blocks if block[0] in self._movable]
        candidates = [_put(blocks, block, to) for block in movable for to in range(len(blocks))]
        candidates += [_swapped(blocks, one, other) for one, other in combinations(movable, 2)]
        for candidate in dict.fromkeys(candidates):
            if candidate != blocks and self._is_allowed(_flat(candidate)):
                yield candidate

    def _is_allowed(self, order: Order) -> bool:
        places = {each: place for place, each in enumerate(order)}
        return all(
            places[first] < places[second]
            for first, second in self._before_after
            if first in places and second in places
        )

    def _score(self, blocks: Blocks) -> Score:
        order = _flat(blocks)
        if order not in self._seen:
            self._seen[order] = self._trials.score(self._trials.of(in_order(self._parts, order)))
        return self._seen[order]


def _blocks(parts: Parts) -> Blocks:
    blocks: list[Order] = []
    for segment in parts.segments:
        if segment.alongside and blocks:
            blocks[-1] = (*blocks[-1], segment.id)
        else:
            blocks.append((segment.id,))
    return tuple(blocks)


def _flat(blocks: Blocks) -> Order:
    return tuple(each for block in blocks for each in block)


def _put(blocks: Blocks, block: Order, to: int) -> Blocks:
    rest = [other for other in blocks if other != block]
    return (*rest[:to], block, *rest[to:])


def _swapped(blocks: Blocks, one: Order, other: Order) -> Blocks:
    places = {one: other, other: one}
    return tuple(places.get(block, block) for block in blocks)


def _moved(before: Order, after: Order) -> Order:
    """The fewest ids to take out and put elsewhere: those off the longest unmoved sequence."""
    places = [before.index(each) for each in after]
    nothing: list[int] = []
    longest: list[list[int]] = []
    for place in places:
        fitting = [one for one in longest if one[-1] < place]
        run: list[int] = max(fitting, key=len, default=nothing)
        longest.append([*run, place])
    unmoved: list[int] = max(longest, key=len, default=nothing)
    return tuple(each for each, place in zip(after, places, strict=True) if place not in unmoved)
