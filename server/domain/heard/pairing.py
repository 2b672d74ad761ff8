"""Which words of the talk are the script's: in order, then what was swapped or said twice."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

from server.domain.base.errors import InvalidInput
from server.domain.heard.matching import (
    MOST_CELLS,
    Likenesses,
    WordPair,
    best_pairs,
    likenesses,
)
from server.domain.heard.script_words import Laid, ScriptSentence
from server.domain.heard.strays import TORN_WORDS, hole_words, without_strays

LEAST_SHARE = 0.3
"""Of a sentence's words by weight: with fewer it was not said, only some of its words were."""

ELSEWHERE_SHARE = 0.5
"""The same for a sentence found out of its order, where chance has more places to look."""

BESIDE_SHARE = 0.4
"""The same where it is said right beside another sentence of its own segment."""

NEAR_OWN = 3
"""Words between two sentences of a segment that count as beside one another."""

TWICE_SHARE = 0.55
"""The same for a sentence that was said already."""

LONGEST_SLIP = 15
"""Words between a sentence that was broken off and the same begun again."""

SLIP_SHARE, LEAST_TWICE = 0.38, 1.6
"""Of a sentence said twice: the share where it was broken off just before, and the least weight."""

LEAST_WEIGHT = 2.0
"""Of what is found out of order: two full words."""

SHORTEST_STRETCH = 3
"""Words of the talk in a row that are looked through for what is out of order."""

FAR_WORDS, FAR_WEIGHT, FAR_SHARE = 8, 3.0, 0.8
"""The first or last sentence behind more words of something else than these was found by chance,
where less than this weight and this share of it was, or it is torn.
"""


@dataclass
class Paired:
    """What was found: the pairs of each sentence, those out of order, and what was said twice."""

    laid: Laid
    alike: Likenesses
    by_sentence: dict[int, list[WordPair]] = field(default_factory=dict)
    swapped: set[int] = field(default_factory=set)
    twice: list[tuple[int, list[WordPair]]] = field(default_factory=list)

    def share(self, number: int, pairs: Sequence[WordPair]) -> float:
        """How much of a sentence these pairs find, by weight, 0 to 1."""
        sentence = self.laid.sentences[number]
        whole = float(self.alike.weights[sentence.first : sentence.stop].sum())
        return self.weight(pairs) / whole if whole else 0.0

    def weight(self, pairs: Iterable[WordPair]) -> float:
        """What these pairs weigh."""
        return sum(float(self.alike.weights[each.script]) * each.likeness for each in pairs)

    def taken_for_chance(self) -> "Paired":
        """The same two texts with nothing found in them."""
        return Paired(self.laid, self.alike)

    def taken(self) -> set[int]:
        """The words of the talk from the first to the last of each sentence found."""
        taken: set[int] = set()
        for pairs in [*self.by_sentence.values(), *(pairs for _, pairs in self.twice)]:
            if pairs:
                taken |= set(range(pairs[0].heard, pairs[-1].heard + 1))
        return taken


def paired(laid: Laid) -> Paired:
    """The sentences of the script with their words in the talk."""
    if len(laid.script) * len(laid.heard) > MOST_CELLS:
        raise InvalidInput.of("file", "That is too much talk for one routine: cut it to one run.")
    alike = likenesses([each.stem for each in laid.script], [each.stem for each in laid.heard])
    found = Paired(laid, alike)
    pairs = best_pairs(alike, range(len(laid.script)), range(len(laid.heard)))
    for number, own in _by_sentence(laid, pairs).items():
        own = without_strays(laid, own)
        if found.share(number, own) >= LEAST_SHARE:
            found.by_sentence[number] = own
    _drop_far_ends(found)
    _find_swapped(found)
    _find_twice(found)
    return found


def _drop_far_ends(found: Paired) -> None:
    """Take a first or last sentence for chance that lies far off: a host says such words too."""
    for is_last in (False, True):
        while len(found.by_sentence) > 1:
            numbers = sorted(found.by_sentence)
            end, beside = (numbers[-1], numbers[-2]) if is_last else (numbers[0], numbers[1])
            one, other = sorted(
                (found.by_sentence[end], found.by_sentence[beside]),
                key=lambda pairs: pairs[0].heard,
            )
            if hole_words(one[-1], other[0]) <= FAR_WORDS or not _is_slight(found, end):
                break
            del found.by_sentence[end]


