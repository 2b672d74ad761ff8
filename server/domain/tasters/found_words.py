"""What tasters found of a blind list: each word held against the rate at which decoys are ticked.

Counted are those who said that they are done and were not kept apart. Each word is tested against
all decoys by the exact test of `exact.as_many_by_chance` and corrected for the number of words.
"""

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from server.domain.base.rates import wilson
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.exact import (
    LEVEL,
    Stratum,
    as_many_by_chance,
    cochran,
    fisher,
    holm,
    mcnemar,
)
from server.domain.tasters.sitting import Sitting
from server.domain.tasters.taster_answers import Answer, Moment

Verdict = Literal["found", "nobody", "unsure"]
Oddity = Literal["", "all", "none"]

FEW = 0.5
"""Where even the upper bound of who finds a word is below this, hardly anybody finds it."""


@dataclass(frozen=True)
class WordFinding:
    """A word: found by `found` of `tasters`, with the bounds of that share (Wilson, 95 %).

    `p` is corrected for the number of words; for decoys it is 1, they are not tested. `place` is
    where it stands on the card.
    """

    word: str
    asked: AskedWord
    place: int
    found: int
    tasters: int
    low: float
    high: float
    p: float
    whens: Mapping[Moment, int]
    strength: float | None
    """The mean of those who said how strongly, 1 to 3."""

    @property
    def verdict(self) -> Verdict:
        """Whether it is found more often than decoys are ticked."""
        if self.found and self.p <= LEVEL:
            return "found"
        return "nobody" if self.is_missed else "unsure"

    @property
    def is_missed(self) -> bool:
        """Whether nobody found it, and so many tasted that more than half surely do not."""
        return self.found == 0 and self.high < FEW


@dataclass(frozen=True)
class Findings:
    """All words of a list, stated ones first by how often they were found, then the decoys.

    `apart_p` is how often chance alone sets the stated words as far apart from one another.
    """

    stated: tuple[WordFinding, ...]
    decoys: tuple[WordFinding, ...]
    tasters: int
    apart_p: float = 1.0

    @property
    def decoy_ticks(self) -> int:
        """How often any decoy was ticked."""
        return sum(each.found for each in self.decoys)

    @property
    def decoys_shown(self) -> int:
        """How often any decoy could have been ticked."""
        return self.tasters * len(self.decoys)

    @property
    def fewest(self) -> int:
        """With how many tasters a word can be found at all; 0 without decoys, where none can.

        At best each ticks it and no decoy, and chance alone does that once in decoys + 1 cards. By
        Holm the likeliest word is held against the level divided by the number of words.
        """
        if not self.stated or not self.decoys:
            return 0
        cards = len(self.decoys) + 1
        tasters = 1
        while len(self.stated) / cards**tasters > LEVEL:
            tasters += 1
        return tasters

    def count(self, verdict: Verdict) -> int:
        """How many of the stated words have that verdict."""
        return sum(each.verdict == verdict for each in self.stated)


@dataclass(frozen=True)
class WordBeside:
    """A word in two sittings, and how likely chance alone sets them so far apart (corrected)."""

    word: str
    one: WordFinding
    other: WordFinding
    p: float

    @property
    def differs(self) -> bool:
        """Whether they differ beyond chance."""
        return self.p <= LEVEL


def findings(sitting: Sitting, answers: Sequence[Answer]) -> Findings:
    """What these answers say of the words of a sitting."""
    places = range(len(sitting.words))
    decoys = [place for place in places if sitting.words[place].is_decoy]
    stated = [place for place in places if place not in decoys]
    chances = holm([_chance(place, decoys, answers) for place in stated])
    found = [_finding(sitting, place, answers, p) for place, p in zip(stated, chances, strict=True)]
    beside = [_finding(sitting, place, answers, 1.0) for place in decoys]
    said = [[answer.has(place) for place in stated] for answer in answers]
    return Findings(_by_count(found), _by_count(beside), len(answers), cochran(said))


def oddity(sitting: Sitting, answer: Answer) -> Oddity:
    """Whether one ticked everything, or nothing: then their card tells no words apart."""
    ticked = sum(answer.has(place) for place in range(len(sitting.words)))
    return "none" if ticked == 0 else "all" if ticked == len(sitting.words) else ""


def beside(
    one: Findings, other: Findings, both: Sequence[tuple[Answer, Answer]] = ()
) -> tuple[WordBeside, ...]:
    """The stated words that two sittings have in common, held against each other.

    `both` are the cards of those who tasted both. Where all of either sitting did, each of them is
    held against themself, which shows more with fewer people.
    """
    theirs = {each.word.casefold(): each for each in other.stated}
    pairs = [
        (mine, theirs[mine.word.casefold()])
        for mine in one.stated
        if mine.word.casefold() in theirs
    ]
    are_same = len(both) > 0 and len(both) == one.tasters == other.tasters
    chances = holm(
        [
            _changed(a.place, b.place, both)
            if are_same
            else fisher(a.found, a.tasters, b.found, b.tasters)
            for a, b in pairs
        ]
    )
    return tuple(
        WordBeside(mine.word, mine, their, p)
        for (mine, their), p in zip(pairs, chances, strict=True)
    )


def _changed(place: int, other: int, both: Sequence[tuple[Answer, Answer]]) -> float:
    found = [(first.has(place), second.has(other)) for first, second in both]
    return mcnemar(found.count((False, True)), found.count((True, False)))


def _chance(place: int, decoys: Sequence[int], answers: Sequence[Answer]) -> float:
    hits = sum(answer.has(place) for answer in answers)
    strata = [
        Stratum(1, len(decoys), answer.has(place) + sum(map(answer.has, decoys)))
        for answer in answers
    ]
    return as_many_by_chance(hits, strata)


def _finding(sitting: Sitting, place: int, answers: Sequence[Answer], p: float) -> WordFinding:
    ticks = [tick for answer in answers for tick in answer.ticks if tick.word == place]
    strengths = [tick.strength for tick in ticks if tick.strength]
    low, high = wilson(len(ticks), len(answers))
    return WordFinding(
        word=sitting.words[place].word,
        asked=sitting.words[place],
        place=place,
        found=len(ticks),
        tasters=len(answers),
        low=low,
        high=high,
        p=p,
        whens=Counter(tick.when for tick in ticks if tick.when),
        strength=sum(strengths) / len(strengths) if strengths else None,
    )


def _by_count(found: Sequence[WordFinding]) -> tuple[WordFinding, ...]:
    return tuple(sorted(found, key=lambda each: (-each.found, each.p)))
