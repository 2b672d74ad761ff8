"""The fourteen allergens of EU law (Regulation (EU) No 1169/2011, Annex II).

Other countries list others (the USA has nine); local codes decide what has to be declared.

>>> perhaps_exempt("spirit", ("gluten", "eggs")), perhaps_exempt("nut", ("nuts",))
(('gluten',), ())
"""

from typing import Literal, get_args

Allergen = Literal[
    "gluten", "crustaceans", "eggs", "fish", "peanuts", "soybeans", "milk", "nuts", "celery",
    "mustard", "sesame", "sulphites", "lupin", "molluscs",
]  # fmt: skip

ALLERGENS: tuple[Allergen, ...] = get_args(Allergen)
"""In the order of the law, which numbers them 1 to 14."""

ALLERGEN_WORDS: dict[Allergen, str] = {
    "gluten": "cereals with gluten (wheat, rye, barley, oats)",
    "crustaceans": "crustaceans",
    "eggs": "eggs",
    "fish": "fish",
    "peanuts": "peanuts",
    "soybeans": "soybeans",
    "milk": "milk, lactose included",
    "nuts": "nuts (almond, hazelnut, walnut, cashew, pecan, Brazil, pistachio, macadamia)",
    "celery": "celery",
    "mustard": "mustard",
    "sesame": "sesame",
    "sulphites": "sulphites above 10 mg/l",
    "lupin": "lupin",
    "molluscs": "molluscs",
}

DISTILLED_AWAY: frozenset[Allergen] = frozenset({"gluten", "milk", "nuts"})
"""Cereals, whey and nuts used to make a distillate are exempt in it (Annex II, 1(d), 7(a), 8(a));
what is steeped in it afterwards is not. Milk that was clarified stays milk: whey holds lactose and
whey protein."""


def perhaps_exempt(kind: str, allergens: tuple[Allergen, ...]) -> tuple[Allergen, ...]:
    """Those that need not be declared if they were distilled, for the person to judge.

    All that was ticked is declared all the same: a spirit washed with butter holds milk.
    """
    if kind != "spirit":
        return ()
    return tuple(allergen for allergen in allergens if allergen in DISTILLED_AWAY)


def in_order(allergens: set[Allergen]) -> tuple[Allergen, ...]:
    """A set of allergens in the order of the law."""
    return tuple(allergen for allergen in ALLERGENS if allergen in allergens)
