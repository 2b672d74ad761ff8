"""A drink's balance as its card shows it: figures in rows, pictures, words of caution."""

from dataclasses import dataclass, replace

from server.domain.base.durations import format_clock
from server.domain.base.number_words import count
from server.domain.glass.balance import ICE_UNCOUNTED, Balance, balance
from server.domain.glass.brew import Brew, brewed
from server.domain.glass.caution import Caution
from server.domain.glass.cautions import cautions
from server.domain.glass.figures import Estimate
from server.domain.glass.readout import NUMBERS, TotalsNumber
from server.domain.glass.sugar import REFRACTOMETER_ABV, REFRACTOMETER_BRIX, refractometer_brix
from server.domain.glass.syrup import Syrup, strained_yield_ml, syrup_range
from server.domain.glass.totals import SHARED_OUT
from server.domain.routine.brim import Brim, brim_of
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.named_hazards import hazards_of_drink
from server.domain.routine.routine import Routine
from server.domain.routine.served import (
    THINNED,
    StandingServe,
    poured_and_drunk,
    standing_of,
)
from server.domain.routine.waiting import Waited, as_used
from server.domain.whole.readiness import unknown_words
from server.web.frame.filters import NOT_KNOWN, estimate
from server.web.frame.telling import told

SAID_ELSEWHERE = {"abv_additive_percent", "contraction_ml", "sugar_g", "acid_g", "temp_c"}
"""Numbers that stand in the sentences beside the table, or would only repeat it."""


LEAST_ABV = 2.0
"""From this strength on a refractometer is a Brix or so off."""


@dataclass(frozen=True)
class BalanceRow:
    """A figure of the balance for all serves and for one; `lacks` names what is not counted."""

    name: str
    label: str
    batch: str
    serve: str
    lacks: tuple[str, ...]


@dataclass(frozen=True)
class Glass:
    """Everything computed about one drink."""

    drink: Drink
    balance: Balance
    rows: tuple[BalanceRow, ...]
    standing: StandingServe
    cautions: tuple[Caution, ...]
    waited: tuple[Waited, ...]
    """Ingredients that wait before they go in."""
    refractometer: Estimate | None
    """What a refractometer shows where alcohol misleads it, °Bx."""
    brim: Brim | None = None
    """What is wrong with the size of its vessel."""

    def serve_words(self, number: TotalsNumber) -> str:
        """A figure of one serve; over ice as it is poured, and when it is drunk."""
        poured = getattr(self.balance.serve, number.name)
        return served_words(number, poured, self.drink, self.standing)

    @property
    def strength(self) -> str:
        """How strong one serve is."""
        return self.serve_words(_STRENGTH)


_STRENGTH = next(each for each in NUMBERS if each.name == "abv_percent")


def served_words(
    number: TotalsNumber, poured: Estimate | None, drink: Drink, standing: StandingServe
) -> str:
    """A figure as it is poured; of what stands over ice, and thins, when it is drunk as well."""
    told = estimate(poured, number.decimals, number.unit)
    is_none = poured is None or told == NOT_KNOWN or poured.high <= 0
    if not drink.service.over_ice or number.name not in THINNED or is_none:
        return told
    drunk = standing.when_drunk(number.name)
    drunk_words = estimate(drunk, number.decimals, number.unit) if drunk else ""
    return poured_and_drunk(told, "" if drunk_words == NOT_KNOWN else drunk_words)


def glass_words(drink: Drink) -> str:
    """How the glass of a drink is spoken of."""
    return f"What is in the glass of “{drink.name}”"


def told_glass(drink: Drink, routine: Routine) -> tuple[Glass | None, str]:
    """The computed side of a drink, or why it cannot be told; neither without ingredients."""
    return told(glass_words(drink), lambda: glass_of(drink, routine))


def unknown_parts(drink: Drink, glass: Glass | None) -> tuple[Ingredient, ...]:
    """The parts of which not all is known: wherever they are counted it is these."""
    lacking = {each.ingredient for each in glass.balance.unknowns} if glass else set()
    return tuple(part for part in drink.ingredients if part.is_bare or part.name in lacking)


def lacking_words(glass: Glass, unknown: int) -> str:
    """What of a drink is not known or odd, in a few words."""
    odd = len(glass.balance.notices)
    found = [
        unknown_words(unknown) if unknown else "",
        count(odd, "thing to look at", "things to look at") if odd else "",
    ]
    return ", ".join(filter(None, found))


def in_short(caution: Caution) -> str:
    """A caution in a few words; of what spoils, what to do, up to where it goes into detail."""
    if caution.code != "holding":
        return caution.short
    do, _, _ = caution.alone.partition(";")
    return f"{do[:1].lower()}{do[1:]}"


def unknown_of(routine: Routine) -> int:
    """How many parts of all drinks are not fully known, once one of them is a name alone."""
    if not any(part.is_bare for drink in routine.drinks for part in drink.ingredients):
        return 0
    glasses = ((drink, told_glass(drink, routine)[0]) for drink in routine.drinks)
    return sum(len(unknown_parts(drink, glass)) for drink, glass in glasses)


def waited_words(waited: Waited) -> str:
    """How long something waits and how warm it goes in: "waits 1:20 (0:40–2:10) by the plan …"."""
    least, likely, most = (format_clock(each) for each in waited.stand)
    span = f" ({least}–{most})" if least != most else ""
    warm = estimate(Estimate(waited.after.value, waited.after.least, waited.after.most), 0, "°C")
    where = "by the plan" if waited.process_id else "in the room"
    return f"waits {likely}{span} {where} and goes in at {warm}"


