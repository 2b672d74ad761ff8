"""A sentence with its flavour words, and the cues around them."""

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, field
from enum import Enum

from server.domain.base.tokens import Token
from server.domain.claims.cues import Cues
from server.domain.claims.mentions import Mention
from server.domain.claims.negation import Polarity

WINDOW = 12
"""Tokens before a word in which a cue is looked for."""

AHEAD = 7
"""Tokens behind a list in which a cue ("… on the nose") is looked for."""


GLIMPSES = frozenset(
    {
        "flash", "burst", "wave", "glimmer", "flicker", "ghost", "shadow", "kiss", "lick", "streak",
        "thread", "ribbon", "spark", "hit", "layer", "layers", "backbone", "core", "lift", "pop",
        "rush", "kick", "wallop", "whack", "undercurrent", "backdrop", "seam", "vein", "sliver",
        "tinge", "tang", "cloud", "veil", "dusting", "wisp", "puff", "nip", "tickle", "jolt",
        "punch", "slap", "swirl", "explosion", "blast", "glow", "current", "whisper", "smack",
    }
)  # fmt: skip
"""Before "of" these show a taste: "a flash of lemon"."""


_TOWARDS = frozenset({"up", "on", "in", "at", "to", "through", "around", "round", "down"})
_PLACES = frozenset(
    {
        "front", "top", "middle", "back", "end", "exhale", "inhale", "start", "beginning", "edges",
        "background", "tail", "throat", "lips", "close", "swallow", "gums", "tongue", "nose",
        "finish", "sides", "cheeks",
    }
)  # fmt: skip
"""Where in a mouthful something is tasted."""

_BELOW = frozenset({"under", "behind", "beneath", "below", "after", "above", "underneath"})
_SOME = frozenset({"bit", "lots", "loads", "plenty", "touch", "tons", "heaps", "deal"})
"""Before "of" these show a taste where nothing else does."""


_DENIES = ("not", "never", "nor", "neither", "no")


class Cue(Enum):
    """What the words near a flavour word speak of."""

    TASTE = 1
    ACTION = 2


@dataclass(frozen=True)
class Scene:
    """A sentence to be judged: its tokens, mentions, and the tokens that follow a quantity."""

    tokens: Sequence[Token]
    words: Sequence[str]
    first: int
    end: int
    mentions: Sequence[Mention]
    measured: frozenset[int]
    listed: frozenset[str]
    names: frozenset[str] = frozenset()
    """The single words that ingredients are called by."""
    text: str = ""
    """The passage as it was written."""
    is_told: bool = False
    """Whether the clauses around it tell a story, where text runs on without marks."""
    runs_on: bool = False
    """Whether it is a clause of such text."""
    told_before: dict[int, Polarity] = field(default_factory=dict, repr=False, compare=False)
    """Place of a word -> how it is claimed by what stands before it, once that was asked."""

    def is_listed(self, mention: Mention) -> bool:
        """Whether a mention is of the card, or was written by the user as a word of taste."""
        entry = mention.descriptor
        return entry is not None and (entry.is_listed or mention.is_any_of(self.listed))


def past_degree(scene: Scene, cues: Cues, first: int) -> int:
    """The place before an adjective at `first` and what grades or denies it."""
    at = first - 1
    while at >= scene.first and not scene.tokens[at + 1].gap.strip("-"):
        if scene.words[at] not in cues.degree and scene.words[at] not in _DENIES:
            break
        at -= 1
    return at


def tells_a_story(sentence: Sequence[str], story: frozenset[str]) -> bool:
    """Whether a word of a story stands in a sentence, other than as a likeness."""
    if story.isdisjoint(sentence):
        return False
    return any(word in story and not _is_likened(sentence, at) for at, word in enumerate(sentence))


