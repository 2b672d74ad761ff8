"""Flavour words that stand for something else: names, things, acts, wishes, parts of a recipe."""

from server.domain.claims.beside.scenes import SceneReader
from server.domain.claims.lexicon import LITERAL_FAMILIES
from server.domain.claims.mentions import Mention
from server.domain.claims.said_numbers import is_cardinal
from server.domain.claims.scene import Cue

_PLURAL_FAMILIES = ("fruit", "larder", "spice", "garden", "hearth")
_JOINTS = ("and", "or", "it", "is", "it's", "the", "a", "some", "as", "with", "plus")
_FAINT = ("is", "are", "a", "little", "bit", "always", "then", "still", "only", "also", "really",
          "then", "now", "slowly", "gently")  # fmt: skip


_TASTED = frozenset({"taste", "tastes", "feel", "smell", "smells", "notice", "sense", "detect"})
_LONGEST_QUOTE = 120
_SAYING = frozenset({"say", "says", "said", "ask", "asks", "asked", "shouted", "told", "goes"})
_IS = ("the", "a", "what", "all", "right", "there", "up", "still", "always", "first", "on", "your")
"""Behind "cinnamon's" these tell that it is something, not that it has something."""

_DONE_TO = ("on", "over", "in", "by", "with", "for", "before", "at")
_GROWS = ("gets", "grows", "becomes")
_FAINT_OR_GROWS = frozenset({*_FAINT, *_GROWS})
_LOUDER = ("louder", "there", "clear", "present", "stronger", "quieter")


