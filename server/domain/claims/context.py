"""What a flavour word is doing in its sentence: said of the drink, or only named.

The rules, in words: the nearest cue before a word decides ("notes of", "brings", "on the nose"
speak of taste; "I add", "made from" name an ingredient); words in one list share their fate; a
word that is common outside tasting ("dry", "sweet", "orange") needs a cue, a list or a predicate
("it is dry") to count; a story ("my grandmother picked …") counts only with a taste cue.
"""

from collections.abc import Sequence
from enum import Enum
from typing import NamedTuple

from server.domain.claims.beside.compared import is_standard
from server.domain.claims.beside.elsewhere import is_elsewhere
from server.domain.claims.beside.long_ago import had_a_taste, is_of_others, is_past
from server.domain.claims.cues import Cues, english
from server.domain.claims.lexicon import LITERAL_FAMILIES
from server.domain.claims.mentions import Mention
from server.domain.claims.scene import Cue, Scene
from server.domain.claims.spoken.denials import is_refused
from server.domain.claims.things import ThingReader

_PLACED = (
    "first", "then", "behind", "beneath", "underneath", "after", "before", "comes", "arrives",
)  # fmt: skip
"""Before "the" these tell when a taste comes: "first the quince, then a flash of lemon"."""

_OWN = ("my", "our", "your", "his", "her", "their", "of", "from")

_FROM = ("far", "away", "free", "goes", "moves", "runs", "shifts")
"""Before "from" these tell of no source: "it goes from smoke to plum"."""

_MADE_OF = ("syrup", "cordial", "tincture", "infusion", "brine", "liqueur", "cooked", "simmered")

_SHORT_LIST = 6

LONGEST_LINK = 7
"""Most small words between two words of one list."""


class Role(Enum):
    """What a mention is."""

    CLAIM = "claim"
    INGREDIENT = "ingredient"
    NOTHING = "nothing"


class Ruling(NamedTuple):
    """The role of a mention, and whether no rule told it: it claims nothing for want of a cue."""

    role: Role
    is_open: bool = False


def rulings(scene: Scene, language: str) -> list[Ruling]:
    """The role of each mention of the scene, in order."""
    if language != "en":
        return [Ruling(_plain_role(mention, scene)) for mention in scene.mentions]
    judge = _Judge(scene, english())
    found: list[Ruling] = []
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


