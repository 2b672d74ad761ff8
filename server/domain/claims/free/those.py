""" "Nothing but those": what was listed right before is meant, and whether that was all of it.

A list that holds a thing which is no ingredient on record may name one by other words: nothing is
called false by it.
"""

import re
from collections.abc import Sequence

from server.domain.base.tokens import first_tokens
from server.domain.claims.backing import Judgement
from server.domain.claims.finds import Find
from server.domain.claims.free.judged import only_judged
from server.domain.claims.free.only import THOSE
from server.domain.claims.sayings import TimesOfSayings
from server.domain.claims.spoken.recipes import count_judged
from server.domain.routine.drink import Drink

LEAST_LISTED = 2

_OPENING = 3
"""So many words may stand before "nothing but those" where the sentence before has the list."""

_ITEMS = re.compile(r"[,;:–—]|\b(?:and|plus|then)\b", re.IGNORECASE)


def says_those(find: Find, timetable: TimesOfSayings) -> bool:
    """ "Nothing but those": what was told before is meant."""
    behind = timetable.sentence(find)[find.end - find.sentence_start :]
    return any(token.norm in THOSE for token in first_tokens(behind, 1))


def those_judged(
    find: Find, earlier: Sequence[Find], drinks: Sequence[Drink], timetable: TimesOfSayings
) -> Judgement:
    """The state of "nothing but those", by the list before it and all that was named so far."""
    judged = only_judged(named_so_far(earlier), drinks)
    if judged.state == "backed":
        return judged
    listed = _listed(find, earlier, timetable)
    is_counted = _counts_them(find, earlier, drinks)
    if len(named_so_far(listed)) < LEAST_LISTED and not is_counted:
        return Judgement("unbacked", "No list is found that this speaks of.", is_checked=False)
    if is_counted:
        why = f"{judged.why} But you count as many as the recipe has."
        return Judgement("unbacked", why, is_checked=False)
    if _has_others(find, listed, timetable):
        why = f"{judged.why} But your list names a thing besides that is not on record."
        return Judgement("unbacked", why, is_checked=False)
    return judged


def named_so_far(finds: Sequence[Find]) -> tuple[str, ...]:
    """The ingredients named so far: "… That's the lot, and nothing else goes in"."""
    return tuple(dict.fromkeys(one for find in finds for one in find.ingredient_ids))


def _listed(find: Find, earlier: Sequence[Find], timetable: TimesOfSayings) -> list[Find]:
    """What its own sentence names before it; else, where it opens its own, the one before."""
    near = [one for one in earlier if one.segment_id == find.segment_id and one.ingredient_ids]
    here = [one for one in near if one.sentence_index == find.sentence_index]
    ahead = timetable.sentence(find)[: find.start - find.sentence_start]
    if here or len(first_tokens(ahead, _OPENING + 1)) > _OPENING:
        return here
    return [one for one in near if one.sentence_index == find.sentence_index - 1]


def _has_others(find: Find, listed: Sequence[Find], timetable: TimesOfSayings) -> bool:
    """Whether a list has more items than ingredients were found in it."""
    first = listed[0]
    is_here = first.sentence_index == find.sentence_index
    until = find.start - find.sentence_start if is_here else None
    items = [
        each for each in _ITEMS.split(timetable.sentence(first)[:until]) if first_tokens(each, 1)
    ]
    return len(items) > len({one.start for one in listed})


def _counts_them(find: Find, earlier: Sequence[Find], drinks: Sequence[Drink]) -> bool:
    """ "Four ingredients and nothing but those": counted rightly, and named one by one later."""
    last = next((each for each in reversed(earlier) if each.kind == "count"), None)
    if last is None or last.segment_id != find.segment_id or last.unit != "ingredient":
        return False
    return count_judged(last, drinks).state == "backed"
