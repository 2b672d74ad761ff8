"""What a flavour word is doing in its sentence: said of the drink, or only named.

The rules, in words: the nearest cue before a word decides ("notes of", "brings", "on the nose"
speak of taste; "I add", "made from" name an ingredient); words in one list share their fate; a
word that is common outside tasting ("dry", "sweet", "orange") needs a cue, a list or a predicate
("it is dry") to count; a story ("my grandmother picked …") counts only with a taste cue.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from server.domain.claims.cues import Cues, english
from server.domain.claims.lexicon import LITERAL_FAMILIES
from server.domain.claims.mentions import Mention
from server.domain.claims.words import Token

WINDOW = 12
"""Tokens before a word in which a cue is looked for."""

AHEAD = 7
"""Tokens behind a list in which a cue ("… on the nose") is looked for."""

LONGEST_LINK = 7
"""Most small words between two words of one list."""


TEMPERATURES = ("warm", "hot", "cold", "icy")


class Role(Enum):
    """What a mention is."""

    CLAIM = "claim"
    INGREDIENT = "ingredient"
    NOTHING = "nothing"


class _Cue(Enum):
    TASTE = 1
    ACTION = 2


@dataclass(frozen=True)
class Scene:
    """A sentence to be judged: its tokens, mentions, and the tokens that follow a quantity."""

    tokens: Sequence[Token]
    first: int
    end: int
    mentions: Sequence[Mention]
    measured: frozenset[int]
    listed: frozenset[str]


def roles(scene: Scene, language: str) -> list[Role]:
    """The role of each mention of the scene, in order."""
    if language != "en":
        return [_plain_role(mention, scene) for mention in scene.mentions]
    judge = _Judge(scene, english())
    found: list[Role] = []
    for run in _runs(scene, english()):
        found += judge.run_roles(run)
    return found


def _plain_role(mention: Mention, scene: Scene) -> Role:
    """Without cues: an ingredient's name is an ingredient, unless it is on the drink's list."""
    if mention.descriptor is None or mention.first in scene.measured:
        return Role.INGREDIENT
    is_listed = mention.descriptor.word in scene.listed
    return Role.INGREDIENT if mention.ingredient_ids and not is_listed else Role.CLAIM


def _runs(scene: Scene, cues: Cues) -> list[list[Mention]]:
    """Mentions grouped into lists: those with only small words between them."""
    runs: list[list[Mention]] = []
    for mention in scene.mentions:
        if runs and _is_linked(scene, runs[-1][-1], mention, cues):
            runs[-1].append(mention)
        else:
            runs.append([mention])
    return runs


def _is_linked(scene: Scene, left: Mention, right: Mention, cues: Cues) -> bool:
    between = scene.tokens[left.end : right.first]
    named = any(one.is_only_ingredient or one.first in scene.measured for one in (left, right))
    if named or len(between) > LONGEST_LINK or any(t.norm == "so" and t.gap for t in between):
        return False
    gaps = "".join(token.gap for token in scene.tokens[left.end : right.first + 1])
    return not set(gaps) & set(";:()") and all(token.norm in cues.links for token in between)


class _Judge:
    def __init__(self, scene: Scene, cues: Cues) -> None:
        self.scene, self.cues, self.tokens = scene, cues, scene.tokens
        self.words = [token.norm for token in scene.tokens]
        sentence = self.words[scene.first : scene.end]
        self.is_story = not cues.story.isdisjoint(sentence)

    def run_roles(self, run: Sequence[Mention]) -> list[Role]:
        cue = self._cue_before(run[0].first)
        if cue is None and self._has_cue_behind(run[-1].end):
            cue = _Cue.TASTE
        firm = [self._stands_alone(mention, cue) for mention in run]
        company = any(firm)
        return [
            self._role(mention, cue, company, sure) for mention, sure in zip(run, firm, strict=True)
        ]

    def _role(self, mention: Mention, cue: _Cue | None, company: bool, sure: bool) -> Role:
        entry = mention.descriptor
        named = Role.INGREDIENT if mention.ingredient_ids else Role.NOTHING
        if entry is None or mention.first in self.scene.measured:
            return Role.INGREDIENT
        if self._is_part_of_a_thing(mention) or self._is_less(mention):
            return Role.NOTHING
        if self._is_source(mention):
            return named
        if sure:
            return Role.CLAIM
        if not company or not self._may_follow(mention, cue):
            return named
        return Role.CLAIM

    def _may_follow(self, mention: Mention, cue: _Cue | None) -> bool:
        """Whether a word may count because its list does."""
        entry = mention.descriptor
        if cue is _Cue.ACTION or entry is None or self._is_verb(mention):
            return False
        if self._is_warm_thing(mention):
            return False
        if entry.family in LITERAL_FAMILIES:
            return self._ends_well(mention) or self._before(mention, 1) in ("a", "an", "and")
        negated = self._before(mention, 1) in ("no", "without")
        return not (negated and entry.family in ("larder", "brewed"))

    def _stands_alone(self, mention: Mention, cue: _Cue | None) -> bool:
        """Whether a mention is a claim whatever stands beside it in its list."""
        entry = mention.descriptor
        if entry is None or cue is _Cue.ACTION or mention.first in self.scene.measured:
            return False
        if self._is_like(mention):
            return True
        if mention.ingredient_ids:
            return self._dual_is_claim(mention, cue)
        if cue is None and self.is_story:
            return False
        if not entry.needs_company:
            return True
        if self._is_verb(mention):
            return False
        if entry.family in LITERAL_FAMILIES:
            return self._adjective_is_claim(mention, cue)
        return cue is _Cue.TASTE

    def _dual_is_claim(self, mention: Mention, cue: _Cue | None) -> bool:
        """For a word that is also what an ingredient is called."""
        entry = mention.descriptor
        before = self._before(mention, 1)
        if entry is None:
            return False
        if cue is _Cue.TASTE:
            # "this coffee, because of its taste": a cue behind it speaks of something else.
            return before not in self.cues.owners or self._cue_before(mention.first) is cue
        is_listed = entry.is_listed or entry.word in self.scene.listed
        return is_listed and not self.is_story and before not in self.cues.owners

    def _is_source(self, mention: Mention) -> bool:
        """ "from the barley": where a taste comes from is no taste."""
        before = self._before(mention, 1)
        return (self._before(mention, 2) if before in self.cues.owners else before) == "from"

    def _adjective_is_claim(self, mention: Mention, cue: _Cue | None) -> bool:
        after = self._after(mention)
        if after in self.cues.tasting_nouns:
            return True
        if self._is_warm_thing(mention) or self._is_of_colour(mention):
            return False
        if self._stands_before_mention(mention):
            return cue is _Cue.TASTE or self._before(mention, 1) not in self.cues.owners
        if not self._ends_well(mention):
            return cue is _Cue.TASTE and after not in self.cues.determiners
        return cue is _Cue.TASTE or self._is_predicate(mention) or self._is_fragment(mention)

    def _is_warm_thing(self, mention: Mention) -> bool:
        """ "hot tea", "a warm jug": the temperature of a thing, not of the drink."""
        entry = mention.descriptor
        is_temperature = entry is not None and entry.word in TEMPERATURES
        return is_temperature and (
            self._stands_before_mention(mention) or not self._ends_well(mention)
        )

    def _stands_before_mention(self, mention: Mention) -> bool:
        return any(
            other.first == mention.end for other in self.scene.mentions
        ) and not self._is_clause_end(mention.end)

    def _is_predicate(self, mention: Mention) -> bool:
        """ "it is dry", "the tannins are soft", "is it salty", "nothing bitter"."""
        at = self._past_degree(mention.first)
        previous = self._word(at)
        if previous in ("nothing", "something", "anything"):
            return True
        if previous in self.cues.subjects and self._word(at - 1) in self.cues.copulas:
            return True
        while previous is not None and previous not in self.cues.copulas and mention.first - at < 8:
            if self.tokens[at + 1].gap.strip("-") not in ("", ","):
                return False
            at -= 1
            previous = self._word(at)
        return previous in self.cues.copulas and self._has_subject(at)

    def _is_of_colour(self, mention: Mention) -> bool:
        """ "red and bright": what is seen, not tasted."""
        near = self.words[max(self.scene.first, mention.first - 3) : mention.first]
        return (
            mention.descriptor is not None
            and mention.descriptor.word in ("bright", "light")
            and not self.cues.colours.isdisjoint(near)
        )

    def _has_subject(self, copula: int) -> bool:
        if "'" in self.words[copula] and self.words[copula].split("'")[0] in (
            "it",
            "that",
            "they",
            "there",
            "what",
        ):
            return True
        at = copula - 1
        while self._word(at) in (
            "not",
            "also",
            "never",
            "always",
            "will",
            "should",
            "then",
            "really",
        ):
            at -= 1
        subject = self._word(at)
        is_mention = any(mention.end == at + 1 for mention in self.scene.mentions)
        return is_mention or subject in self.cues.subjects or subject in self.cues.tasting_nouns

    def _is_fragment(self, mention: Mention) -> bool:
        """ "Very round.", "not too sweet, …": a clause that is nothing but the adjective."""
        at = self._past_degree(mention.first)
        starts = at < self.scene.first or bool(self.tokens[at + 1].gap.strip("-'\"“"))
        opens = at < self.scene.first and self._after(mention) in (
            "like",
            "as",
            "and",
            "but",
            "on",
            "with",
        )
        return starts and (opens or self._is_clause_end(mention.end))

    def _past_degree(self, first: int) -> int:
        """The place before an adjective and what grades or denies it."""
        at = first - 1
        while at >= self.scene.first and not self.tokens[at + 1].gap.strip("-"):
            if self.words[at] not in self.cues.degree and self.words[at] not in (
                "not",
                "never",
                "nor",
                "neither",
                "no",
            ):
                break
            at -= 1
        return at

    def _cue_before(self, first: int) -> _Cue | None:
        """The nearest cue before a list, in its sentence; "a bit of" where there is no other."""
        weak: _Cue | None = None
        for at in range(first - 1, max(self.scene.first, first - WINDOW) - 1, -1):
            if ";" in self.tokens[at + 1].gap:
                return weak
            word = self.words[at]
            if word in ("for", "because", "which") or (word == "so" and self.tokens[at].gap == ","):
                return weak
            if word == "bit" and self._word(at + 1) == "of":
                weak = _Cue.TASTE
            if self._is_guest_cue(at) or self._is_taste_cue(at):
                return _Cue.TASTE
            if self._is_action(at):
                return _Cue.ACTION
        return weak

    def _is_taste_cue(self, at: int) -> bool:
        # "Please note that" and "I bring", "I finish with" speak of something else.
        word, before = self.words[at], self._word(at - 1)
        if word == "of" and before in ("think", "thinking"):
            return True
        if word == "note" and (before == "please" or self._word(at + 1) == "that"):
            return False
        by_hand = word in ("bring", "give", "finish") and before in ("i", "i'll")
        return word in self.cues.taste and not by_hand

    def _is_guest_cue(self, at: int) -> bool:
        """ "you get", "you will also find", never "the water can find"."""
        if self.words[at] not in self.cues.taste_of_guests:
            return False
        at -= 1
        while self._word(at) in self.cues.helping:
            at -= 1
        return self._word(at) in self.cues.guests

    def _is_action(self, at: int) -> bool:
        word = self.words[at]
        if word in ("adding",) and self._word(at - 1) in ("is", "are"):
            return False
        if word in ("have", "got") and self._word(at - 1) in ("i", "i've"):
            return True
        return word in self.cues.action or word == "i've"

    def _has_cue_behind(self, end: int) -> bool:
        for at in range(end, min(self.scene.end, end + AHEAD)):
            if self.tokens[at].gap.strip("-") in (";", ":", "."):
                return False
            if self._is_action(at) or self.words[at] in self.cues.story:
                return False
            if self._is_taste_cue(at):
                return True
        return False

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

    def _is_part_of_a_thing(self, mention: Mention) -> bool:
        return self._after(mention) in self.cues.things

    def _is_less(self, mention: Mention) -> bool:
        return self._before(mention, 1) in ("less", "fewer")

    def _is_verb(self, mention: Mention) -> bool:
        """ "I dry the towel", "to round the edges"."""
        after = self._after(mention)
        before = self._before(mention, 1)
        acts = before in (
            "to",
            "i",
            "they",
            "don't",
            "we",
            "let",
            "can",
            "will",
            "and",
            "please",
            "i'll",
            None,
        )
        return (after in self.cues.determiners and acts) or before in ("i", "we", "i'll", "they")

    def _ends_well(self, mention: Mention) -> bool:
        """Whether what follows an adjective is no noun it could belong to."""
        at = mention.end
        if self._is_clause_end(at) or self.words[at] in self.cues.after_adjective:
            return True
        return any(other.first == at for other in self.scene.mentions)

    def _is_clause_end(self, at: int) -> bool:
        return at >= self.scene.end or bool(self.tokens[at].gap.strip("-'’\"”"))

    def _after(self, mention: Mention) -> str | None:
        at = mention.end
        return None if at >= self.scene.end or self.tokens[at].gap.strip("-") else self.words[at]

    def _before(self, mention: Mention, steps: int) -> str | None:
        return self._word(mention.first - steps)

    def _word(self, at: int) -> str | None:
        return self.words[at] if self.scene.first <= at < self.scene.end else None