class _Judge(ThingReader):
    def run_roles(self, run: Sequence[Mention]) -> list[Ruling]:
        cue = self._cue_before(run[0].first)
        if cue is None and self._has_cue_behind(run[-1].end):
            cue = Cue.TASTE
        if cue is None and self._is_worked(run[-1].end):
            cue = Cue.ACTION
        if cue is Cue.ACTION and self._is_placed_behind(run[-1].end):
            cue = Cue.TASTE
        if cue is Cue.ACTION and self._is_taken_out(run[-1]):
            cue = Cue.TASTE
        firm = [self._stands_alone(mention, cue) for mention in run]
        company = any(firm)
        return [
            self._role(mention, cue, company, sure) for mention, sure in zip(run, firm, strict=True)
        ]

    def _is_taken_out(self, mention: Mention) -> bool:
        """ "I've taken the bitterness out": what is done to a taste tells of the taste."""
        entry = mention.descriptor
        is_taste = entry is not None and entry.family == "taste" and not mention.ingredient_ids
        if not is_taste:
            return False
        near = self.words[max(self.scene.first, mention.first - 3) : mention.first]
        takes = self.cues.takes | self.cues.removes | {"taken", "cutting", "stripped", "washed"}
        return not takes.isdisjoint(near)

    def _role(self, mention: Mention, cue: Cue | None, company: bool, sure: bool) -> Ruling:
        entry = mention.descriptor
        named = Ruling(Role.INGREDIENT if mention.ingredient_ids else Role.NOTHING)
        if entry is None or mention.first in self.scene.measured:
            return Ruling(Role.INGREDIENT)
        if self._is_part_of_a_thing(mention) or self._is_less(mention):
            return Ruling(Role.NOTHING)
        if self._is_anothers(mention):
            return named
        if self._is_planned(mention, cue):
            return Ruling(Role.CLAIM)
        if self._is_name(mention) or self._is_wished(mention) or self._is_standard(mention):
            return Ruling(Role.NOTHING)
        if self._is_act(mention) or self._is_thing(mention, cue) or self._is_held(mention):
            return named
        if self._is_simile(mention, cue) or self._is_treated(mention, cue):
            return Ruling(Role.NOTHING)
        if self._is_kind(mention) or self._is_caution(mention) or self._is_introduced(mention):
            return named
        if self._is_source(mention) or self._is_elsewhere(mention):
            return named
        if self._is_scenery(mention, cue):
            return named
        if sure:
            return Ruling(Role.CLAIM)
        if not company or not self._may_follow(mention, cue):
            return named._replace(is_open=True)
        return Ruling(Role.CLAIM)

    def _is_planned(self, mention: Mention, cue: Cue | None) -> bool:
        """What is on the card and literally said counts where no marks tell who says it of what.

        But for the names of ingredients: what is added, or comes from or is of it, is the
        ingredient.
        """
        entry = mention.descriptor
        is_listed = entry is not None and mention.is_any_of(self.scene.listed)
        if not self.scene.runs_on or entry is None or not is_listed:
            return False
        said = " ".join(self.words[mention.first : mention.end])
        if said != (entry.word or "").casefold() or mention.is_slip:
            return False
        owned = self._before(mention, 1) in _OWN
        is_meant = owned or self._is_source(mention) or self._is_taken(mention)
        is_meant = is_meant or self._is_subject(mention)
        return not mention.ingredient_ids or (cue is not Cue.ACTION and not is_meant)

    def _may_follow(self, mention: Mention, cue: Cue | None) -> bool:
        """Whether a word may count because its list does."""
        entry = mention.descriptor
        if cue is Cue.ACTION or entry is None or self._is_verb(mention):
            return False
        if self._is_warm_thing(mention):
            return False
        if entry.family in LITERAL_FAMILIES:
            return self._ends_well(mention) or self._before(mention, 1) in ("a", "an", "and")
        # "no cream and no sugar": without another flavour denied, that is what is left out.
        negated = self._before(mention, 1) in ("no", "without")
        return not (negated and entry.family in ("larder", "brewed") and mention.ingredient_ids)

    def _stands_alone(self, mention: Mention, cue: Cue | None) -> bool:
        """Whether a mention is a claim whatever stands beside it in its list."""
        entry = mention.descriptor
        if entry is None or mention.first in self.scene.measured:
            return False
        if is_refused(self.words[max(self.scene.first, mention.first - 9) : mention.first]):
            return True
        if self._is_told_by_its_place(mention):
            return True
        if cue is Cue.ACTION:
            return False
        if self._is_like(mention) or self._plays(mention) or self._is_weighed(mention):
            return True
        if mention.ingredient_ids and not self._is_literal_adjective(mention):
            return self._dual_is_claim(mention, cue)
        is_told = self.is_story and not self._is_said_now(mention)
        if cue is None and (is_told or self._is_past(mention)):
            return False
        if not entry.needs_company:
            return True
        if self._is_verb(mention) or self._is_of_an_ingredient(mention):
            return False
        if entry.family in LITERAL_FAMILIES:
            return self._adjective_is_claim(mention, cue)
        return cue is Cue.TASTE

    def _is_said_now(self, mention: Mention) -> bool:
        """ "grapes picked green, thirty each, and it is tart": a clause of its own on the drink."""
        if not self._is_of_literal_family(mention):
            return False
        at = self._past_degree(mention.first)
        if (self._word(at - 1), self._word(at)) == ("without", "being"):
            return True
        is_it, begin = self._is_it(at)
        before = self._word(begin - 1)
        return is_it and (
            before is None
            or before in ("and", "but", "so", "then", "that")
            or bool(self.tokens[begin].gap.strip("-'"))
        )

    def _is_of_literal_family(self, mention: Mention) -> bool:
        entry = mention.descriptor
        return entry is not None and entry.family in LITERAL_FAMILIES

    def _dual_is_claim(self, mention: Mention, cue: Cue | None) -> bool:
        """For a word that is also what an ingredient is called."""
        entry = mention.descriptor
        before = self._before(mention, 1)
        if entry is None:
            return False
        cleft = (self._before(mention, 2), before, self._after(mention))
        if cleft[1:] == ("the", "that") and cleft[0] in ("it's", "is", "that's"):
            # "It's the almond that people talk about."
            return True
        if before in ("that", "this") and self._before(mention, 2) == "is":
            # "Is that plum?"
            return self._is_clause_end(mention.end)
        if cue is not Cue.TASTE and self._is_listed_with_things(mention):
            return False
        if cue is Cue.TASTE:
            # "this coffee, because of its taste": a cue behind it speaks of something else.
            is_placed = self._before(mention, 2) in _PLACED
            is_own = before not in self.cues.owners or is_placed
            return is_own or self._cue_before(mention.first) is cue
        is_listed = self.scene.is_listed(mention)
        is_told = self.is_story or self._is_past(mention)
        enters = before == "the" and (
            self._before(mention, 2) in ("comes", "arrives", "follows", "stays", "remains")
            or self._is_next(mention)
        )
        return is_listed and not is_told and (enters or before not in self.cues.owners)

    def _is_past(self, mention: Mention) -> bool:
        begin = mention.first
        while begin > self.scene.first and not self.tokens[begin].gap.strip("-'\"“”’"):
            begin -= 1
        return is_past(self.words[begin : self.scene.end], mention.first - begin)

    def _is_elsewhere(self, mention: Mention) -> bool:
        is_listed = self.scene.is_listed(mention)
        at, end = mention.first - self.first, mention.end - self.first
        return is_elsewhere(self.sentence, at, end, is_listed=is_listed)

    def _is_anothers(self, mention: Mention) -> bool:
        at, end = mention.first - self.first, mention.end - self.first
        return had_a_taste(self.sentence, at, end) or is_of_others(self.sentence, at)

    def _is_source(self, mention: Mention) -> bool:
        """ "from the barley": where a taste comes from is no taste."""
        at = mention.first - 1
        at -= self._word(at) in self.cues.owners
        if (self._word(at - 1), self._word(at)) == ("because", "of"):
            return True
        near = self.words[max(self.scene.first, mention.first - 5) : mention.first]
        if "with" in near[1:] and near[near.index("with") - 1] in _MADE_OF:
            # "A syrup with cinnamon and star anise."
            return True
        return self._word(at) == "from" and self._word(at - 1) not in _FROM

    def _is_part_of_a_thing(self, mention: Mention) -> bool:
        if self._after(mention) == "stone" and self.scene.end - self.scene.first <= _SHORT_LIST:
            # "Mango skin, mango flesh, mango stone.": nothing but tastes.
            return False
        return self._after(mention) in self.cues.things

    def _is_less(self, mention: Mention) -> bool:
        """ "fewer lemons", "less brandy than quince": an amount of a part, not a taste."""
        before = self._before(mention, 1)
        compared = (before, self._after(mention), self._word(mention.end + 1))
        if compared in (("less", "than", "before"), ("less", "than", "yesterday")):
            # Told of another one.
            return True
        return before == "fewer" or (before == "less" and bool(mention.ingredient_ids))

    def _is_standard(self, mention: Mention) -> bool:
        return is_standard(self.tokens, mention.first, self.scene.first)
