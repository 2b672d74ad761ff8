"""Whether an adjective is said of the drink: "it is dry", "a dry finish", not "a dry towel"."""

from server.domain.claims.beside.choosing_words import ChoiceReader
from server.domain.claims.mentions import Mention
from server.domain.claims.scene import Cue, past_degree
from server.domain.claims.spoken.denials import is_held_against

TEMPERATURES = ("warm", "hot", "cold", "icy")
STATES = (*TEMPERATURES, "cooling", "fresh", "boozy", "thick", "thin")
"""What is as often said of an ingredient as of the drink."""

_NEXT_CLAUSE = frozenset(
    {
        "it's", "that's", "there's", "you", "you've", "you'll", "i", "i've", "i'm", "we", "we've",
        "people", "they", "nothing", "no", "loads", "lots", "bit", "this", "what", "please", "um",
        "yeah", "okay",
    }
)  # fmt: skip
"""What begins another clause where no mark parts them."""

_WHEN = frozenset({"beginning", "end", "middle", "mouth", "nose", "after", "finish", "and", "but"})
"""Behind one of these "is" may stand without its "it"."""

FARTHEST_COPULA = 8
"""Tokens between a verb and its adjective: "it is creamy without cream and sweet"."""


class AdjectiveReader(ChoiceReader):
    """Reads what adjectives of a scene belong to."""

    def _adjective_is_claim(self, mention: Mention, cue: Cue | None) -> bool:
        after = self._after(mention)
        if self._is_a_part(mention):
            return False
        if after in ("one", "ones", "kind", "sort") and self._is_of_a_kind(mention):
            # "A single cream, so not the thick one", "not the harsh, tannic kind".
            return False
        if after in self.cues.tasting_nouns and not self._is_warm_thing(mention):
            # "turns a thin drink into a silky one": what it was before.
            return self._before(mention, 2) not in ("turns", "turn", "turned")
        if self._is_of_what_follows(mention):
            return False
        if self._before(mention, 1) in ("is", "there's") and self._is_light_of_day(mention):
            return False
        if self._is_warm_thing(mention) or self._is_of_colour(mention):
            return False
        if self._is_general(mention.first) or self._is_reason(mention):
            return False
        if self.words[mention.first] == "sour" and self._before(mention, 1) in ("a", "this", "our"):
            # "It is a sour at heart": a kind of drink.
            return False
        if self._before(mention, 1) == "how" and after in ("it", "this"):
            # "What surprises people is how light it is."
            return self._word(mention.end + 1) in self.cues.copulas
        if self._before(mention, 1) == "of" and self._before(mention, 2) in ("sort", "kind"):
            # "It's a grown-up sort of bitter."
            return self._ends_well(mention)
        if self._is_chosen(mention) or self._is_tested(mention):
            return self._is_chosen(mention)
        if (self._before(mention, 2), self._before(mention, 1)) in (
            ("serve", "it"),
            ("find", "it"),
            ("want", "it"),
            ("finds", "it"),
            ("found", "it"),
            ("calls", "it"),
            ("drink", "it"),
            ("call", "it"),
        ):
            return True
        if (self._before(mention, 2), self._before(mention, 1)) in (("have", "it"), ("like", "it")):
            return self._before(mention, 3) != "i" or "rather" in self.words[self.scene.first :]
        if self._stands_before_mention(mention):
            return cue is Cue.TASTE or self._before(mention, 1) not in self.cues.owners
        if self._does(mention):
            return True
        if not self._ends_well(mention):
            return cue is Cue.TASTE and after not in self.cues.determiners
        return cue is Cue.TASTE or self._is_predicate(mention) or self._is_fragment(mention)

    def _is_of_what_follows(self, mention: Mention) -> bool:
        """ "heavy on the clove", "rich in cinnamon": how much there is of another taste."""
        at = mention.end + 1
        if self._after(mention) not in ("on", "in"):
            return False
        at += self._word(at) == "the"
        return any(other.first == at for other in self.scene.mentions)

    def _is_reason(self, mention: Mention) -> bool:
        """ "I chose oat because it is sweet": the ingredient that is named before it."""
        at = self._past_degree(mention.first)
        at -= self._word(at) in ("is", "tastes")
        is_it = self._word(at) in ("it", "it's") and self._word(at - 1) == "because"
        return is_it and any(
            one.ingredient_ids and one.end < mention.first for one in self.scene.mentions
        )

    def _is_warm_thing(self, mention: Mention) -> bool:
        """ "hot tea", "a warm jug", "the cold": of a thing or the weather, not of the drink."""
        is_temperature = mention.is_any_of((*TEMPERATURES, "fresh", "boozy"))
        if self.words[mention.first] in ("alcohol", "booze", "burn"):
            return False
        if is_temperature and self._before(mention, 1) == "the" and self._is_alone(mention):
            return True
        if is_temperature and self._after(mention) == "outside":
            return True
        return is_temperature and (
            self._stands_before_mention(mention) or not self._ends_well(mention)
        )

    def _is_alone(self, mention: Mention) -> bool:
        """ "the cold", "the hot one": without a noun of its own."""
        return self._is_clause_end(mention.end) or self._after(mention) == "one"

    def _is_a_part(self, mention: Mention) -> bool:
        """ "next, the sour side": a part of the recipe, named by its taste."""
        part = self._after(mention) in ("side", "part", "component", "half")
        return part and self._before(mention, 1) == "the" and self._before(mention, 2) != "on"

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
        if is_held_against(self.words[max(self.scene.first, mention.first - 4) : mention.first]):
            return True
        if previous in self.cues.subjects and self._word(at - 1) in self.cues.copulas:
            return True
        while (
            previous is not None
            and not self._is_copula(at)
            and mention.first - at < FARTHEST_COPULA
        ):
            if self.tokens[at + 1].gap.strip("-") not in ("", ","):
                return False
            at -= 1
            previous = self._word(at)
        return self._is_copula(at) and self._has_subject(at)

    def _is_copula(self, at: int) -> bool:
        """ "is", and "the drink's": a noun with its verb drawn together."""
        word = self._word(at)
        if word is None or word in self.cues.copulas:
            return word is not None
        noun = word.removesuffix("'s")
        return noun != word and (noun in self.cues.subjects or noun in self.cues.tasting_nouns)

    def _is_of_colour(self, mention: Mention) -> bool:
        """ "red and bright": what is seen, not tasted."""
        near = self.words[max(self.scene.first, mention.first - 3) : mention.first]
        is_seen_too = mention.is_any_of(("bright", "light"))
        return is_seen_too and not self.cues.colours.isdisjoint(near)

    def _has_subject(self, copula: int) -> bool:
        noun = self.words[copula].split("'")[0]
        if noun != self.words[copula] and (
            noun in ("it", "that", "they", "there", "what")
            or noun in self.cues.subjects
            or noun in self.cues.tasting_nouns
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
            "would",
            "could",
            "might",
            "may",
            "can",
            "must",
            "ever",
            "then",
            "really",
            "itself",
        ):
            at -= 1
        subject = self._word(at)
        if subject in ("drink", "cocktail") and self._word(at - 1) == "a":
            # "I don't like when a drink is sour": said of any.
            return self._word(at - 2) not in ("when", "if")
        if self.words[self.scene.first] in ("what", "what's"):
            # "What is coming back is salty."
            return True
        if self.words[copula] == "is" and (subject is None or subject in _WHEN):
            # As those speak who leave out "it": "in the beginning is sour", "and is fresh".
            return True
        if self.words[copula] in (
            "finishing",
            "ending",
            "starting",
            "leaning",
            "turning",
            "tipping",
        ):
            # "Leading with yuzu and finishing dry."
            return True
        if (subject, self._word(copula)) == ("without", "being"):
            # "Bitter without being harsh."
            return True
        if subject is not None and subject.endswith("n't"):
            # "What it isn't is heavy."
            return True
        if subject == "sugar" or self._is_a_thread(at):
            # "Sugar is only sweet, and maple is a whole forest."
            return False
        is_mention = any(mention.end == at + 1 for mention in self.scene.mentions)
        return is_mention or subject in self.cues.subjects or subject in self.cues.tasting_nouns

    def _is_fragment(self, mention: Mention) -> bool:
        """ "Very round.", "not too sweet, …": a clause that is nothing but the adjective."""
        at = self._past_degree(mention.first)
        at -= self._word(at) in ("but", "yet", "though") and bool(self.tokens[at].gap)
        if self._word(at) == "and" and self._word(at - 1) in ("ripe", "sort", "delicate", "gentle"):
            # "Ripe and juicy."
            at -= 2
        starts = at < self.scene.first or bool(self.tokens[at + 1].gap.strip("-'\"“"))
        opens = at < self.scene.first and self._after(mention) in (
            "like",
            "as",
            "and",
            "but",
            "on",
            "with",
            "at",
            "in",
            "from",
            "until",
            "than",
        )
        is_placed = self._after(mention) in ("below", "beneath", "underneath", "above")
        is_likened = self._after(mention) in ("as", "like")
        return starts and (opens or is_likened or is_placed or self._is_clause_end(mention.end))

    def _past_degree(self, first: int) -> int:
        return past_degree(self.scene, self.cues, first)

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
        if self.scene.runs_on and self.words[at] in _NEXT_CLAUSE:
            return True
        if self.words[at : at + 2] in (["a", "little"], ["a", "bit"], ["less", "than"]):
            return self.scene.runs_on
        return any(other.first == at for other in self.scene.mentions)
