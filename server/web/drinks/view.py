"""A drink's balance as its card shows it: figures in rows, pictures, words of caution."""

from dataclasses import dataclass

from server.domain.base.durations import format_clock
from server.domain.glass.balance import Balance, balance
from server.domain.glass.brew import Brew, brewed
from server.domain.glass.cautions import Caution, cautions
from server.domain.glass.figures import Estimate
from server.domain.glass.readout import NUMBERS, Number
from server.domain.glass.sugar import REFRACTOMETER_BRIX, refractometer_brix
from server.domain.glass.syrup import syrup_brix
from server.domain.glass.totals import SHARED_OUT
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.routine import Routine
from server.domain.routine.served import Standing, standing_of
from server.web.frame.filters import estimate
from server.web.frame.telling import told

SAID_ELSEWHERE = {"abv_additive_percent", "contraction_ml", "sugar_g", "acid_g", "temp_c"}
"""Numbers that stand in the sentences beside the table, or would only repeat it."""


LEAST_ABV = 2.0
"""From this strength on a refractometer is a Brix or so off."""


@dataclass(frozen=True)
class Row:
    """A figure of the balance for all serves and for one; `lacks` names what is not counted."""

    label: str
    batch: str
    serve: str
    lacks: tuple[str, ...]


@dataclass(frozen=True)
class Glass:
    """Everything computed about one drink."""

    drink: Drink
    balance: Balance
    rows: tuple[Row, ...]
    standing: Standing
    cautions: tuple[Caution, ...]
    refractometer: Estimate | None
    """What a refractometer shows where alcohol misleads it, °Bx."""


def glass_words(drink: Drink) -> str:
    """How the glass of a drink is spoken of."""
    return f"What is in the glass of “{drink.name}”"


def told_glass(drink: Drink, routine: Routine) -> tuple[Glass | None, str]:
    """The computed side of a drink, or why it cannot be told; neither without ingredients."""
    return told(glass_words(drink), lambda: glass_of(drink, routine))


def told_making(part: Ingredient) -> str:
    """What its brew or its syrup comes to, or that it cannot be told; "" where it is neither."""
    note, why = told(f"How “{part.name}” turns out", lambda: making_note(part))
    return note or why


def glass_of(drink: Drink, routine: Routine) -> Glass | None:
    """The computed side of a drink's card; None for a drink without ingredients."""
    if not drink.ingredients:
        return None
    worked_out = balance(drink, routine.standard_drink)
    standing = standing_of(drink, worked_out, routine.segments)
    return Glass(
        drink=drink,
        balance=worked_out,
        rows=tuple(_rows(worked_out)),
        standing=standing,
        cautions=cautions(worked_out, standing.drunk),
        refractometer=_refractometer(worked_out),
    )


def _refractometer(worked_out: Balance) -> Estimate | None:
    serve = worked_out.serve
    abv, mass, volume = serve.abv_percent, serve.mass_g, serve.volume_ml
    if not (abv and mass and volume and abv.value >= LEAST_ABV and volume.value > 0):
        return None
    shown = refractometer_brix(abv.value, 1000 * mass.value / volume.value)
    return Estimate(shown, max(0.0, shown - REFRACTOMETER_BRIX), shown + REFRACTOMETER_BRIX)


def making_note(part: Ingredient) -> str:
    """What its brew or its syrup comes to, in words; "" where it is neither."""
    if part.brew is not None:
        return _brew_note(part.brew)
    if part.syrup is not None:
        return f"cooked to {syrup_brix(part.syrup):.1f} Brix"
    return ""


def _brew_note(brew: Brew) -> str:
    cup = brewed(brew)
    ratio = "beverage to coffee" if cup.kind == "espresso" else "water to coffee"
    known = (
        ("", cup.dose_g, 1, "g of coffee"),
        ("", cup.water_g, 0, "g of water"),
        ("1 : ", cup.ratio, 1, ratio),
        ("gives ", cup.beverage_g, 0, "g"),
        ("which is ", cup.beverage_ml, 0, "ml"),
        ("strength ", cup.tds_percent, 2, "%"),
        ("extraction ", cup.extraction_percent, 1, "%"),
    )
    parts = [
        f"{before}{estimate(each, digits, unit)}" for before, each, digits, unit in known if each
    ]
    how = [
        f"at {brew.water_c:g} °C" if brew.water_c is not None else "",
        f"in {format_clock(brew.time_s)}" if brew.time_s else "",
    ]
    missing = f"missing: {', '.join(cup.missing)}" if cup.missing else cup.place
    return ", ".join([*parts, " ".join([cup.kind, *filter(None, how)]), missing])


def shown_numbers() -> list[Number]:
    """The numbers that stand in a table of the balance, in order."""
    return [number for number in NUMBERS if number.name not in SAID_ELSEWHERE]


def _rows(worked_out: Balance) -> list[Row]:
    pairs = (
        (number, getattr(worked_out.batch, number.name), getattr(worked_out.serve, number.name))
        for number in shown_numbers()
    )
    return [_row(number, batch, serve) for number, batch, serve in pairs if batch and serve]


def _row(number: Number, batch: Estimate, serve: Estimate) -> Row:
    whole, one = (estimate(each, number.decimals, number.unit) for each in (batch, serve))
    # What is the same in a serve as in the batch is shown once.
    return Row(number.words, whole if number.name in SHARED_OUT else "", one, batch.lacks)
