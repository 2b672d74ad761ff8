"""Recipes for tests, with small defaults."""

from server.domain.base.amounts import parse_amount
from server.domain.glass.library import ingredient
from server.domain.glass.recipe import Recipe, RecipeLine
from server.domain.glass.substance import Substance


def line(key, amount, *, after=None, name=None):
    """A line of the library's ingredient `key`."""
    entry = ingredient(key)
    return RecipeLine(
        key, name or entry.name, parse_amount(amount), entry.substance, None, None, after
    )


def own_line(name, amount, substance=None, **more):
    """A line of the person's own ingredient."""
    kept = Substance(**more) if substance is None and more else substance
    return RecipeLine(name, name, parse_amount(amount), kept)


def recipe(*lines, serves=1, steps=(), part_ml=None):
    """A recipe of these lines."""
    return Recipe(tuple(lines), serves, tuple(steps), part_ml)