def _is_likened(sentence: Sequence[str], at: int) -> bool:
    """ "it's almost a garden", "like a summer": a likeness of the taste, no story."""
    if sentence[at] == "remember" and sentence[at - 1 : at] in (["to"], ["you"], ["please"]):
        # "What I want you to remember is apricot."
        return True
    if sentence[at] in ("pick", "picked") and sentence[at + 1 : at + 2] in (["it"], ["this"]):
        # "I picked it because it's creamy": chosen, from no tree.
        return True
    if sentence[at : at + 2] == ["grown", "up"]:
        # "A grown-up sort of bitter."
        return True
    near = sentence[max(0, at - 3) : at]
    return bool({"almost", "like"} & set(near)) and bool({"a", "an", "the"} & set(near))


class Reader:
    """Reads a scene: words by place, and the cues before and behind a place."""

    def __init__(self, scene: Scene, cues: Cues) -> None:
        self.scene, self.cues, self.tokens = scene, cues, scene.tokens
        self.words, self.first, self.end = scene.words, scene.first, scene.end
        self.sentence = self.words[scene.first : scene.end]
        self.is_story = scene.is_told or tells_a_story(self.sentence, cues.story)

    def _cue_before(self, first: int) -> Cue | None:
        """The nearest cue before a list, in its sentence; "a bit of" where there is no other."""
        weak: Cue | None = None
        is_past = False
        if self._is_told_right_before(first):
            return Cue.TASTE
        for at in range(first - 1, max(self.scene.first, first - WINDOW) - 1, -1):
            if ";" in self.tokens[at + 1].gap:
                return weak
            word = self.words[at]
            if word in ("for", "because", "which") or (word == "so" and self.tokens[at].gap == ","):
                return weak
            if word in _SOME and self._word(at + 1) == "of":
                weak = Cue.TASTE
            is_place = word in _BELOW and self._word(at + 1) in ("that", "this", "it", "all")
            if is_place and at + 3 >= first - 1 and "," in self.tokens[min(at + 2, first)].gap:
                # "Under that, tamarind."
                return Cue.TASTE
            if word == "all" and self._word(at - 1) in ("it's", "is", "that's"):
                # "Top of the glass it's all yuzu."
                return Cue.TASTE
            if word in GLIMPSES and self._word(at + 1) == "of":
                return Cue.TASTE
            is_telling = word in self.cues.telling
            if is_telling and (self._is_guest_cue(at) or self._is_taste_cue(at)):
                return Cue.TASTE
            is_past = is_past or self._begins_clause(at + 1)
            makes_so = word in ("make", "made") and self._word(at + 1) in ("it", "this")
            is_act = word in self.cues.acting and self._is_action(at)
            if is_act and not is_past and not (makes_so and first - at <= 3):
                return Cue.ACTION
        return weak

    def _begins_clause(self, at: int) -> bool:
        """ "there's no use denying it, and it's cold": what is done stays in its own clause."""
        if at >= self.scene.end or self.tokens[at].gap != ",":
            return False
        at += self.words[at] in ("and", "but", "so")
        return self._word(at) in ("it's", "that's") or (
            self._word(at) in ("it", "that", "this") and self._word(at + 1) in self.cues.copulas
        )

    def _is_told_right_before(self, first: int) -> bool:
        """ "It says hay", "think cola", "it leaves you with toast", "you've plum all over"."""
        one, two, three = (self._word(first - steps) for steps in (1, 2, 3))
        if one in ("says", "saying", "think") and two not in ("they", "i", "people", "he", "she"):
            return one != "think" or two is None or self.tokens[first - 1].gap != ""
        if one == "with" and two in ("you", "us"):
            return three in ("leaves", "leave", "left")
        if one in ("wee", "faint", "certain", "slight"):
            return (
                (three, two) == ("is", "a")
                or three == "there"
                or self._word(first - 3) == "there's"
            )
        return one == "you've"

    def _is_taste_cue(self, at: int) -> bool:
        # "Please note that" and "I bring", "I finish with" speak of something else.
        word, before = self.words[at], self._word(at - 1)
        if word == "of" and before in ("think", "thinking"):
            return True
        if word == "like" and before in ("bit", "little", "tastes", "taste", "smells", "drinks"):
            return True
        if word == "note" and (before == "please" or self._word(at + 1) == "that"):
            return False
        if word in ("like", "love") and before == "i" and self._word(at - 2) == "what":
            # "What I like in it are …"
            return True
        by_hand = word in ("bring", "give", "finish") and before in ("i", "i'll")
        return word in self.cues.taste and not by_hand

    def _is_guest_cue(self, at: int) -> bool:
        """ "you get", "you will also find", never "the water can find"."""
        if self.words[at] == "find" and "i" in self.words[max(self.scene.first, at - 3) : at]:
            return True
        if self.words[at] not in self.cues.taste_of_guests or self._word(at + 1) == "had":
            return False
        at -= 1
        while self._word(at) in self.cues.helping:
            at -= 1
        return self._word(at) in self.cues.guests

    def _is_action(self, at: int) -> bool:
        word = self.words[at]
        if word in ("colour", "color") and self._word(at + 1) == "of":
            # "It's the colour of a piano."
            return False
        if word == "top" and self._word(at - 1) in ("on", "the", "up", "very"):
            return False
        if word in ("adding",) and self._word(at - 1) in ("is", "are"):
            return False
        if word == "dry" and self._word(at - 1) in (self.cues.copulas | self.cues.degree):
            return False
        if word.endswith("ed") and self._word(at - 1) in ("a", "an"):
            # "It's a washed lot": what it is, not what is done.
            return False
        if word in ("have", "got") and self._word(at - 1) in ("i", "i've"):
            return True
        return word == "i've" or (word in self.cues.action and not self._is_part_of_a_taste(at))

    def _is_part_of_a_taste(self, at: int) -> bool:
        """ "apple peel": what looks like an act is the end of a flavour's name."""
        before = bisect_right(self.scene.mentions, at, key=lambda one: one.first) - 1
        return (
            before >= 0 and self.scene.mentions[before].first < at < self.scene.mentions[before].end
        )

    def _has_cue_behind(self, end: int) -> bool:
        if self._is_placed_behind(end):
            return True
        for at in range(end, min(self.scene.end, end + AHEAD)):
            if self.tokens[at].gap.strip("-") in (";", ":", "."):
                return False
            word = self.words[at]
            if word in self.cues.story or (word in self.cues.acting and self._is_action(at)):
                return False
            glimpse = word in GLIMPSES and self._word(at + 1) == "of"
            if glimpse or (word in self.cues.telling and self._is_taste_cue(at)):
                return True
        return False

    def _is_placed_behind(self, end: int) -> bool:
        """ "strawberry up front, basil on the exhale, salty in the middle": where it is tasted."""
        at = end
        if self._is_clause_end(at) or self.words[at] not in _TOWARDS:
            return False
        at += 1
        at += self._word(at) in ("the", "its", "your")
        place = self._word(at)
        if place not in _PLACES or (self._word(end), place) == ("on", "top"):
            return False
        return self._is_clause_end(at + 1) or self._word(at + 1) not in ("of", "door", "row")

    def _is_worked(self, at: int) -> bool:
        """ "allspice and clove, simmered …": what is done to them stands behind them."""
        return (
            at < self.scene.end
            and self.tokens[at].gap == ","
            and self.words[at] in self.cues.action
            and self.words[at].endswith("ed")
        )

    def _is_clause_end(self, at: int) -> bool:
        return at >= self.end or bool(self.tokens[at].gap.strip("-'’\"”"))

    def _after(self, mention: Mention) -> str | None:
        at = mention.end
        return None if at >= self.end or self.tokens[at].gap.strip("-") else self.words[at]

    def _before(self, mention: Mention, steps: int) -> str | None:
        at = mention.first - steps
        return self.words[at] if self.first <= at < self.end else None

    def _word(self, at: int) -> str | None:
        return self.words[at] if self.first <= at < self.end else None

    def _is_like(self, mention: Mention) -> bool:
        """ "honey-like", "a honey note"."""
        after = self._after(mention)
        hyphened = mention.end < self.scene.end and self.tokens[mention.end].gap == "-"
        return (hyphened and after in ("like", "forward", "driven", "led")) or after in (
            "notes",
            "note",
            "flavour",
            "flavor",
            "flavours",
            "aroma",
            "aromas",
        )
