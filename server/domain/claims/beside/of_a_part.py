"""States that are said of a part of the recipe, not of the drink: "the cream is cold"."""

from server.domain.claims.adjectives import STATES, AdjectiveReader
from server.domain.claims.mentions import Mention

FAR = 14
"""Tokens before "it" in which the part may stand that it means."""

_POINTS = ("it", "it's", "this", "that's", "which", "one", "she")
_JOINS = ("and", "but", "so", "because", "as", "when", "if", "where", "since", "while", "then")
_MEASURES = frozenset(
    {
        "millilitres", "milliliters", "millilitre", "milliliter", "ml", "mils", "centilitres", "cl",
        "grams", "gram", "g", "dash", "dashes", "ounces", "fridge", "freezer",
    }
)  # fmt: skip
_THINGS = (
    "ice", "water", "kettle", "glass", "glasses", "cup", "cups", "room", "shaker", "tin", "jug",
)  # fmt: skip
_SERVED = frozenset({"drink", "cocktail", "serve", "you", "shake", "stir", "judges", "sip"})


class PartReader(AdjectiveReader):
    """Tells what is said of an ingredient from what is said of the drink."""

    def _is_of_an_ingredient(self, mention: Mention) -> bool:
        """ "the cream is cold", "oat drink, and it is cold": warmth, strength or freshness that is
        said of an ingredient or a vessel.
        """
        entry = mention.descriptor
        if entry is None or entry.word not in STATES:
            return False
        if any(one.end == mention.first and one.is_only_ingredient for one in self.scene.mentions):
            return self._is_clause_end(mention.end)
        if (self._after(mention), self._word(mention.end + 1)) in (
            ("in", "here"),
            ("out", "there"),
        ):
            return True
        at = self._past_degree(mention.first)
        while self._word(at) in (*self.cues.copulas, "must", "should", "be", "stay", "not"):
            if self._word(at) in _POINTS:
                break
            at -= 1
        if self._word(at) in _POINTS:
            return self._means_a_part(at)
        if at == mention.first - 1:
            return False
        if self._word(at) in _THINGS:
            return True
        return any(one.end == at + 1 and one.ingredient_ids for one in self.scene.mentions)

    def _means_a_part(self, at: int) -> bool:
        """Whether "it" at a place is the ingredient that was measured or named right before."""
        at -= 1
        if at >= 0 and self.words[at] in self.scene.names and self.tokens[at + 1].gap == ",":
            return True
        while at >= 0 and self.words[at] in _JOINS:
            at -= 1
        before = self.words[max(0, at - FAR) : at + 1]
        names = self.scene.names
        # "oat drink" is a part, "the drink" is none.
        told = {
            word for word, last in zip(before, ["", *before], strict=False) if last not in names
        }
        if not before or told & _SERVED or told & self.cues.taste or "from" in before[-3:]:
            return False
        return before[-1] in names or bool(told & _MEASURES)