def told_making(part: Ingredient) -> str:
    """What its brew or its syrup comes to, or that it cannot be told; "" where it is neither."""
    note, why = told(f"How “{part.name}” turns out", lambda: making_note(part))
    return note or why


def told_parts(part: Ingredient) -> str:
    """What it is made of, or that it cannot be told; "" for what is bought."""
    parts, why = told(f"What “{part.name}” is made of", lambda: made_of(part))
    return parts or why


def glass_of(drink: Drink, routine: Routine) -> Glass | None:
    """The computed side of a drink's card; None for a drink without ingredients."""
    if not drink.ingredients:
        return None
    used = as_used(drink, routine.segments, routine.processes)
    worked_out = balance(used.drink, routine.standard_drink, drink.service.over_ice)
    standing = standing_of(drink, worked_out, routine.segments)
    if standing.over_ice:
        # What melts of it until then is told.
        notices = tuple(each for each in worked_out.notices if each != ICE_UNCOUNTED)
        worked_out = replace(worked_out, notices=notices)
    return Glass(
        drink=drink,
        balance=worked_out,
        rows=tuple(_rows(worked_out, drink, standing)),
        standing=standing,
        cautions=(*hazards_of_drink(drink), *cautions(worked_out, standing.drunk)),
        waited=used.waited,
        refractometer=_refractometer(worked_out),
        brim=brim_of(drink, worked_out, standing),
    )


def _refractometer(worked_out: Balance) -> Estimate | None:
    serve = worked_out.serve
    abv, mass, volume = serve.abv_percent, serve.mass_g, serve.volume_ml
    if not (abv and mass and volume and volume.value > 0):
        return None
    if not LEAST_ABV <= abv.value <= REFRACTOMETER_ABV:
        return None
    shown = refractometer_brix(abv.value, 1000 * mass.value / volume.value)
    return Estimate(shown, max(0.0, shown - REFRACTOMETER_BRIX), shown + REFRACTOMETER_BRIX)


def made_of(part: Ingredient) -> str:
    """What goes into what is made at home, for a declaration; "" for what is bought."""
    said = [part.ahead.words]
    if part.brew is not None:
        cup = brewed(part.brew)
        known = ((cup.dose_g, "g of ground coffee"), (cup.water_g, "g of water"))
        said.insert(0, ", ".join(estimate(each, 0, unit) for each, unit in known if each))
    if part.syrup is not None:
        said.insert(0, _syrup_parts(part.syrup))
    return "; ".join(filter(None, said))


def _syrup_parts(syrup: Syrup) -> str:
    """As in “2 parts by mass of sugar, 1 of water”."""
    solids = "fruit, leaves or husks, strained out"
    parts = ((syrup.sugar, "sugar"), (syrup.water, "water"), (syrup.juice, "juice"))
    known = [(number, what) for number, what in (*parts, (syrup.solids, solids)) if number]
    if syrup.by == "grams":
        return ", ".join(f"{number:g} g of {what}" for number, what in known)
    (most, what), *others = known
    first = f"{most:g} {'part' if most == 1 else 'parts'} by {syrup.by} of {what}"
    return ", ".join([first, *(f"{number:g} of {what}" for number, what in others)])


def making_note(part: Ingredient) -> str:
    """What its brew or its syrup comes to, in words; "" where it is neither."""
    if part.brew is not None:
        return _brew_note(part.brew) + _made_beyond(part, brewed(part.brew).beverage_ml)
    if part.syrup is not None:
        yields = strained_yield_ml(part.syrup) if part.syrup.by == "grams" else None
        return _syrup_note(part.syrup) + _made_beyond(part, yields)
    return ""


def _made_beyond(part: Ingredient, yields: Estimate | None) -> str:
    """That more is said to be made at a time than comes of one making; "" where it is not."""
    made = part.ahead.made
    if made is None or yields is None or (made.volume_ml or 0.0) <= yields.high * 1.02:
        return ""
    return f"; you say that {made.words} are made at a time: more than that gives"


def _syrup_note(syrup: Syrup) -> str:
    said = f"cooked to {estimate(syrup_range(syrup), 1, 'Brix')}"
    if syrup.by != "grams":
        return said
    strained = " after straining" if syrup.solids else ""
    return f"{said}, gives {estimate(strained_yield_ml(syrup), 0, 'ml')}{strained}"


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


def shown_numbers() -> list[TotalsNumber]:
    """The numbers that stand in a table of the balance, in order."""
    return [number for number in NUMBERS if number.name not in SAID_ELSEWHERE]


def _rows(worked_out: Balance, drink: Drink, standing: StandingServe) -> list[BalanceRow]:
    pairs = (
        (number, getattr(worked_out.batch, number.name), getattr(worked_out.serve, number.name))
        for number in shown_numbers()
    )
    shared = SHARED_OUT if worked_out.serves > 1 else frozenset()
    return [
        _row(number, batch, served_words(number, serve, drink, standing), number.name in shared)
        for number, batch, serve in pairs
        if batch and serve
    ]


def _row(number: TotalsNumber, batch: Estimate, one: str, is_shared: bool) -> BalanceRow:
    whole = estimate(batch, number.decimals, number.unit)
    # What is the same in a serve as in the batch is shown once.
    return BalanceRow(number.name, number.words, whole if is_shared else "", one, batch.lacks)
