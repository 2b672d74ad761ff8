"""The form of what an ingredient is made of: properties, brew, syrup.

A property that is left empty is not known, which the balance says. A value that was not changed
keeps the source it came with; one that was typed has none, it is the person's own.
"""

from collections.abc import Mapping
from typing import Any, Literal, TypeVar, get_args

from server.domain.base.amounts import parse_amount
from server.domain.base.durations import write_duration
from server.domain.base.numbers import write_number
from server.domain.glass.allergens import ALLERGENS, Allergen, in_order
from server.domain.glass.brew import Brew
from server.domain.glass.brew_balance import BREW_KINDS, QUANTITIES, BrewKind
from server.domain.glass.figure_text import format_figure
from server.domain.glass.figures import Basis, Content, Figure
from server.domain.glass.library import LibraryEntry
from server.domain.glass.substance import KINDS, Cost, Kind, Substance
from server.domain.glass.syrup import Syrup, SyrupBy
from server.domain.routine.ahead import NOTHING_AHEAD, Ahead
from server.web.frame.forms import Typed, renamed

T = TypeVar("T")

FIGURES = ("abv", "density", "ph", "temp_c", "piece_g")
CONTENTS = ("sugar", "carbohydrate", "acid", "fat", "protein", "solids", "caffeine")
BASES: tuple[Basis, ...] = get_args(Basis)
SYRUP_PARTS = ("sugar", "water", "juice", "solids")
SYRUP_WAYS: tuple[SyrupBy, ...] = get_args(SyrupBy)
_UNASKED = ("bulk_g_per_ml", "juice_brix", "juice_acid_percent")
BREW_NUMBERS = tuple(QUANTITIES)
BREW_WORDS: dict[BrewKind, str] = {
    "drip": "drip: filter, pour-over",
    "immersion": "immersion: steeped, then parted",
    "espresso": "espresso",
}
"""Kind of brew -> the words for it."""

FILLED = "library_filled"
"""The field that names the entry of the library whose values the browser has put into the form."""

Making = Literal["given", "brew", "syrup"]
MAKINGS: dict[Making, str] = {
    "given": "as it comes",
    "brew": "coffee brewed for this drink",
    "syrup": "syrup cooked for this drink",
}
"""How an ingredient is made -> the words for it."""


def substance_from(
    typed: Typed, before: Substance | None, entry: LibraryEntry | None = None
) -> Substance | None:
    """The properties a form gives; None where it gives none. Faults are noted in `typed`.

    What is typed wins over `entry`, the chosen one of the library: its values stand only in fields
    that were left as they were shown, and were not typed before either.
    """
    known = before or Substance()
    offered = entry.substance if entry else None
    takes = offered is not None and typed.text(FILLED) != (entry.key if entry else "")
    figures = {name: _figure(typed, name, known, offered, takes) for name in FIGURES}
    contents = {name: _content(typed, name, known, offered, takes) for name in CONTENTS}
    other: Kind = "other"
    kind = typed.chosen("kind", KINDS, other)
    kind = offered.kind if takes and offered and kind == known.kind else kind
    allergens, is_open = _allergens(typed, offered if takes else None)
    cost = typed.take(lambda: _cost(typed), None)
    named: dict[str, Any] = {**figures, **contents}
    made = typed.take(
        lambda: Substance(
            kind=kind, allergens=allergens, allergens_open=is_open, cost=cost, **named
        ),
        Substance(),
    )
    return None if made == Substance() else made


def brew_from(typed: Typed) -> Brew | None:
    """The brew a form gives, where the ingredient is one. Faults are noted in `typed`."""
    if typed.text("making") != "brew":
        return None
    numbers = {name: typed.optional_number(name) for name in BREW_NUMBERS}
    bean: Literal["arabica", "robusta"] = (
        "robusta" if typed.text("bean") == "robusta" else "arabica"
    )
    drip: BrewKind = "drip"
    kind = typed.chosen("brew_kind", BREW_KINDS, drip)
    water_c, time_s = typed.optional_number("water_c"), typed.optional_duration("brew_time")

    def brew() -> Brew:
        return Brew(**numbers, bean=bean, kind=kind, water_c=water_c, time_s=time_s or None)

    return typed.take(lambda: renamed(brew, {"time_s": "brew_time", "kind": "brew_kind"}), None)


def syrup_from(typed: Typed, before: Syrup | None) -> Syrup | None:
    """The syrup a form gives, where the ingredient is one. Faults are noted in `typed`.

    What the form does not ask (how sweet and sour its juice is) stays as it was `before`.
    """
    if typed.text("making") != "syrup":
        return None
    parts = {name: typed.optional_number(f"syrup_{name}") or 0.0 for name in SYRUP_PARTS}
    held = typed.optional_number("syrup_held")
    by_mass: SyrupBy = "mass"
    by = typed.chosen("syrup_by", SYRUP_WAYS, by_mass)
    return typed.take(lambda: _syrup(parts, by, held, before), None)


