"""Adjectives that choose: one thing rather than another, one kind of it, one that is tested for."""

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
