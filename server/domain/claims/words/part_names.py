"""Words of taste that stand before an ingredient and are its name: "fresh lemon juice" of a part
that is called "Lemon juice, fresh" says nothing of the drink.
"""

from collections.abc import Sequence

from server.domain.base.tokens import Token, words_kept
from server.domain.claims.mentions import Mention
from server.domain.routine.drink import Drink


def without_part_names(
    tokens: Sequence[Token],
    mentions: Sequence[Mention],
    drinks: Sequence[Drink],
    card: frozenset[str] = frozenset(),
) -> list[Mention]:
    """The mentions without those that only belong to a part's name; a word of the card stays."""
    by_first = {one.first: one for one in mentions}
    names = {part.id: part.name for drink in drinks for part in drink.ingredients}

    def is_of_a_name(one: Mention) -> bool:
        behind = by_first.get(one.end)
        if behind is None or one.ingredient_ids or one.is_any_of(card) or tokens[one.end].gap:
            return False
        said = {token.norm for token in tokens[one.first : one.end]}
        return any(said <= words_kept(names.get(part, "")) for part in behind.ingredient_ids)

    return [one for one in mentions if not is_of_a_name(one)]