def substance_values(substance: Substance | None, named: LibraryEntry | None) -> dict[str, str]:
    """The texts with which the properties' fields start.

    `named` is the entry of the library that it is called like: what that says of allergens is not
    what the person has checked.
    """
    known = substance or Substance()
    texts: dict[str, str] = {"kind": known.kind}
    for name in (*FIGURES, *CONTENTS):
        figure = getattr(known, name)
        texts[name] = "" if figure is None else format_figure(figure)
    for name in CONTENTS:
        content = getattr(known, name)
        texts[f"{name}_per"] = "100 ml" if content is None else content.per
    texts |= {f"allergen-{each}": "yes" for each in known.allergens or ()}
    by_library = named is not None and _allergens_of(named.substance) == _allergens_of(known)
    is_whole = known.allergens is not None and not known.allergens_open
    texts["allergens_library"] = "yes" if by_library and is_whole else ""
    texts["allergens_checked"] = "yes" if is_whole and not by_library else ""
    if known.cost is not None:
        texts["price"] = write_number(known.cost.price)
        texts["price_for"] = str(known.cost.amount)
    return texts


def ahead_from(typed: Typed, before: Ahead) -> Ahead:
    """What was done before the slot."""
    text = typed.text("made")
    made = typed.take(lambda: parse_amount(text, "made"), None) if text else None
    hours, warmth_c = typed.optional_number("steeped_h"), typed.optional_number("steeped_c")
    out_min = typed.optional_figure("out_min", before.out_min)
    return typed.take(lambda: Ahead(made, hours, warmth_c, out_min), NOTHING_AHEAD)


def ahead_values(ahead: Ahead) -> dict[str, str]:
    """The texts with which its fields start."""
    numbers = {"steeped_h": ahead.steeped_h, "steeped_c": ahead.steeped_c}
    texts = {name: "" if n is None else write_number(n) for name, n in numbers.items()}
    texts["out_min"] = "" if ahead.out_min is None else format_figure(ahead.out_min)
    return {"made": str(ahead.made) if ahead.made else "", **texts}


def making_values(brew: Brew | None, syrup: Syrup | None) -> dict[str, str]:
    """The texts with which the fields of brew and syrup start."""
    making = "brew" if brew else "syrup" if syrup else "given"
    texts = {"making": making, "bean": brew.bean if brew else "arabica"}
    for name in (*BREW_NUMBERS, "water_c"):
        number = getattr(brew, name, None)
        texts[name] = "" if number is None else write_number(number)
    texts["brew_kind"] = brew.kind if brew else "drip"
    texts["brew_time"] = write_duration(brew.time_s) if brew and brew.time_s else ""
    if syrup is not None:
        texts |= {f"syrup_{part}": write_number(getattr(syrup, part)) for part in SYRUP_PARTS}
        held = syrup.held_g_per_g
        texts["syrup_held"] = "" if held is None else write_number(held)
    texts["syrup_by"] = syrup.by if syrup else "mass"
    return texts


def _figure(
    typed: Typed, name: str, known: Substance, offered: Substance | None, takes: bool
) -> Figure | None:
    """The figure of a field; one that stands there as it was shown keeps its source.

    What the library offers comes in place of what it offered before, not of what was typed.
    """
    before: Figure | None = getattr(known, name)
    from_library: Figure | None = getattr(offered, name, None)
    text = typed.text(name)
    if takes and text == _text(before) and name not in known.typed:
        return from_library
    return typed.optional_figure(name, before, from_library)


def _text(figure: Figure | None) -> str:
    return "" if figure is None else format_figure(figure)


def _content(
    typed: Typed, name: str, known: Substance, offered: Substance | None, takes: bool
) -> Content | None:
    before: Content | None = getattr(known, name)
    hundred_ml: Basis = "100 ml"
    per = typed.chosen(f"{name}_per", BASES, hundred_ml)
    is_as_shown = per == (before.per if before else hundred_ml)
    figure = _figure(typed, name, known, offered, takes and is_as_shown)
    if figure is None or (
        isinstance(figure, Content) and (figure.per == per or (takes and is_as_shown))
    ):
        return figure
    return Content(figure.value, figure.low, figure.high, figure.source, per)


Allergens = tuple[tuple[Allergen, ...] | None, bool]
"""Those that are certain, None where nothing is known, and whether there may be others."""


def _allergens(typed: Typed, offered: Substance | None) -> Allergens:
    """What was ticked, never less; others may be in it unless someone checked or the library knew.

    None, not known, where nothing was ticked and nobody checked.
    """
    ticked = tuple(each for each in ALLERGENS if typed.ticked(f"allergen-{each}"))
    if typed.ticked("allergens_checked"):
        return ticked, False
    if offered is not None and offered.allergens is None:
        return (ticked, True) if ticked else (None, False)
    if offered is not None:
        return in_order({*ticked, *(offered.allergens or ())}), offered.allergens_open
    # What the library said of it stays as it is, though nobody has checked.
    if typed.text("allergens_library"):
        return ticked, False
    return (ticked, True) if ticked else (None, False)


def _allergens_of(substance: Substance) -> Allergens:
    return substance.allergens, substance.allergens_open


def _cost(typed: Typed) -> Cost | None:
    if not typed.text("price"):
        return None
    price = typed.number("price")
    amount = parse_amount(typed.text("price_for") or "1 l", "price_for")
    return renamed(lambda: Cost(price, amount), {"cost": "price"})


def _syrup(
    parts: Mapping[str, float], by: SyrupBy, held: float | None, before: Syrup | None
) -> Syrup:
    names = {"held_g_per_g": "syrup_held"} | {name: f"syrup_{name}" for name in parts}
    kept = {} if before is None else {name: getattr(before, name) for name in _UNASKED}
    return renamed(lambda: Syrup(**parts, by=by, held_g_per_g=held, **kept), names)
