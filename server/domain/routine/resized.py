"""A drink made for another number of serves, each serve as it was.

>>> from server.domain.base.amounts import Amount
>>> from server.domain.routine.drink import Ingredient
>>> gin = Ingredient("a", "gin", Amount(180, "ml"))
>>> [str(part.amount) for part in for_serves(Drink("d", "Dusk", 4, (gin,)), 3).ingredients]
['135 ml']
"""

from dataclasses import replace

from server.domain.base.amounts import Amount
from server.domain.glass.scaling import Batch, scaled_recipe
from server.domain.routine.drink import Drink

DIGITS = 6
"""Decimals of an amount that are kept: a third of 20 ml has no end."""


def for_serves(drink: Drink, serves: int) -> Drink:
    """The drink with all its amounts times `serves` by those it was for.

    What is a share stays, such as a dilution. Raises CannotTell for more than a recipe can be.
    """
    recipe = scaled_recipe(drink, Batch(serves=serves)).recipe
    return replace(
        drink,
        serves=serves,
        steps=recipe.steps,
        ingredients=tuple(
            replace(
                part,
                amount=Amount(round(line.amount.value, DIGITS), line.amount.unit),
                brew=line.brew,
            )
            for part, line in zip(drink.ingredients, recipe.ingredients, strict=True)
        ),
    )
