"""The form of what an ingredient is made of: properties, brew, syrup.

A property that is left empty is not known, which the balance says. A value that was not changed
keeps the source it came with; one that was typed has none, it is the person's own.
"""

from collections.abc import Callable, Mapping
from dataclasses import fields
from typing import Any, Literal, TypeVar, get_args

from server.domain.amounts import parse_amount
from server.domain.errors import Fault, InvalidInput
from server.domain.glass.allergens import ALLERGENS
from server.domain.glass.brew import Brew
from server.domain.glass.figure_text import format_figure
from server.domain.glass.figures import Basis, Content, Figure
from server.domain.glass.substance import KINDS, Cost, Kind, Substance
from server.domain.glass.syrup import Syrup
from server.web.forms import Typed

T = TypeVar("T")

FIGURES = ("abv", "density", "ph", "temp_c", "piece_g")
CONTENTS = ("sugar", "acid", "fat", "protein", "solids", "caffeine")
BASES: tuple[Basis, ...] = get_args(Basis)
BREW_NUMBERS = tuple(item.name for item in fields(Brew) if item.name != "bean")

Making = Literal["given", "brew", "syrup"]
MAKINGS: dict[Making, str] = {
    "given": "as it comes",
    "brew": "coffee brewed for this drink",
    "syrup": "syrup cooked for this drink",
}
"""How an ingredient is made -> the words for it."""


def substance_from(typed: Typed, before: Substance | None) -> Substance | None:
    """The properties a form gives; None where it gives none. Faults are noted in `typed`."""
    known = before or Substance()
    figures = {name: _figure(typed, name, getattr(known, name)) for name in FIGURES}
    contents = {name: _content(typed, name, getattr(known, name)) for name in CONTENTS}
    other: Kind = "other"
    kind = typed.chosen("kind", KINDS, other)
    allergens = tuple(each for each in ALLERGENS if typed.ticked(f"allergen-{each}"))
    is_checked = bool(allergens) or typed.ticked("allergens_checked")
    cost = typed.take(lambda: _cost(typed), None)
    named: dict[str, Any] = {**figures, **contents}
    made = typed.take(
        lambda: Substance(
            kind=kind, allergens=allergens if is_checked else None, cost=cost, **named
        ),
        Substance(),
    )
    return None if made == Substance() else made


def brew_from(typed: Typed) -> Brew | None:
    """The brew a form gives, where the ingredient is one. Faults are noted in `typed`."""
    if typed.text("making") != "brew":
        return None
    numbers = {name: typed.optional_number(name, 0, 100_000) for name in BREW_NUMBERS}
    bean: Literal["arabica", "robusta"] = (
        "robusta" if typed.text("bean") == "robusta" else "arabica"
    )
    return typed.take(lambda: Brew(**numbers, bean=bean), None)


def syrup_from(typed: Typed) -> Syrup | None:
    """The syrup a form gives, where the ingredient is one. Faults are noted in `typed`."""
    if typed.text("making") != "syrup":
        return None
    parts = {
        name: typed.optional_number(f"syrup_{name}", 0, 100_000) or 0.0
        for name in ("sugar", "water", "juice")
    }
    by: Literal["mass", "volume"] = "volume" if typed.text("syrup_by") == "volume" else "mass"
    return typed.take(lambda: _syrup(parts, by), None)


def substance_values(substance: Substance | None) -> dict[str, str]:
    """The texts with which the properties' fields start."""
    known = substance or Substance()
    texts: dict[str, str] = {"kind": known.kind}
    for name in (*FIGURES, *CONTENTS):
        figure = getattr(known, name)
        texts[name] = "" if figure is None else format_figure(figure)
    for name in CONTENTS:
        content = getattr(known, name)
        texts[f"{name}_per"] = "100 ml" if content is None else content.per
    texts |= {f"allergen-{each}": "yes" for each in known.allergens or ()}
    texts["allergens_checked"] = "" if known.allergens is None else "yes"
    if known.cost is not None:
        texts["price"] = f"{known.cost.price:g}"
        texts["price_for"] = str(known.cost.amount)
    return texts


def making_values(brew: Brew | None, syrup: Syrup | None) -> dict[str, str]:
    """The texts with which the fields of brew and syrup start."""
    making = "brew" if brew else "syrup" if syrup else "given"
    texts = {"making": making, "bean": brew.bean if brew else "arabica"}
    for name in BREW_NUMBERS:
        number = getattr(brew, name, None)
        texts[name] = "" if number is None else f"{number:g}"
    if syrup is not None:
        texts |= {
            f"syrup_{part}": f"{getattr(syrup, part):g}" for part in ("sugar", "water", "juice")
        }
    texts["syrup_by"] = syrup.by if syrup else "mass"
    return texts


def _figure(typed: Typed, name: str, before: Figure | None) -> Figure | None:
    if before is not None and typed.text(name) == format_figure(before):
        return before
    return typed.optional_figure(name)


def _content(typed: Typed, name: str, before: Content | None) -> Content | None:
    figure = _figure(typed, name, before)
    if figure is None:
        return None
    hundred_ml: Basis = "100 ml"
    per = typed.chosen(f"{name}_per", BASES, hundred_ml)
    if before is not None and figure is before and before.per == per:
        return before
    return Content(figure.value, figure.low, figure.high, figure.source, per)


def _cost(typed: Typed) -> Cost | None:
    if not typed.text("price"):
        return None
    price = typed.number("price", 0, 1_000_000)
    amount = parse_amount(typed.text("price_for") or "1 l", "price_for")
    return _renamed(lambda: Cost(price, amount), {"cost": "price"})


def _syrup(parts: Mapping[str, float], by: Literal["mass", "volume"]) -> Syrup:
    names = {name: f"syrup_{name}" for name in parts}
    return _renamed(lambda: Syrup(**parts, by=by), names)


def _renamed(make: Callable[[], T], names: Mapping[str, str]) -> T:
    """What `make` builds; its faults stand beside the fields of this form."""
    try:
        return make()
    except InvalidInput as error:
        raise InvalidInput(
            Fault(names.get(fault.field, fault.field), fault.message) for fault in error.faults
        ) from error
