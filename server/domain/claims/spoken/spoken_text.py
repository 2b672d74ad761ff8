"""All that is said in numbers in a text, sentence by sentence.

>>> from server.domain.base.tokens import tokens_of
>>> tokens = tokens_of("Forty millilitres, no, fifty, at one to two.")
>>> [(q.kind, q.low, q.high) for q in Spoken(tokens, "en").of((0, len(tokens)), ())]
[('amount', 50.0, 50.0), ('ratio', 1.0, 2.0)]
"""

from bisect import bisect_left
from collections.abc import Mapping, Sequence, Set
from dataclasses import dataclass, replace
from typing import TypeVar

from server.domain.base.languages import supported
from server.domain.base.tokens import Token, places_of
from server.domain.claims.brews.bare_brews import bare_brews, per_hundred
from server.domain.claims.handling.bare_steps import bare_steps
from server.domain.claims.handling.ice_water import ice_water_in, with_small_parts
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity, quantities_in
from server.domain.claims.said_numbers import SaidNumber, numbers_in
from server.domain.claims.spoken.bare import Bare, unparted_from
from server.domain.claims.spoken.by_recipe import (
    RecipeValue,
    by_recipe,
    has_amount,
    known_of,
    sizes_of,
)
from server.domain.claims.spoken.counts import counts_in, parts_counted
from server.domain.claims.spoken.degrees import (
    spirits_of,
    strengths_behind_amounts,
    with_degrees_of_alcohol,
)
from server.domain.claims.spoken.ellipsis import elliptic
from server.domain.claims.spoken.hedged import hedged
from server.domain.claims.spoken.in_parts import one_of_each, parts_of_syrup, syrups_of
from server.domain.claims.spoken.mended import mended
from server.domain.claims.spoken.of_the_recipe import counts_through, in_a_name, of_the_recipe
from server.domain.claims.spoken.ratios import ratios_in
from server.domain.claims.spoken.run_together import counted_aloud, parted
from server.domain.claims.spoken.serves import serves_in
from server.domain.claims.spoken.trade_turns import of_the_last, patterned
from server.domain.routine.drink import Drink

Placed = TypeVar("Placed", SaidNumber, Quantity)


@dataclass(frozen=True)
class Recipes:
    """What recipes tell of numbers that are said of them."""

    drinks: Sequence[Drink]
    known: Mapping[str, tuple[RecipeValue, ...]]
    units: Set[str]
    spirits: Set[str]
    sizes: Set[int]
    made: Set[int]
    syrups: Set[str]


def recipes_of(drinks: Sequence[Drink]) -> Recipes:
    """What is asked of the recipes of drinks, found out once for all texts about them."""
    known = known_of(drinks)
    return Recipes(
        drinks=drinks,
        known=known,
        units={one.unit for told in known.values() for one in told},
        spirits=spirits_of(drinks),
        sizes=sizes_of(drinks),
        made={drink.serves for drink in drinks},
        syrups=syrups_of(drinks),
    )