def _is_slight(found: Paired, number: int) -> bool:
    pairs = found.by_sentence[number]
    is_torn = any(hole_words(one, other) > TORN_WORDS for one, other in pairwise(pairs))
    if found.weight(pairs) >= FAR_WEIGHT:
        return False
    return is_torn or found.share(number, pairs) < FAR_SHARE


def _by_sentence(laid: Laid, pairs: Iterable[WordPair]) -> dict[int, list[WordPair]]:
    owner = _owners(laid)
    grouped: dict[int, list[WordPair]] = {}
    for pair in pairs:
        grouped.setdefault(owner[pair.script], []).append(pair)
    return grouped


def _owners(laid: Laid) -> list[int]:
    """For each word of the script the number of its sentence."""
    return [
        number
        for number, sentence in enumerate(laid.sentences)
        for _ in range(sentence.first, sentence.stop)
    ]


def _find_swapped(found: Paired) -> None:
    """Sentences that were said, but not in their turn: looked for where the talk is unexplained."""
    laid = found.laid
    for _ in range(4):
        missing = _runs_of(
            [number for number in range(len(laid.sentences)) if number not in found.by_sentence]
        )
        news = [
            (found.weight(pairs), number, pairs)
            for block in missing
            for stretch in _free_stretches(found)
            for number, pairs in _local(found, block, stretch)
            if found.share(number, pairs) >= _least_share(found, number, pairs)
            and found.weight(pairs) >= LEAST_WEIGHT
        ]
        if not news:
            return
        taken = found.taken()
        for _, number, pairs in sorted(news, key=lambda each: -each[0]):
            span = set(range(pairs[0].heard, pairs[-1].heard + 1))
            if number not in found.by_sentence and not span & taken:
                found.by_sentence[number] = pairs
                found.swapped.add(number)
                taken |= span
    return


def _least_share(found: Paired, number: int, pairs: Sequence[WordPair]) -> float:
    """How much of a sentence must be found out of its order, by what is said beside it."""
    sentences = found.laid.sentences
    is_beside = any(
        sentences[other].segment == sentences[number].segment
        and (
            0 < own[0].heard - pairs[-1].heard <= NEAR_OWN
            or 0 < pairs[0].heard - own[-1].heard <= NEAR_OWN
        )
        for other, own in found.by_sentence.items()
    )
    return BESIDE_SHARE if is_beside else ELSEWHERE_SHARE


def _find_twice(found: Paired) -> None:
    """Sentences that were said a second time."""
    numbers = sorted(found.by_sentence)
    if not numbers:
        return
    for stretch in _free_stretches(found):
        behind = [n for n in numbers if found.by_sentence[n][0].heard > stretch[-1]]
        following = min(behind, key=lambda n: found.by_sentence[n][0].heard, default=None)
        # Of two sentences alike the one that comes next is begun, broken off and begun again.
        for chosen in ([following] if following is not None else [], numbers):
            said = [one for one in _local(found, chosen, stretch) if _is_again(found, *one)]
            found.twice += said
            if said:
                break


def _is_again(found: Paired, number: int, pairs: Sequence[WordPair]) -> bool:
    """Whether enough of a sentence was said for it to be said a second time."""
    apart = found.by_sentence[number][0].heard - pairs[-1].heard
    least = SLIP_SHARE if 0 < apart <= LONGEST_SLIP else TWICE_SHARE
    return found.share(number, pairs) >= least and found.weight(pairs) >= LEAST_TWICE


def _local(
    found: Paired, numbers: Sequence[int], stretch: Sequence[int]
) -> list[tuple[int, list[WordPair]]]:
    """The sentences of a block as far as they are found in a stretch of the talk."""
    words = [at for number in numbers for at in _places(found.laid.sentences[number])]
    pairs = best_pairs(found.alike, words, stretch, ends_free=True)
    return [
        (number, without_strays(found.laid, own))
        for number, own in _by_sentence(found.laid, pairs).items()
    ]


def _places(sentence: ScriptSentence) -> range:
    return range(sentence.first, sentence.stop)


def _free_stretches(found: Paired) -> list[list[int]]:
    taken = found.taken()
    free = _runs_of([at for at in range(len(found.laid.heard)) if at not in taken])
    return [run for run in free if len(run) >= SHORTEST_STRETCH]


def _runs_of(numbers: Sequence[int]) -> list[list[int]]:
    """Ascending numbers in runs without a gap."""
    runs: list[list[int]] = []
    for number in numbers:
        if runs and runs[-1][-1] == number - 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return runs
