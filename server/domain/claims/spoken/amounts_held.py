"""What a spoken amount is held against: an ingredient, a brew's masses, the alcohol, or the whole.

>>> near_words(" of the rum; forty of lime", "en"), near_words(" grams in, sixty", "en")
('of the rum', 'grams in #')
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.tokens import first_tokens
from server.domain.claims.backing import Judgement
from server.domain.claims.brews.brew_masses import brew_mass_judged
from server.domain.claims.brews.brew_water import brew_water_judged, lists_water
from server.domain.claims.compare_amounts import (
    amount_judged,
    said_amount,
    volume_judged,
)
from server.domain.claims.facts import GlassFacts, KnownNumber
from server.domain.claims.finds import Find
from server.domain.claims.rows import ScriptCase, facts_for
from server.domain.claims.said_numbers import is_cardinal
from server.domain.claims.spoken.outside import alcohol_judged
from server.domain.claims.spoken.pieces import is_unmarked
from server.domain.claims.spoken.share import share_of
from server.domain.claims.tasting.known_bounds import OF_ALCOHOL
from server.domain.routine.drink import Drink

_WHOLE = re.compile(
    r"of (?:everything|all of it|it all|the lot|the whole(?: lot| thing| drink| batch)?|liquid"
    r"|fluid|(?:the |this )?(?:drink|cocktail|punch|mix|mixture|batch))\b"
)
"""Behind an amount these tell that it is that of all ingredients together."""

_OF_IT = ("of it", "of that", "of this", "of them")

_STOPS = frozenset(";:()")
"""Marks behind which a number's own words do not go on."""


def measured_judged(
    find: Find, text: str, owners: Sequence[str], drinks: Sequence[Drink], case: ScriptCase
) -> Judgement:
    """The state of an amount in a text; `owners` are the ingredients it is most likely of."""
    first, stop = find.sentence_start, find.sentence_end
    sentence, behind = text[first:stop], text[find.end : stop]
    share = share_of(sentence, find.start - first, find.end - first, case.language)
    near = near_words(behind, case.language)
    facts = facts_for(case, drinks)
    if find.unit in ("g", "kg") and not set(near.split()[:3]).isdisjoint(OF_ALCOHOL):
        return alcohol_judged(find, facts, share, case.tolerance)
    if not find.ingredient_ids and _WHOLE.match(near):
        return _of_the_whole(find, drinks, facts, case)
    of_brew = brew_mass_judged(find, drinks, sentence, near, share, case.tolerance)
    if not find.ingredient_ids and _is_of_water(near) and not lists_water(drinks):
        water = brew_water_judged(find, drinks, case.tolerance)
        why = f"You say {said_amount(find)} of water; the recipe lists none."
        unlisted = Judgement("unbacked", why, is_checked=False)
        return water if water.state == "backed" else of_brew or unlisted
    judged = amount_judged(find, drinks, owners, case.tolerance, facts, share)
    # Where no marks stand, the name before an amount may be that of the clause before.
    # "… that the lemon gets, that's a hundred and twenty": of what the sentence is about.
    is_summed = text[first : find.start].casefold().rstrip().endswith("that's")
    is_loose = not find.ingredient_ids or is_unmarked(text) or is_summed
    is_told = near.startswith("of ") and not (is_unmarked(text) and near.startswith(_OF_IT))
    if judged.state == "contradicted" and is_loose and not is_told:
        judged = _of_another(find, drinks, case, judged)
    if of_brew is None or judged.state == "backed":
        return judged
    is_of_another = of_brew.state == "contradicted" and _is_no_brew(find, drinks)
    return judged if is_of_another else of_brew


def near_words(text: str, language: str) -> str:
    """The first words behind a number: what it is of. A next number ends them, and is a "#"."""
    words: list[str] = []
    for at, token in enumerate(first_tokens(text, 4)):
        if at and not _STOPS.isdisjoint(token.gap):
            break
        is_number = token.is_number or is_cardinal(token.norm, language)
        words.append("#" if is_number else token.norm)
        if is_number:
            break
    return " ".join(words)


def _of_another(
    find: Find, drinks: Sequence[Drink], case: ScriptCase, named: Judgement
) -> Judgement:
    """An amount that names nothing and does not fit what was named last: it may be of another."""
    other = amount_judged(find, drinks, (), case.tolerance, facts_for(case, drinks))
    if other.state != "backed":
        return named
    return replace(other, state="weakly backed", why=f"{other.why} Named last is another.")


def _of_the_whole(
    find: Find, drinks: Sequence[Drink], facts: Sequence[GlassFacts], case: ScriptCase
) -> Judgement:
    """ "720 ml of everything": all that the recipe lists, or what is computed to be in glasses."""
    volumes = [part.amount.volume_ml for drink in drinks for part in drink.ingredients]
    listed_ml = sum(volume for volume in volumes if volume is not None)
    listed = KnownNumber("amount", "for all that the recipe lists", listed_ml, listed_ml)
    known = [*facts, *(GlassFacts(drink.id, (listed,)) for drink in drinks[:1] if listed_ml)]
    why = f"You say {said_amount(find)} of all together; nothing that is computed is that."
    unknown = Judgement("unbacked", why, is_checked=False)
    return volume_judged(find, known, case.tolerance) or unknown


def _is_of_water(near: str) -> bool:
    words = near.split()
    return words[:1] == ["of"] and "water" in words


def _is_no_brew(find: Find, drinks: Sequence[Drink]) -> bool:
    """Whether what is named beside an amount is not brewed."""
    brewed = {part.id for drink in drinks for part in drink.ingredients if part.brew is not None}
    return bool(find.ingredient_ids) and brewed.isdisjoint(find.ingredient_ids)
