"""A caution: one plain sentence about where a drink can hurt someone. Local codes always decide."""

from dataclasses import dataclass
from typing import Literal

Code = Literal[
    "ethanol", "strength", "scald", "very_hot", "holding", "raw_egg", "allergens", "caffeine",
    "curdling", "dry_ice", "liquid_nitrogen", "smoke", "flame", "methanol", "quinine", "nutmeg",
    "coumarin", "spices", "flowers", "kernels", "pressure", "broken_glass", "charcoal", "tobacco",
    "elder", "unpasteurised", "botulism", "corrosive", "essential_oil", "cannabis", "wormwood",
    "glitter", "copper", "not_drinkable", "grapefruit", "infants", "blender",
]  # fmt: skip

DEFER = "Local codes and licensed practice decide."


@dataclass(frozen=True)
class Caution:
    """One caution: what it is about, the words for it, ending with who decides, and a few words."""

    code: Code
    words: str
    short: str = ""
    """For the line that sums them up; empty where another says as much."""

    @property
    def alone(self) -> str:
        """The words without who decides, where that is said once for all of them."""
        return self.words.removesuffix(f" {DEFER}")


def caution_of(code: Code, words: str, short: str = "") -> Caution:
    """A caution that ends with who decides."""
    return Caution(code, f"{words} {DEFER}", short)
