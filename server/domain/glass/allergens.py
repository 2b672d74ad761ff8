"""The fourteen allergens of EU law (Regulation (EU) No 1169/2011, Annex II).

Other countries list others (the USA has nine); local codes decide what has to be declared.

>>> perhaps_exempt("spirit", ("gluten", "eggs")), perhaps_exempt("nut", ("nuts",))
(('gluten',), ())
>>> named_allergens("spirit", "Rye whisky"), named_allergens("spirit", "Milk-washed gin")
((), ('milk',))
"""

import re
import tomllib
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal, get_args

_FILE = Path(__file__).with_name("allergens.toml")

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


_STEEPED = re.compile(r"\b(?:wash\w*|infus\w*|steep\w*|macerat\w*|fat|flavou?red)\b")
_DISTILLED = re.compile(r"\b(?:distill?\w*|eau de vie|eaux de vie|geist)\b")


@lru_cache(maxsize=4096)
def named_allergens(kind: str, name: str) -> tuple[Allergen, ...]:
    """Those that the name of an ingredient of that kind tells of, in the order of the law: a guess.

    Grain is not told of in a spirit, which is made of it, nor nuts and milk where the name says
    that they were distilled; but they are where it says that something was steeped or washed in it.
    """
    plain = re.sub(r"(?<=\w)[-‐‑–](?=\w)", " ", name.casefold().replace("’", "'"))
    found = tuple(each for each, (told, never) in _told_by().items() if _tells(told, never, plain))
    if kind != "spirit" or _STEEPED.search(plain):
        return found
    gone = DISTILLED_AWAY if _DISTILLED.search(plain) else {"gluten"}
    return tuple(each for each in found if each not in gone)


def short_words(allergen: Allergen) -> str:
    """An allergen in a word or two: "nuts" without which."""
    return re.split(r" \(|,| above", ALLERGEN_WORDS[allergen], maxsplit=1)[0]


def _tells(told: re.Pattern[str], never: re.Pattern[str], plain: str) -> bool:
    covered = [each.span() for each in never.finditer(plain)]
    return any(
        not any(start <= hit.start() and hit.end() <= end for start, end in covered)
        for hit in told.finditer(plain)
    )


@cache
def _told_by() -> dict[Allergen, tuple[re.Pattern[str], re.Pattern[str]]]:
    tables = tomllib.loads(_FILE.read_text(encoding="utf-8"))
    return {
        each: (_whole(tables["names"][each]), _whole(tables["never"].get(each, [])))
        for each in ALLERGENS
    }


def _whole(patterns: list[str]) -> re.Pattern[str]:
    return re.compile(rf"(?<!\w)(?:{'|'.join(patterns) or '(?!)'})(?!\w)")