class Spoken:
    """The numbers of a text; its sentences are asked for in order."""

    def __init__(
        self, tokens: Sequence[Token], language: str, recipes: Recipes | None = None
    ) -> None:
        self.tokens, self.lang = tokens, supported(language)
        self.recipes = recipes or recipes_of(())
        self.topic: Mention | None = None
        self.strong: dict[Quantity, Mention] = {}
        self.runs_on = not any(token.gap.strip("-'’") for token in tokens)
        self.numbers: Sequence[SaidNumber] = numbers_in(tokens, language)
        if self.lang.code == "en":
            self.numbers = with_small_parts(tokens, parted(tokens, self.numbers))
        found = quantities_in(tokens, language, self.numbers)
        kept = mended(tokens, self.numbers, found, self.lang)
        self.instead = kept.instead
        self.quantities: Sequence[Quantity] = kept.quantities
        spent = set(kept.spent)
        if self.lang.code == "en":
            spent |= in_a_name(tokens, self.numbers, self.recipes.drinks)
            spent |= counted_aloud(tokens, self.numbers, places_of(kept.quantities))
        self.numbers = [each for each in self.numbers if each.first not in spent]
        self.carried: Quantity | None = None
        self.last_time: Quantity | None = None
        self.named = -1

    def has_any(self, span: tuple[int, int]) -> bool:
        """Whether a sentence (first token, end) may hold a quantity at all."""
        return bool(_within(self.numbers, span) or _within(self.quantities, span)) or any(
            token.norm in _WITHOUT_NUMBER for token in self.tokens[span[0] : span[1]]
        )

    def of(self, span: tuple[int, int], mentions: Sequence[Mention]) -> list[Quantity]:
        """The quantities of a sentence (first token, end), with those whose unit is left out."""
        numbers, found = _within(self.numbers, span), _within(self.quantities, span)
        if self.lang.code != "en":
            found = with_degrees_of_alcohol(
                self.tokens, found, mentions, self.recipes.spirits, self.lang
            )
        ratios = self._ratios(span, numbers, found, mentions)
        taken = places_of(ratios)
        found = [each for each in found if each.first not in taken] + ratios
        if self.lang.code == "en":
            found = parts_counted(self.tokens, found, self.recipes.sizes)
        found += counts_in(self.tokens, span, numbers, found, self.lang, self.recipes.sizes)
        if self.lang.code == "en":
            found += serves_in(self.tokens, span, numbers, found, self.recipes.made)
        found.sort(key=lambda quantity: quantity.first)
        busy = places_of(found)
        bare = [number for number in numbers if number.first not in busy]
        if self.lang.code == "en":
            bare = [number for number in bare if not counts_through(self.tokens, number)]
        if bare:
            sentence = Bare(
                self.tokens, *span, bare, found, mentions, self.carried, self.named == span[0],
                self.lang, self._timed(span[0]),
            )  # fmt: skip
            for read in (
                ice_water_in,
                patterned,
                self._by_brews,
                self._by_steps,
                hedged,
                self._by_recipe,
                self._strengths,
                of_the_last,
                elliptic,
                self._of_the_recipe,
            ):
                told = read(sentence)
                if not told:
                    continue
                found = _ordered(found, told)
                places = places_of(told)
                left = [one for one in sentence.numbers if one.first not in places]
                sentence = replace(sentence, numbers=left, quantities=found)
        amounts = [quantity for quantity in found if quantity.kind == "amount"]
        self.carried = amounts[-1] if amounts else self.carried
        times = [quantity for quantity in found if quantity.kind == "time"]
        self.last_time = times[-1] if times else self.last_time
        return found

    def _ratios(
        self,
        span: tuple[int, int],
        numbers: Sequence[SaidNumber],
        found: Sequence[Quantity],
        mentions: Sequence[Mention],
    ) -> list[Quantity]:
        tokens, recipes = self.tokens, self.recipes
        ratios = ratios_in(tokens, span, numbers, found, self.lang, mentions, runs_on=self.runs_on)
        if self.lang.code == "en":
            mixed = parts_of_syrup(
                tokens, span, numbers, found, mentions, self.topic, recipes.syrups
            )
            mixed += per_hundred(tokens, numbers, found)
            is_first = self.carried is None
            mixed += one_of_each(tokens, numbers, found, mentions, recipes.known, is_first=is_first)
            for one in mixed:
                if places_of(ratios).isdisjoint(places_of([one])):
                    ratios.append(one)
        return ratios

    def _timed(self, first: int) -> Quantity | None:
        last = self.last_time
        return last if last is not None and first - last.end <= FARTHEST_TIME else None

    def _by_recipe(self, sentence: Bare) -> list[Quantity]:
        return by_recipe(sentence, self.recipes.known, self.topic, self.instead)

    def _strengths(self, sentence: Bare) -> list[Quantity]:
        told = strengths_behind_amounts(
            sentence, self.topic, self.recipes.spirits, self.recipes.made
        )
        self.strong |= dict(told)
        return [quantity for quantity, _ in told]

    def _by_brews(self, sentence: Bare) -> list[Quantity]:
        return bare_brews(sentence, self.recipes.drinks)

    def _by_steps(self, sentence: Bare) -> list[Quantity]:
        return bare_steps(sentence, self.recipes.drinks)

    def _of_the_recipe(self, sentence: Bare) -> list[Quantity]:
        return of_the_recipe(sentence, self.recipes.known, self.recipes.drinks)

    def meant_by(self, quantity: Quantity, owner: Mention | None) -> Mention | None:
        """Whose an amount is: of what was named before, where that and not its owner has it.

        "What worked was verjus. That's the juice of green grapes, thirty millilitres.": not the
        apple's, though that is the only one called a juice.
        """
        topic = self.topic
        if quantity in self.strong:
            return owner or self.strong[quantity]
        if quantity.kind != "amount" or owner is None or topic is None:
            return owner
        if quantity.low == 1 and quantity.end < owner.first:
            behind = unparted_from(self.tokens, quantity.end, len(self.tokens), 2)
            if behind == ["each"]:
                # "Two dashes of bitters. On top, one each, so you'll smell clove."
                return topic
        is_kind = owner.end - owner.first == 1 and self.tokens[owner.first].norm in _KINDS
        between = [token.norm for token in self.tokens[quantity.end : owner.first]]
        if not is_kind and between != ["of", "that"]:
            return owner
        fits = has_amount(self.recipes.known, topic, quantity) and not has_amount(
            self.recipes.known, owner, quantity
        )
        return topic if fits else owner

    def note(self, span: tuple[int, int], mentions: Sequence[Mention]) -> None:
        """Keep in mind whether a sentence is a short one that ends with an ingredient."""
        ends = any(one.end == span[1] and one.ingredient_ids for one in mentions)
        self.named = span[1] if ends and span[1] - span[0] <= 4 else -1
        named = [one for one in mentions if one.ingredient_ids]
        self.topic = named[-1] if named else self.topic
        if self.topic is not None and span[1] - self.topic.end > FARTHEST_TOPIC:
            self.topic = None


def _ordered(*groups: Sequence[Quantity]) -> list[Quantity]:
    return sorted((one for group in groups for one in group), key=lambda one: one.first)


_KINDS = frozenset(
    ["juice", "syrup", "spirit", "tea", "water", "coffee", "liqueur", "cordial", "cream", "wine"]
)
"""Names that may be of more than the one ingredient whose name holds them."""

FARTHEST_TIME = 16
"""So many tokens behind a time another is told in its unit: "… ten seconds. With ice, twelve."."""

FARTHEST_TOPIC = 45
"""So many tokens behind its name an ingredient is still what is spoken of."""


_WITHOUT_NUMBER = frozenset(
    phrase.split()[0]
    for code in ("en", "de", "fr", "es", "it", "pt")
    for phrase in supported(code).equal_parts
) | {"once", "twice", "double", "half", "thrice", "much", "many"}
"""Words that a ratio may begin with where no number stands."""


def _within(parts: Sequence[Placed], span: tuple[int, int]) -> list[Placed]:
    """Those of ordered parts that lie in a stretch of tokens, whole."""
    begin = bisect_left(parts, span[0], key=lambda part: part.first)
    stop = bisect_left(parts, span[1], key=lambda part: part.first)
    return [part for part in parts[begin:stop] if part.end <= span[1]]
