"""Flavours in scenes, acts and general truths: "I light the rosemary", "pears need time"."""

from bisect import bisect_left
from collections.abc import Sequence
from itertools import pairwise

from server.domain.claims.beside.kin import KIN
from server.domain.claims.beside.spoken_of import SpokenOfReader
from server.domain.claims.lexicon import LITERAL_FAMILIES
from server.domain.claims.mentions import Mention
from server.domain.claims.scene import Cue

_TASTING_VERBS = frozenset(
    {
        "get", "got", "find", "taste", "tasted", "smell", "smelled", "love", "like", "want",
        "notice", "call", "say", "think", "feel", "sense", "see", "have", "mean", "hear",
        "describe", "detect",
        "promise", "pick", "perceive", "meet", "wanted", "predict", "expect", "know", "catch", "'d",
        "enjoy", "keep", "recognise", "recognize", "liked", "loved", "noticed", "found", "felt",
        "hope", "hoped", "enjoyed", "detected",
    }
)  # fmt: skip
"""Of these what follows may well be a taste: "I get the pear", "I love the plum"."""

_PERSONS = KIN | {"somebody", "someone", "everybody", "baker", "priest"}

_DONE = frozenset(
    {"ferment", "smoke", "salt", "brine", "pickle", "char", "toast", "spice", "smoked"}
)
_WHO = ("i", "we", "you", "they", "to", "i'll", "we'll", "father", "mother", "he", "she")
_TO_WHAT = ("it", "them", "fish", "the", "my")

_NEEDS = frozenset(
    {
        "needs", "need", "wants", "want", "likes", "hates", "hate", "don't", "doesn't", "do",
        "grows", "grow", "costs", "cost", "belongs", "belong", "stains", "stain", "can", "must",
        "contains", "contain", "arrived", "lives", "live", "used",
    }
)  # fmt: skip
"""Behind a thing's name at the head of its clause: what it is like in the world."""

_ENTERS = frozenset({"walk", "enter", "entered", "walked"})
_LATER = (("next", "year"), ("next", "time"), ("one", "day"), ("some", "day"))
_UNREAL_BY = frozenset({*(first for first, _ in _LATER), "have"})
"""Without one of these what is said before a word is no such turn."""
_UNREAL = ("could", "would", "might", "should")
_DESCRIBES = frozenset({"described", "called", "known", "sold"})
_RULES = frozenset({"often", "usually", "generally", "normally", "commonly", "sometimes"})
_I = ("i", "we", "i'll", "we'll")
_WAS = (("i", "was"), ("we", "were"), ("he", "was"), ("she", "was"), ("they", "were"))


_BURNS = frozenset({"lit", "burning", "laid", "kindled", "crackling", "out", "fed", "stoked"})
"""What is done to a fire, or what it does."""


