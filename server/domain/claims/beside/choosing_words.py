"""Adjectives that choose one thing rather than another, and words that only look like them."""

from server.domain.claims.mentions import Mention
from server.domain.claims.scene import Reader

_LEADS = ("leads", "comes", "wins", "lasts", "stays", "hits", "counts", "matters", "gets")


class ChoiceReader(Reader):
    """Reads what a sentence sets against something else."""

    def _is_chosen(self, mention: Mention) -> bool:
        """ "I'd sooner have it dry than sweet", "it's sour that leads": one side and the other."""
        before, after = self._before(mention, 1), self._after(mention)
        near = self.words[max(self.scene.first, mention.first - 8) : mention.first]
        if {"rather", "sooner"} & set(near) and "have" in near:
            return before == "than" or (before in ("it", "this") and after == "than")
        return before == "it's" and after == "that" and self._word(mention.end + 1) in _LEADS

    def _is_tested(self, mention: Mention) -> bool:
        """ "If it's lukewarm, send it back": what is not meant to be."""
        begins = self.words[self.scene.first : self.scene.first + 2]
        if begins[:1] != ["if"] or begins[1:] not in (["it's"], ["it"], ["they're"]):
            return False
        gaps = [token.gap for token in self.tokens[self.scene.first + 1 : mention.first + 1]]
        return not any(gap.strip("-'") for gap in gaps)

    def _is_of_a_kind(self, mention: Mention) -> bool:
        at = mention.first - 1
        while any(one.end == at + 1 for one in self.scene.mentions):
            at -= 1
        return self._word(at) == "the"

    def _is_subject(self, mention: Mention) -> bool:
        """ "the rye gives you pepper", "honey is from buckwheat", "the lime was squeezed"."""
        after, behind = self._after(mention), self._word(mention.end + 1) or ""
        if after in ("gives", "brings", "adds", "lends", "would"):
            return True
        return after in ("is", "was", "are") and (behind == "from" or behind.endswith("ed"))

    def _does(self, mention: Mention) -> bool:
        """ "it sparkles", "and it lingers": a taste said as a verb."""
        word = self.words[mention.end - 1]
        is_verb = mention.end - mention.first == 1 and word in ("sparkles", "lingers", "tingles")
        denied = ("doesn't", "won't", "not", "never", "without", "no")
        near = (self._before(mention, 1), self._before(mention, 2))
        if word == "burn" and (near[0] in denied or near[1] == "without"):
            # "It doesn't burn, it glows", "without the burn".
            return True
        return is_verb and self._before(mention, 1) in ("it", "this", "which", "that", "drink")

    def _is_general(self, first: int) -> bool:
        """ "makes things taste rounder": said of all the world, not of this drink."""
        near = self.words[max(self.scene.first, first - 4) : first]
        return bool({"makes", "make"} & set(near)) and bool(self.cues.anything & set(near))

    def _is_light_of_day(self, mention: Mention) -> bool:
        """ "there is light": seen, not felt."""
        there = "there" in (self._before(mention, 2), self._before(mention, 1))
        return self.words[mention.first] == "light" and (
            there or self._before(mention, 1) == "there's"
        )
