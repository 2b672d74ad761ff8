"""Kinds of ingredients and steps in words, and which fields a person sees first for each."""

from server.domain.glass.substance import Kind

KIND_WORDS: dict[Kind, str] = {
    "spirit": "Spirit",
    "liqueur": "Liqueur",
    "wine": "Wine, fortified or not",
    "beer": "Beer or cider",
    "bitters": "Bitters or tincture",
    "syrup": "Syrup or honey",
    "juice": "Juice",
    "soda": "Soft drink",
    "dairy": "Milk or cream",
    "coffee": "Coffee",
    "tea": "Tea or infusion",
    "water": "Water",
    "ice": "Ice",
    "sugar": "Sugar, dry",
    "acid": "Acid, dry",
    "salt": "Salt, dry",
    "egg": "Egg",
    "nut": "Nut",
    "garnish": "Garnish: peel, leaf, spice",
    "other": "Something else",
}

_FIRST: dict[Kind, tuple[str, ...]] = {
    "spirit": ("abv",),
    "liqueur": ("abv", "sugar"),
    "wine": ("abv",),
    "beer": ("abv",),
    "bitters": ("abv",),
    "syrup": ("sugar",),
    "soda": ("sugar",),
    "dairy": ("fat",),
    "coffee": ("temp_c",),
    "tea": ("temp_c",),
    "other": ("kind", "abv"),
}
"""Beside amount, name and what it gives."""

_STEP_FIRST = {
    "ice": ("to_temp_c", "ice_c"),
    "stir": ("dilution", "ice_c"),
    "shake": ("dilution", "ice_c"),
    "blend": ("ice_g", "ice_c", "to_temp_c"),
    "heat": ("to_temp_c", "loss"),
    "chill": ("to_temp_c",),
    "filter": ("recovered_ml", "loss", "curd"),
    "stand": ("minutes",),
    "layer": (),
}

PROPERTIES = (
    "kind", "abv", "sugar", "acid", "temp_c", "ph", "fat", "protein", "carbohydrate", "solids",
    "caffeine", "density", "piece_g",
)  # fmt: skip
STEP_FIELDS = ("to_temp_c", "ice_g", "ice_c", "dilution", "recovered_ml", "loss", "curd", "minutes")


def first_fields(kind: Kind, unit_counts: bool = False) -> tuple[str, ...]:
    """The properties that matter for a kind; of counted things what one of them weighs."""
    known = _FIRST.get(kind, ())
    return (*known, "piece_g") if unit_counts and kind != "garnish" else known


def first_step_fields(kind: str) -> tuple[str, ...]:
    """The fields that a step of that kind has; all of them while none is chosen."""
    return _STEP_FIRST.get(kind, STEP_FIELDS)