class SceneReader(SpokenOfReader):
    """Tells the drink's tastes from what a talk shows, does and knows of the world."""

    def _is_scenery(self, mention: Mention, cue: Cue | None) -> bool:
        """Whether a word stands in a scene, an act or a truth, where no taste is told of."""
        return (
            self._is_handled(mention)
            or self._is_somebodys(mention)
            or self._is_in_general(mention)
            or self._is_unreal(mention)
            or self._is_of_life(mention, cue)
            or self._is_a_roast(mention, cue)
            or self._is_a_thing_of_it(mention, cue)
            or self._is_beside_a_part(mention)
            or self._is_a_fire(mention)
            or (self._after(mention), self._word(mention.end + 1)) == ("in", "which")
        )

    def _is_handled(self, mention: Mention) -> bool:
        """ "I light the rosemary", "I plotted sweetness", "the bakery does a ginger biscuit"."""
        before, verb, who = (self._before(mention, steps) for steps in (1, 2, 3))
        if self.words[mention.first] in _DONE and before in _WHO:
            # "I ferment it myself", "my father smoked fish".
            return self._after(mention) in _TO_WHAT
        if before in ("the", "a", "an", "my", "some", "each", "every"):
            if verb == "does" and before == "a":
                return True
            return who in _I and verb not in _TASTING_VERBS and not self._is_break(mention, 3)
        if verb in _I and before is not None and before.endswith("ed"):
            return before not in _TASTING_VERBS
        return False

    def _is_break(self, mention: Mention, steps: int) -> bool:
        first = max(self.scene.first, mention.first - steps) + 1
        return any(token.gap.strip("-'") for token in self.tokens[first : mention.first + 1])

    def _is_a_thing_of_it(self, mention: Mention, cue: Cue | None) -> bool:
        """ "I burnt the butter" in a story, "because I salted the butter"."""
        if self._is_like(mention):
            return False
        before = self._before(mention, 1)
        if self.is_story and before in self.cues.determiners:
            at = mention.first - 2
            return not (cue is Cue.TASTE and self._word(at) in ("is", "it's", "of", "like", "get"))
        near = self.words[max(self.scene.first, mention.first - 3) : mention.first]
        return "because" in near and bool(mention.ingredient_ids)

    def _is_beside_a_part(self, mention: Mention) -> bool:
        """ "gin and lime", "the spirit, honey": right behind what can only be an ingredient."""
        mentions = self.scene.mentions
        at = bisect_left(mentions, mention.first, key=lambda one: one.first)
        if not at or not mention.ingredient_ids or not mentions[at - 1].is_only_ingredient:
            return False
        between = self.words[mentions[at - 1].end : mention.first]
        return between in ([], ["and"], ["are"], ["of"], ["as"], ["or"], ["with"])

    def _is_next(self, mention: Mention) -> bool:
        """ "The pear comes up, then the elderflower": one taste behind another."""
        said = (self._before(mention, 2), self._before(mention, 1))
        ends = self._is_clause_end(mention.end)
        if said == ("is", "the") and self.words[self.scene.first] == "what":
            # "What hits you is the elderflower."
            return ends
        return said == ("then", "the") and ends and not self.scene.measured

    def _is_somebodys(self, mention: Mention) -> bool:
        """ "somebody's vanilla ice cream": in other hands."""
        before = self._before(mention, 1) or ""
        return before.endswith("'s") and before.removesuffix("'s") in _PERSONS

    def _is_in_general(self, mention: Mention) -> bool:
        """ "Pears don't like to be rushed", "is often described as rubbery"."""
        entry = mention.descriptor
        before = self.words[self.scene.first : mention.first]
        if _DESCRIBES & set(before) and _RULES & set(before):
            return True
        if entry is None or entry.family in LITERAL_FAMILIES:
            return False
        if before[-2:] == ["too", "much"] and self._after(mention) == "and":
            # "Too much chamomile and it turns to hay."
            return True
        if before not in ([], ["the"], ["a"], ["and"], ["but"]):
            return False
        after, behind = self._after(mention), self._word(mention.end + 1)
        return after in _NEEDS or (after, behind) in (
            ("is", "what"), ("is", "for"), ("are", "for"),
        )  # fmt: skip

    def _is_unreal(self, mention: Mention) -> bool:
        """ "I could have gone for something smoky", "next year I want smoke": of no glass yet."""
        before = self.words[self.scene.first : mention.first]
        if before[:1] != ["if"] and _UNREAL_BY.isdisjoint(before):
            return False
        pairs = list(pairwise(before))
        if any(pair in pairs for pair in _LATER):
            return True
        if pairs[:1] == [("if", "i")] and {"had", "used", "added"} & set(before):
            return True
        return any((word, "have") in pairs for word in _UNREAL)

    def _is_of_life(self, mention: Mention, cue: Cue | None) -> bool:
        """ "I was a shy kid, soft in the middle", "when you walk in, you get bread"."""
        before = self.words[self.scene.first : mention.first]
        if before[:1] == ["when"] and _ENTERS & set(before[:6]):
            return True
        if before[:1] == ["when"] and before[1:2] == ["the"] and _is_past_verb(before[3:4]):
            # "When the baker opened the hatch you got butter."
            return True
        if before[:2] in (["the", "first"], ["the", "last"]) and before[2:3] == ["time"]:
            return not {"you", "you'll"} & set(before)
        if cue is Cue.TASTE or tuple(before[:2]) not in _WAS:
            return False
        return not {"it's", "it", "this", "you", "drink", "there's"} & set(before)

    def _is_a_roast(self, mention: Mention, cue: Cue | None) -> bool:
        """ "the roast is short", "a light roast keeps acids", "I roast coffee": no taste."""
        word = self.words[mention.first]
        at = mention.first
        graded = self._word(at - 1) in ("light", "dark", "medium", "short", "long")
        if word == "roast" and graded and at - 1 == self.scene.first:
            # "Light roast. Washed."
            return self._is_clause_end(mention.end)
        if word == "roast" and self._word(at - 1) in ("i", "we", "they", "to", "you"):
            return True
        if self._word(at + 1) == "roast" and word in ("light", "dark", "medium"):
            return cue is not Cue.TASTE
        at -= self._word(at - 1) in ("light", "dark", "medium", "short", "long")
        owned = self._word(at - 1) in ("the", "a", "our", "my", "this")
        return word == "roast" and owned and cue is not Cue.TASTE and not self._is_like(mention)

    def _is_a_fire(self, mention: Mention) -> bool:
        """ "fire is lit", "a fire burning in the yard": something burns, nothing tastes so."""
        if self.words[mention.end - 1] not in ("fire", "fires", "embers", "smoke"):
            return False
        at = mention.end + (self._after(mention) in ("is", "was", "are", "were"))
        return self._word(at) in _BURNS and not self._is_clause_end(mention.end)


def _is_past_verb(words: Sequence[str]) -> bool:
    return bool(words) and words[0].endswith("ed")
