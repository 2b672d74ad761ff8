"""What stands around a flavour word, as names that weights are learnt for.

Nothing beyond the sentence counts: what is said before does not change what a sentence claims.
Names read as they are meant: "1 before is taste" for a word of the kind right before it, "2 behind
and" for the word itself, "left smoke" for a word within six, "rules has" for what rules made of it.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

from server.domain.claims.context import Role
from server.domain.claims.learnt.clause import of_the_clause
from server.domain.claims.learnt.mention_told import Told
from server.domain.claims.learnt.word_kinds import kinds_of
from server.domain.claims.lexicon import LITERAL_FAMILIES, Entry
from server.domain.claims.scene import Scene
from server.domain.claims.words.compounds import head_of

_FAR, _FAR_BEHIND, _BESIDE = 10, 8, 6
"""Words before and behind it whose kinds count, and on either side that count by themselves."""

_ENDINGS = ("y", "ed", "ing", "ness", "s", "ish", "er", "est", "ity")


@dataclass(frozen=True)
class Surroundings:
    """What stands around a mention: as it is said, and as rules read it and what is beside it.

    Rules that were tuned on a text read it better than others, so that their part of it is left
    out where weights are learnt from such a text.
    """

    said: tuple[str, ...]
    ruled: tuple[str, ...]


def surroundings(scene: Scene, told: Sequence[Told]) -> Iterator[tuple[int, Surroundings]]:
    """The place in `told` and the surroundings of each mention that may be a claim."""
    common: tuple[str, ...] | None = None
    claimed = sum(one.role is Role.CLAIM for one in told)
    for place, one in enumerate(told):
        if one.mention.descriptor is None or one.mention.first in scene.measured:
            continue
        common = _of_sentence(scene) if common is None else common
        own = _Around(scene, told, place, one.mention.descriptor)
        beside = claimed - (one.role is Role.CLAIM)
        yield place, Surroundings((*common, *own.said()), tuple(own.ruled(beside)))


def _of_sentence(scene: Scene) -> tuple[str, ...]:
    words, first, end = scene.words, scene.first, scene.end
    size = end - first
    found = [f"has {kind}" for kind in _kinds(words[first:end])]
    found.append("words " + ("1-3" if size <= 3 else "4-8" if size <= 8 else "9-16" if size <= 16
                             else "17-"))  # fmt: skip
    found.append("measured" if scene.measured else "nothing measured")
    if any(token.is_number for token in scene.tokens[first:end]):
        found.append("digits")
    if end < len(scene.tokens) and "?" in scene.tokens[end].gap:
        found.append("asks")
    if scene.is_told:
        found.append("story around")
    return tuple(found)


def _kinds(words: Sequence[str]) -> set[str]:
    return {kind for word in words for kind in kinds_of(word)}


@lru_cache(maxsize=20_000)
def _kinds_there(name: str, word: str, what: str) -> tuple[str, ...]:
    """The kinds of a word at a place beside what is looked at."""
    kinds = kinds_of(word)
    return (
        *(f"{name} is {kind}" for kind in kinds),
        *(f"{name} is {kind}, {what}" for kind in kinds),
    )


@lru_cache(maxsize=20_000)
def _endings_of(word: str) -> tuple[str, ...]:
    return tuple(ending for ending in _ENDINGS if word.endswith(ending))


@lru_cache(maxsize=500)
def _kind_before(kind: str, within: str) -> tuple[str, str]:
    # Kept, for a name that is there already is looked up in half the time.
    return f"before is {kind}", f"before is {kind} within {within}"


class _Around:
    """One mention of a scene."""

    def __init__(self, scene: Scene, told: Sequence[Told], place: int, entry: Entry) -> None:
        self.scene, self.told, self.place = scene, told, place
        self.mention = told[place].mention
        self.entry = entry
        self.is_adjective = entry.family in LITERAL_FAMILIES
        self.part = "part" if self.mention.ingredient_ids else "no part"
        self.listed = "listed" if scene.is_listed(self.mention) else "not listed"
        self.company = "needs company" if entry.needs_company else "stands alone"
        if entry.is_weighed:
            self.company = "weighed"
        self.decision = told[place].decision
        self.cue = ""
        self.endings = _endings_of(self._word(-1))

    def said(self) -> list[str]:
        """What is said, and what the word is."""
        mention, entry = self.mention, self.entry
        form = " ".join(self.scene.words[mention.first : mention.end])
        found = ["always", f"family {entry.family}", f"means {head_of(entry)}", f"form {form}",
                 self.part, self.listed, self.company, f"{self.part}, {self.listed}",
                 f"{self.part}, {entry.family}"]  # fmt: skip
        if mention.is_slip:
            found.append("slip")
        if mention.end - mention.first > 1:
            found.append("phrase")
        if entry.head:
            found.append("compound")
        if mention.answer:
            found.append("answers a scale")
        found += [f"ends -{ending}" for ending in self.endings]
        found += self._beside()
        found += self._marks()
        found += self._before()
        found += self._behind()
        found += of_the_clause(self.scene.tokens, mention.first, self.scene.first, self.part)
        return found

    def ruled(self, claimed: int) -> list[str]:
        """What rules made of it and of those beside it, so many of which are claims."""
        made = f"rules {self.decision}"
        found = [made, f"{made}, {self.part}", f"{made}, {self.listed}", f"{made}, {self.company}",
                 f"{made}, {self.entry.family}"]  # fmt: skip
        found += [f"{made}, -{ending}" for ending in self.endings]
        if self.cue:
            found.append(f"{made}, nearest {self.cue}")
        for name, at in (("mate before", self.place - 1), ("mate behind", self.place + 1)):
            if not 0 <= at < len(self.told):
                found.append(f"no {name}")
                continue
            mate = self.told[at]
            is_behind = self.mention.first > mate.mention.first
            pair = (mate.mention, self.mention)
            low, high = pair if is_behind else pair[::-1]
            apart = "near" if high.first - low.end <= 2 else "far"
            family = mate.mention.descriptor.family if mate.mention.descriptor else None
            kin = "kin" if family == self.entry.family else "of another family"
            found += [f"{name} {mate.decision} {apart}", f"{name} {mate.decision} {apart}, {made}",
                      f"{name} {kin}"]  # fmt: skip
        if self.told[self.place].is_open:
            found.append("rules end")
        return [*found, f"others claimed {min(claimed, 3)}", f"others {min(len(self.told) - 1, 4)}"]

    def _word(self, steps: int) -> str:
        """The word so many steps behind the mention (0: right behind), or before its end."""
        at = self.mention.end + steps
        if at < self.scene.first:
            return "^"
        return self.scene.words[at] if at < self.scene.end else "$"

    def _beside(self) -> list[str]:
        size = self.mention.end - self.mention.first
        one, two, three = (self._word(-size - steps) for steps in (1, 2, 3))
        next_, second, third = (self._word(steps) for steps in (0, 1, 2))
        found = [f"1 before {one}", f"2 before {two}", f"3 before {three}", f"1 behind {next_}",
                 f"2 behind {second}", f"3 behind {third}", f"before {two} {one}",
                 f"behind {next_} {second}", f"between {one} and {next_}",
                 f"1 before {one}, {self.part}", f"1 behind {next_}, {self.part}"]  # fmt: skip
        what = f"{'adjective' if self.is_adjective else 'noun'}, {self.part}"
        for name, word in (("1 before", one), ("2 before", two), ("1 behind", next_),
                           ("2 behind", second)):  # fmt: skip
            found += _kinds_there(name, word, what)
        return found

    def _marks(self) -> list[str]:
        tokens, mention, scene = self.scene.tokens, self.mention, self.scene
        is_first, is_last = mention.first <= scene.first, mention.end >= len(tokens)
        before = "^" if is_first else tokens[mention.first].gap.strip("-'")[:1]
        behind = "$" if is_last or mention.end > scene.end else tokens[mention.end].gap.strip("-'")
        return [f"mark before {before}", f"mark behind {behind[:1]}",
                f"marks {before} {behind[:1]}"]  # fmt: skip

    def _before(self) -> list[str]:
        words, first = self.scene.words, self.mention.first
        found: list[str] = []
        seen: set[str] = set()
        for at in range(first - 1, max(self.scene.first, first - _FAR) - 1, -1):
            steps = first - at
            if steps <= _BESIDE:
                found.append(f"left {words[at]}")
            within = "3" if steps <= 3 else "6" if steps <= 6 else "10"
            for kind in kinds_of(words[at]):
                if kind in seen:
                    continue
                seen.add(kind)
                found += _kind_before(kind, within)
                if kind in ("taste", "act") and not self.cue:
                    self.cue = kind
                    found += [f"nearest {kind}", f"nearest {kind}, {self.part}"]
        return found

    def _behind(self) -> list[str]:
        words, end = self.scene.words, self.mention.end
        found: list[str] = []
        seen: set[str] = set()
        for at in range(end, min(self.scene.end, end + _FAR_BEHIND)):
            if at - end < _BESIDE:
                found.append(f"right {words[at]}")
            within = "3" if at - end < 3 else "8"
            for kind in kinds_of(words[at]):
                if kind not in seen:
                    seen.add(kind)
                    found.append(f"behind is {kind} within {within}")
        return found