class ThingReader(SceneReader):
    """Tells flavours from the things, names and acts that share their words."""

    def _plays(self, mention: Mention) -> bool:
        """ "the almond lingers", "pear lifts it": a flavour that does something by itself."""
        entry = mention.descriptor
        if entry is None or entry.family in LITERAL_FAMILIES:
            return False
        if not (self.scene.is_listed(mention) or not entry.needs_company):
            return False
        at = mention.end
        while (
            self._word(at) in _FAINT_OR_GROWS
            and at - mention.end < 3
            and not self._is_clause_end(at)
        ):
            at += 1
        word = self._word(at)
        if self._is_clause_end(at) or word is None:
            return False
        if word == "does" and self._word(at + 1) in ("most", "all", "the"):
            # "The tonka does most of the talking."
            return {"talking", "work", "lifting", "singing"} & set(self.words[at : at + 6]) != set()
        is_louder = at > mention.end and word in _LOUDER
        grows = self._word(at - 1) in _GROWS
        return (word in self.cues.plays and not self._is_made(at) and not grows) or is_louder

    def _is_made(self, at: int) -> bool:
        """ "comes from", "comes in at": of the ingredient."""
        if self._word(at) not in ("comes", "come"):
            return False
        return self._word(at + 1) in ("from", "in", "at", "out") and self._word(at + 2) != "the"

    def _is_name(self, mention: Mention) -> bool:
        """ "I call it the Smoked Letter": part of a proper name."""
        if not self._is_capital(mention.first) or mention.first == self.scene.first:
            return self._is_named(mention)
        beside = (mention.first - 1, mention.end)
        return any(self._is_capital(at) and at != self.scene.first for at in beside)

    def _is_capital(self, at: int) -> bool:
        if not self.scene.first <= at < self.scene.end or not self.scene.text:
            return False
        token = self.tokens[at]
        said = self.scene.text[token.start : token.end]
        return said[:1].isupper() and not said.isupper()

    def _is_named(self, mention: Mention) -> bool:
        """ "a drink called honey road": right behind the word that names it."""
        near = [self._before(mention, steps) for steps in (1, 2, 3)]
        named = [at for at, word in enumerate(near) if word in self.cues.naming]
        if near[:2] in (["it", "call"], ["this", "call"]) and self._is_of_taste(mention):
            # "I'd call it dry" tells what it is; "you could call it thin" leaves it open.
            return near[2] in ("could", "may", "might", "can")
        small = ("it", "the", "a", "this", "is")
        return bool(named) and all(word in small for word in near[: named[0]])

    def _is_of_taste(self, mention: Mention) -> bool:
        entry = mention.descriptor
        is_literal = entry is not None and entry.family in LITERAL_FAMILIES
        return is_literal or self.words[mention.first].endswith("y")

    def _is_wished(self, mention: Mention) -> bool:
        """ "everyone wants smoke", "must have smoke": said of no glass."""
        at = mention.first - 1
        while self._word(at) in ("a", "some", "the", "have", "be", "more", "of", "that", "taste"):
            at -= 1
        if self._is_supposed():
            return True
        if self._word(at) not in self.cues.wishes or self._is_break_between(at, mention.first):
            return False
        who = self._word(at - 1)
        if self._word(at) == "should" and (who in self.cues.tasting_nouns or who in ("it", "this")):
            # "The texture should be silky."
            return False
        return who not in ("i", "you", "you'll", "we")

    def _is_break_between(self, at: int, first: int) -> bool:
        return any(token.gap.strip("-'") for token in self.tokens[at + 1 : first + 1])

    def _is_act(self, mention: Mention) -> bool:
        """ "the lantern smokes", "sugar preserves the fruit", "I zest an orange"."""
        entry, word = mention.descriptor, self.words[mention.end - 1]
        if entry is None or mention.end - mention.first > 1:
            return False
        after, before = self._after(mention), self._before(mention, 1)
        if word in ("rounds", "mellows", "smooths", "softens", "freshens"):
            return True
        if word in self.cues.softens_off and after in ("off", "out", "over"):
            return True
        ends = entry.family in LITERAL_FAMILIES or word.endswith(("s", "st", "ed", "zest"))
        if after in self.cues.determiners and after != "a" and before is not None and ends:
            return word.endswith("s") or before in ("i", "we", "they", "to")
        if word == "smokes" and self._is_clause_end(mention.end):
            return True
        return before in ("i", "we", "they", "he", "she") and (
            entry.word in ("roast", "toast", "orange zest") or word in ("roast", "zest", "spice")
        )

    def _is_thing(self, mention: Mention, cue: Cue | None) -> bool:
        """ "limes in crates", "a crate of lemons", "the foam": things, said of no taste."""
        entry, word = mention.descriptor, self.words[mention.end - 1]
        if entry is None:
            return False
        if self._is_quoted(mention):
            return True
        if word in ("alcohol", "booze") and mention.end - mention.first == 1:
            # "There's alcohol in it" is of the recipe, "you won't taste the alcohol" of the taste.
            near = self.words[max(self.scene.first, mention.first - 4) : mention.first]
            return _TASTED.isdisjoint(near)
        is_owner = word.endswith("'s") and self._after(mention) not in _IS
        if is_owner or self._is_brewed_thing(mention, cue):
            return True
        if self._before(mention, 1) == "of" and self._before(mention, 2) in self.cues.containers:
            return "like" not in [self._before(mention, steps) for steps in range(3, 9)]
        before = self._before(mention, 1)
        is_had = self._before(mention, 2) in ("got", "have", "has", "without", "feel")
        if word in ("foam", "froth", "fire", "burn") and before in self.cues.owners and not is_had:
            return True
        is_owned = before == "a" or before in self.cues.owners
        if is_owned and word in ("straw", "paper", "cork", "bark"):
            return True
        is_plural = word.endswith("s") and not word.endswith("ss") and entry.word is not None
        is_plural = is_plural and not entry.word.endswith("s") if entry.word else False
        if not is_plural or entry.family not in _PLURAL_FAMILIES or cue is Cue.TASTE:
            return False
        if word in self.scene.listed or self._is_like(mention):
            return False
        if self._after(mention) in ("in", "from", "at", "are", "were", "by", "on", "that"):
            return True
        # "it's cherries", "like plums", a list of them: said of a taste.
        before = self._before(mention, 1)
        is_list = any(one.end == mention.first for one in self.scene.mentions)
        return not (before is None or is_list or before in self.cues.copulas or before == "like")

    def _is_quoted(self, mention: Mention) -> bool:
        """'They say, "Just something hot."': what others ask for."""
        start = self.tokens[mention.first].start
        before = self.scene.text[max(0, start - _LONGEST_QUOTE) : start].replace("“", '"')
        told, mark, _ = before.rpartition('"')
        if not mark or before.replace("”", '"').count('"') % 2 == 0:
            return False
        return not _SAYING.isdisjoint(
            told.casefold().replace(",", " ").replace(":", " ").split()[-5:]
        )

    def _is_brewed_thing(self, mention: Mention, cue: Cue | None) -> bool:
        """ "a bold, rich espresso", "the tea": what is in the cup, unless it is a note of it."""
        entry = mention.descriptor
        if entry is None or entry.family != "brewed" or not mention.ingredient_ids:
            return False
        if self.scene.is_listed(mention) or self._is_like(mention):
            return False
        if cue is Cue.TASTE:
            return self._before(mention, 1) in self.cues.owners
        return self._before(mention, 1) not in ("of", "like", "and", "or", "no", None)

    def _is_held(self, mention: Mention) -> bool:
        """ "it holds almonds", "there is milk in it": what is declared is part of the recipe."""
        return self._before(mention, 1) in ("holds", "hold", "contains", "contain") and bool(
            mention.ingredient_ids
        )

    def _is_literal_adjective(self, mention: Mention) -> bool:
        """ "bitter" is said of the taste, though the recipe has bitters."""
        entry = mention.descriptor
        word = self.words[mention.first]
        return (
            entry is not None
            and entry.family in LITERAL_FAMILIES
            and mention.end - mention.first == 1
            and (entry.literal == word or entry.word == word)
            and word not in self.scene.names
        )

    def _is_listed_with_things(self, mention: Mention) -> bool:
        """ "coffee, spirit, honey": beside what can only be an ingredient, it is one too."""
        mentions = self.scene.mentions
        place = mentions.index(mention)
        for steps in (1, -1):
            at = place
            while 0 <= at + steps < len(mentions) and self._are_joined(at, at + steps):
                at += steps
                if mentions[at].is_only_ingredient:
                    return True
        return False

    def _are_joined(self, one: int, other: int) -> bool:
        """Whether two mentions stand in one list, with nothing but small words between them."""
        left, right = (self.scene.mentions[at] for at in sorted((one, other)))
        between = self.words[left.end : right.first]
        gaps = {token.gap for token in self.tokens[left.end : right.first + 1]}
        return all(word in _JOINTS for word in between) and not gaps & {";", ":"}

    def _is_introduced(self, mention: Mention) -> bool:
        """ "Honey is from buckwheat", "And lime. Twenty.", "you have had coffee"."""
        at, after, cues = mention.end, self._after(mention), self.cues
        if after in ("goes", "go") or (after == "makes" and self._word(at + 1) in cues.anything):
            return True
        if self._is_taken(mention) or self._is_tried(mention) or self._is_giver(mention):
            return True
        if self._is_heading(mention) or (self._is_let(mention) and after in ("do", "work")):
            return True
        if after in ("is", "comes", "are") and self._word(at + 1) in ("from", "made", "a", "an"):
            return True
        if self._before(mention, 1) == "had" or self._is_of_the_recipe(mention):
            return True
        shown = (self._before(mention, 2), self._before(mention, 1))
        if shown in (("that's", "the"), ("is", "the"), ("about", "the")) and mention.ingredient_ids:
            # "A hint of apple, that's the vinegar": what a taste comes from.
            return after != "that" and self.words[self.scene.first] != "what"
        follows = self.scene.end < len(self.tokens) and at == self.scene.end
        is_short = mention.first - self.scene.first <= 2
        if not follows or not is_short:
            return False
        begins = self.words[self.scene.end]
        if not mention.ingredient_ids:
            return False
        opens = self.words[self.scene.first] in ("then", "now", "next", "and", "second", "third")
        return self._begins_number(self.scene.end) or (opens and begins in ("i", "we"))

    def _begins_number(self, at: int) -> bool:
        token = self.tokens[at]
        return token.is_number or is_cardinal(token.norm, "en")

    def _is_simile(self, mention: Mention, cue: Cue | None) -> bool:
        """ "sour like a lemon": what it is likened to is not in it."""
        entry, before = mention.descriptor, self._before(mention, 1)
        is_like = self._before(mention, 2) == "like" and before in ("a", "an")
        if before != "like" and not is_like:
            return False
        is_after = any(
            one.end == mention.first - 1
            and one.descriptor is not None
            and one.descriptor.family in LITERAL_FAMILIES
            for one in self.scene.mentions
        )
        near = self.words[max(self.scene.first, mention.first - 5) : mention.first]
        denied = any(word in ("not", "never") or word.endswith("n't") for word in near)
        if before == "like" and is_after and denied:
            return True
        if not is_like or cue is Cue.TASTE or entry is None:
            return False
        return denied or entry.needs_company

    def _is_treated(self, mention: Mention, cue: Cue | None) -> bool:
        """ "malted on a floor", "smoked over beech": what was done to it."""
        is_single = mention.end - mention.first == 1
        if not is_single or cue is Cue.TASTE or not self.words[mention.first].endswith("ed"):
            return False
        is_before_it = any(
            one.first == mention.end and one.ingredient_ids for one in self.scene.mentions
        ) and not self._is_clause_end(mention.end)
        return self._after(mention) in _DONE_TO or is_before_it

    def _is_kind(self, mention: Mention) -> bool:
        """ "it's a clean coffee", "not a gentle honey": what it is, not what it tastes of."""
        is_told_of = self._after(mention) in ("with", "from", "made")
        if not mention.ingredient_ids or not (is_told_of or self._is_clause_end(mention.end)):
            return False
        at = mention.first - 1
        if self.tokens[mention.first].gap.strip("-"):
            # "Take a sip: lime."
            return False
        if self._word(at) in ("a", "an", "this"):
            return True
        return self._word(at - 1) in ("a", "an") and self._word(at) not in (
            "hint", "note", "touch", "bit", "lot", "little", "trace", "tiny", "light",
        )  # fmt: skip
