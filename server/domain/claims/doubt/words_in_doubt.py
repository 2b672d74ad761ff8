"""Flavours that are denied and still given: of people, of a part, of what went in and not of taste.

"There's no cranberry in it, that's the hibiscus" tells what tastes so; "no chocolate went in" tells
what is not in the recipe. English.
"""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.tokens import norms_kept, words_kept
from server.domain.claims.backing import Judgement
from server.domain.claims.doubt.told_of import WHOLE, told_by_others
from server.domain.claims.finds import Find
from server.domain.claims.sayings import TimesOfSayings
from server.domain.claims.taxonomy import Taxonomy
from server.domain.routine.drink import Drink, Ingredient

_OF_PEOPLE = re.compile(
    r"\b(?:who|people|those|anyone|anybody|somebody|someone|everybody|guests?|he|she|they|if you"
    r"|some of you)(?: \w+){0,2}? (?:don't|doesn't|didn't|can't|cannot|won't|couldn't|do not"
    r"|does not|never)(?: really| even| much)? (?:like|likes|drink|eat|have|take|want|stand|do"
    r"|touch|bear|tolerate|enjoy)(?: \w+)?\s*$",
    re.IGNORECASE,
)
"""What stands before a word that people do not like, and that nobody denies."""

_OR_ELSE = re.compile(
    r"\b(?:or|otherwise|or else|before) (?:you|it|they|i|we)(?:'ll|'d| will| would)?"
    r" (?:loses?|kills?|flattens?|drowns?|ruins?)\b[^.;]*$",
    re.IGNORECASE,
)
"""What stands before a word that would be lost, and is there."""

_WENT_IN = re.compile(
    r"^(?: \w+){0,1}? (?:went|goes|gets?|got|was|were|is|has been)"
    r"(?: (?:ever|put|added|used|thrown))* (?:in|into|near|added|used|harmed|involved)\b",
    re.IGNORECASE,
)
_PUT_IN = re.compile(
    r"\b(?:put|add|added|adding|use|used|using|throw|threw|buy|bought|squeezed?|touch(?:ed)?"
    r"|needed?)(?: (?:any|a|an|the|in|of|no|single|drop|actual|real))*\s*$",
    re.IGNORECASE,
)
_IN_IT = re.compile(
    r"^(?:\s\w+)?\s+(?:in|inside|near) (?:it|there|here|this|that|the (?:recipe|drink|glass|tin"
    r"|shaker|bottle|building))\b",
    re.IGNORECASE,
)
_GIVER = re.compile(
    r"\b(?:it's|that's|it is|that is|they're|comes? from|came from|from|thanks to|down to|does that"
    r"|do that)((?:[ ,]+[\w'-]+){1,9})",
    re.IGNORECASE,
)
"""Behind a denial these name what tastes so in truth."""

_THINGS = frozenset({"fruit", "garden", "larder", "spice", "brewed"})
"""Families whose words are things that can go into a glass."""


@dataclass(frozen=True)
class _Denial:
    """A denied word in its sentence: what stands before and behind it there."""

    find: Find
    before: str
    behind: str


def denial_judged(
    judged: Judgement,
    places: Sequence[Find],
    finds: Sequence[Find],
    drinks: Sequence[Drink],
    taxonomy: Taxonomy,
    timetable: TimesOfSayings,
) -> Judgement:
    """The judgement of a denied word that is given, unless each place tells of something else."""
    parts = [part for drink in drinks for part in drink.ingredients]
    said = [_denial(find, timetable.sentence(find)) for find in places]
    whys = [_doubt(each, judged, finds, parts, taxonomy) for each in said]
    if not all(whys):
        return judged
    return Judgement("unbacked", f"{judged.why} {whys[0]}", judged.backings, is_checked=False)


def _denial(find: Find, sentence: str) -> _Denial:
    first, end = find.start - find.sentence_start, find.end - find.sentence_start
    return _Denial(find, sentence[:first], sentence[end:])


def _doubt(
    said: _Denial,
    judged: Judgement,
    finds: Sequence[Find],
    parts: Sequence[Ingredient],
    taxonomy: Taxonomy,
) -> str:
    if _OF_PEOPLE.search(said.before):
        return "You say so of people, which is not weighed here."
    if _OR_ELSE.search(said.before):
        return "You say so of what would be, which is not weighed here."
    if told_by_others(*(" ".join(norms_kept(text)) for text in (said.before, said.behind))):
        return "You say so of another time or drink."
    if not any(backing.ingredient_id for backing in judged.backings) and _is_of_a_part(said, finds):
        return "You say so of a part; that part is not weighed here."
    word = said.find.word or ""
    givers = [p for p in parts if p.id in {backing.ingredient_id for backing in judged.backings}]
    if _names_giver(said.behind, givers):
        return "You name what it comes from."
    if _is_named(word, parts, taxonomy):
        return ""
    if taxonomy.family(taxonomy.resolve(word) or word) not in _THINGS:
        return ""
    if _WENT_IN.search(said.behind) or _PUT_IN.search(said.before):
        return "You say what went in; no part is called that."
    if _IN_IT.search(said.behind) and _is_told(said.find, finds, taxonomy):
        return "You say what is in it; elsewhere you say that it tastes so."
    return ""


def _is_named(word: str, parts: Sequence[Ingredient], taxonomy: Taxonomy) -> bool:
    """Whether an ingredient is called by the word: then it did go in."""
    wanted = set(taxonomy.stems(word))
    return any(wanted <= set(taxonomy.stems(part.name)) for part in parts if wanted)


def _names_giver(behind: str, givers: Sequence[Ingredient]) -> bool:
    """ "It's tonka that smells like that", "that's the hibiscus": which part gives the taste."""
    names = {word for part in givers for word in words_kept(part.name) if len(word) >= _SHORTEST}
    names |= {part.substance.kind for part in givers if part.substance is not None}
    return any(names & words_kept(match[1]) for match in _GIVER.finditer(behind))


_SHORTEST = 3


def _is_told(find: Find, finds: Sequence[Find], taxonomy: Taxonomy) -> bool:
    """Whether the same is said elsewhere to be tasted in the drink."""
    word = taxonomy.resolve(find.word or "") or find.word
    return any(
        one.kind == "descriptor"
        and one.polarity == "has"
        and one.drink_id == find.drink_id
        and (taxonomy.resolve(one.word or "") or one.word) == word
        for one in finds
    )


def _is_of_a_part(said: _Denial, finds: Sequence[Find]) -> bool:
    """ "The sherry's at twelve degrees, not fridge-cold": of the part it is about."""
    find = said.find
    named = [
        one
        for one in finds
        if one.ingredient_ids
        and one.segment_id == find.segment_id
        and one.sentence_start == find.sentence_start
        and one.end <= find.start
    ]
    if not named:
        return False
    between = said.before[named[-1].end - find.sentence_start :]
    return words_kept(between).isdisjoint(_WHOLE) and not set(between) & set(";:")


_WHOLE = WHOLE | {"it", "it's", "everything", "you", "so"}
