"""Flavour words that are only spoken of: what is tried, supposed, introduced, warned of."""

from collections.abc import Sequence

from server.domain.claims.beside.of_a_part import PartReader
from server.domain.claims.mentions import Mention

_SPOKEN_OF = frozenset(
    {
        "tried", "defend", "praise", "discuss", "mention", "explain", "introduce", "thank", "blame",
        "forgive", "talk", "considered", "thought", "speak", "swapped", "replaced", "experimented",
    }
)  # fmt: skip

_CAUTIONS = frozenset({"problem", "allergy", "allergic", "allergies", "intolerant", "intolerance"})


class SpokenOfReader(PartReader):
    """Tells what is tasted from what a sentence only speaks of."""

    def _is_taken(self, mention: Mention) -> bool:
        """ "the honey I take": what the hands are at."""
        at = mention.end
        if self._word(at) not in ("i", "we") or not mention.ingredient_ids:
            return False
        act = self._word(at + 1)
        return act in self.cues.action or act in ("chose", "choose", "take", "like")

    def _is_giver(self, mention: Mention) -> bool:
        """ "The hojicha gives it depth": a tea or a wine that gives is what went in."""
        entry = mention.descriptor
        gives = self._after(mention) in ("gives", "brings", "lends", "adds", "provides")
        return gives and entry is not None and entry.family == "brewed"

    def _is_tried(self, mention: Mention) -> bool:
        """ "I tried chilli", "I'd like to defend rosemary": spoken of, not tasted."""
        at = mention.first - 1
        if (self._word(at - 1), self._word(at)) == ("you", "know"):
            # "You know yoghurt?"
            return self._is_clause_end(mention.end)
        at -= self._word(at) in ("the", "a", "some", "with", "using", "of", "about")
        return (
            self._word(at) in _SPOKEN_OF
            and {"i", "i'd", "i've", "we", "to"}
            & set(self.words[max(self.scene.first, at - 5) : at])
            != set()
        )

    def _is_heading(self, mention: Mention) -> bool:
        """ "About honey." is what comes next."""
        before = self.scene.first + 1 == mention.first and self._before(mention, 1)
        return before in ("about", "on") and mention.end == self.scene.end

    def _is_let(self, mention: Mention) -> bool:
        """ "I let the salt do the rest"."""
        at = mention.first - 1
        word = self._word(at)
        at -= word in self.cues.determiners or word in self.cues.owners
        return self._word(at) in ("let", "letting")

    def _is_of_the_recipe(self, mention: Mention) -> bool:
        """ "The acid is lime.": the part it plays in the recipe."""
        near = tuple(self._before(mention, steps) for steps in (2, 1))
        return near[1] == "is" and near[0] in ("acid", "base", "sugar", "sweetener", "citrus")

    def _is_caution(self, mention: Mention) -> bool:
        """ "if you have a problem with milk": what people must not have."""
        entry = mention.descriptor
        sentence = self.sentence
        return (
            entry is not None
            and entry.family in ("larder", "brewed")
            and not _CAUTIONS.isdisjoint(sentence)
        ) or (bool(mention.ingredient_ids) and self._cannot_be_had(sentence))

    def _cannot_be_had(self, sentence: Sequence[str]) -> bool:
        """ "strawberries, some people cannot have them"."""
        if "can't" not in sentence and "cannot" not in sentence:
            return False
        at = next((at for at, word in enumerate(sentence) if word in ("can't", "cannot")), None)
        who = {"people", "anyone", "someone", "some", "who", "those"}
        return (
            at is not None
            and sentence[at + 1 : at + 2] in (["have"], ["eat"], ["take"])
            and bool(who & set(sentence[:at]))
        )

    def _is_supposed(self) -> bool:
        """ "if the tea stands longer, you would get tannins", "you would like something cold"."""
        sentence = self.sentence
        if sentence[:2] in (["if", "it's"], ["if", "it"]) and {"won't", "can't"} & set(sentence):
            # "If it's at minus five you won't taste the pear."
            return True
        if sentence[:2] == ["if", "you"] and sentence[2:3] in (["would"], ["could"], ["will"]):
            # "If you would bring it to your nose": asked politely.
            return False
        if "would" not in sentence and "wouldn't" not in sentence:
            return False
        would = [at for at, word in enumerate(sentence) if word in ("would", "wouldn't")]
        ahead = self.words[max(0, self.scene.first - 7) : self.scene.first]
        runs_on = self.scene.runs_on and bool({"without", "if"} & set(ahead))
        if (
            "without" in sentence
            or runs_on
            or any(self._is_of_a_part(sentence, at) for at in would)
        ):
            # "Without the syrup it would be harsh", "honey would hijack it".
            return True
        likes = any(sentence[at + 1 : at + 2] == ["like"] for at in would)
        return "if" in sentence or (likes and sentence[0] == "you")

    def _is_of_a_part(self, sentence: Sequence[str], would: int) -> bool:
        first = self.scene.first
        verb = sentence[would + 1 : would + 2]
        told = any(one.end == first + would and one.ingredient_ids for one in self.scene.mentions)
        return told and verb not in (["be"], ["say"], ["like"])
