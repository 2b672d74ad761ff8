"""Small questions at the bar, each worked out from a few numbers: what a page can ask by itself.

A calculator names its fields with units and usual values and answers in plain words. Its answers
come from the same functions as the numbers of a drink.

>>> answered("thin-syrup", {"mass_g": 500, "from_brix": 66.7, "to_brix": 50}).words
'Add 167 g of water: that makes 667 g at 50 Brix.'
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from server.domain.base.durations import format_clock
from server.domain.base.errors import CannotTell, Fault, InvalidInput, NotFound, refuse_if
from server.domain.glass.acid import (
    JUICE_PH,
    MILK_DEMAND_MOL_PER_L,
    citric_mol_per_l,
    citric_to_curdle_g,
    juice_to_curdle_ml,
)
from server.domain.glass.alcohol import Pour, mixed, pearson_square, water_to_dilute_ml
from server.domain.glass.cooling import minutes_to_reach, usual_cooling_per_min
from server.domain.glass.figure_text import FEWEST_DIGITS, carried_digits, in_digits
from server.domain.glass.sugar import water_to_thin_g
from server.domain.glass.syrup import Syrup, syrup_brix, syrup_warning, syrup_yield_ml

Values = Mapping[str, float]

LEAST_WIDE_MIN = 3.0
"""A time that is unsure by so much is told in whole minutes (ours)."""


@dataclass(frozen=True)
class AskedNumber:
    """A number that a calculator asks for; `usual` stands in the field until it is changed."""

    name: str
    words: str
    unit: str
    usual: float
    lowest: float
    highest: float


@dataclass(frozen=True)
class CalculatorAnswer:
    """What came out: the figure that was asked for, in its unit, and in words; notes beside it."""

    figure: float
    unit: str
    words: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Calculator:
    """A question with its fields; `work_out` answers it from a value for each of them.

    It raises CannotTell, or InvalidInput beside a field, where the values have no answer.
    """

    key: str
    title: str
    about: str
    asked: tuple[AskedNumber, ...]
    work_out: Callable[[Values], CalculatorAnswer]
    blamed: str
    """The field beside which it is told that the values have no answer together."""

    @property
    def usual(self) -> dict[str, float]:
        """Field -> the value that stands in it first."""
        return {each.name: each.usual for each in self.asked}


def calculator(key: str) -> Calculator:
    """The calculator of that key. Raises NotFound."""
    found = next((each for each in CALCULATORS if each.key == key), None)
    if found is None:
        raise NotFound("There is no such calculator.")
    return found


def answered(key: str, values: Values) -> CalculatorAnswer:
    """What a calculator answers to these values. Raises NotFound.

    Raises InvalidInput with a fault for each value beyond its limits, and where they have no
    answer together.
    """
    asks = calculator(key)
    refuse_if(
        Fault(
            each.name, f"{each.words} lies from {each.lowest:g} to {each.highest:,g} {each.unit}."
        )
        for each in asks.asked
        if not each.lowest <= values[each.name] <= each.highest
    )
    try:
        return asks.work_out(values)
    except CannotTell as error:
        raise InvalidInput.of(asks.blamed, error.message) from error
    except InvalidInput as error:
        names = {each.name for each in asks.asked}
        raise InvalidInput(
            Fault(each.field if each.field in names else asks.blamed, each.message)
            for each in error.faults
        ) from error


def _told(value: float, digits: int = 1) -> str:
    """A figure as one can measure it: whole from a hundred on, at most tenths below."""
    if value >= 100:
        return f"{round(value, min(digits, 0)):,.0f}"
    return in_digits(value, digits).removesuffix(".0")


def _blended(values: Values) -> CalculatorAnswer:
    strong, weak, wanted_ml = values["strong"], values["weak"], values["volume_ml"]
    parts = pearson_square(strong, weak, values["target"])
    strong_ml, weak_ml = (wanted_ml * part / sum(parts) for part in parts)
    both = mixed([Pour(strong_ml, strong), Pour(weak_ml, weak)])
    return CalculatorAnswer(
        strong_ml,
        "ml",
        f"Pour {_told(strong_ml)} ml of the strong one and {_told(weak_ml)} ml of the weak one.",
        (
            f"The square leaves out that spirit and water shrink: by the table this gives "
            f"{_told(both.volume_ml)} ml at {both.abv_percent:.1f} % vol.",
        ),
    )


def _diluted(values: Values) -> CalculatorAnswer:
    water_ml = water_to_dilute_ml(values["volume_ml"], values["from_abv"], values["to_abv"])
    after = mixed([Pour(values["volume_ml"], values["from_abv"]), Pour(water_ml, 0.0)])
    words = f"Add {_told(water_ml)} ml of water: that makes {_told(after.volume_ml)} ml"
    return CalculatorAnswer(water_ml, "ml", f"{words} at {_told(after.abv_percent)} % vol.")


def _thinned(values: Values) -> CalculatorAnswer:
    water_g = water_to_thin_g(values["mass_g"], values["from_brix"], values["to_brix"])
    words = f"Add {_told(water_g)} g of water: that makes {_told(values['mass_g'] + water_g)} g"
    return CalculatorAnswer(water_g, "g", f"{words} at {_told(values['to_brix'])} Brix.")


def _cooked(values: Values) -> CalculatorAnswer:
    syrup = Syrup(
        sugar=values["sugar"],
        water=values["water"],
        juice=values["juice"],
        juice_brix=values["juice_brix"],
    )
    yield_ml = syrup_yield_ml(syrup)
    words = f"That makes {_told(yield_ml)} ml of syrup at {_told(syrup_brix(syrup))} Brix."
    notes = ("What boils off is not counted.", syrup_warning(syrup))
    return CalculatorAnswer(yield_ml, "ml", words, tuple(note for note in notes if note))


def _curdled(values: Values) -> CalculatorAnswer:
    strength = citric_mol_per_l(10 * values["acid_percent"])
    demand = MILK_DEMAND_MOL_PER_L
    likely_ml, low_ml, high_ml = (
        juice_to_curdle_ml(values["milk_ml"], strength, values["ph"], each)
        for each in (demand.value, demand.least, demand.most)
    )
    digits = carried_digits(low_ml, high_ml, 1, FEWEST_DIGITS)
    likely, low, high = (_told(each, digits) for each in (likely_ml, low_ml, high_ml))
    powder_g = citric_to_curdle_g(values["milk_ml"])
    return CalculatorAnswer(
        likely_ml,
        "ml",
        f"About {likely} ml of juice, {low} to {high} ml, takes the "
        "milk to pH 4.6, where it curdles when cold.",
        (
            f"Citric acid powder: about {_told(powder_g)} g.",
            "Warmth and spirit make it curdle sooner. Milk differs: measure the pH of yours.",
        ),
    )


def _cooled(values: Values) -> CalculatorAnswer:
    k = usual_cooling_per_min(values["drink_ml"])
    own = values["per_min"]
    likely, low, high = (
        minutes_to_reach(values["from_c"], values["room_c"], each, values["to_c"])
        for each in ((own,) * 3 if own else (k.value, k.most, k.least))
    )
    # Seconds say nothing where minutes are not sure.
    is_wide = high - low >= LEAST_WIDE_MIN
    likely_clock, low_clock, high_clock = (
        f"{each:,.0f} min" if is_wide else format_clock(60 * each) for each in (likely, low, high)
    )
    words = f"After about {likely_clock} it is at {_told(values['to_c'])} °C"
    if own:
        return CalculatorAnswer(likely, "min", f"{words}.")
    note = "Without a reading of your own vessel this is a wide guess: two readings narrow it."
    return CalculatorAnswer(
        likely, "min", f"{words}; {low_clock} to {high_clock} are possible.", (note,)
    )


CALCULATORS = (
    Calculator(
        "blend",
        "Two strengths into one",
        "How much of a strong one and of a weak one give the strength aimed at (Pearson's square).",
        (
            AskedNumber("strong", "Strong one", "% vol", 57.0, 0, 100),
            AskedNumber("weak", "Weak one", "% vol", 20.0, 0, 100),
            AskedNumber("target", "Aimed at", "% vol", 40.0, 0, 100),
            AskedNumber("volume_ml", "In all", "ml", 700.0, 1, 100_000),
        ),
        _blended,
        "target",
    ),
    Calculator(
        "weaken-spirit",
        "Water to weaken a spirit",
        "How much water takes a spirit down to a strength; that the two shrink is counted.",
        (
            AskedNumber("volume_ml", "Spirit", "ml", 700.0, 1, 100_000),
            AskedNumber("from_abv", "Its strength", "% vol", 57.0, 0.1, 100),
            AskedNumber("to_abv", "Aimed at", "% vol", 40.0, 0.1, 100),
        ),
        _diluted,
        "to_abv",
    ),
    Calculator(
        "thin-syrup",
        "Water to thin a syrup",
        "How much water takes a syrup down to a Brix: grams of sugar in 100 g.",
        (
            AskedNumber("mass_g", "Syrup", "g", 500.0, 1, 100_000),
            AskedNumber("from_brix", "Its sugar", "Brix", 66.7, 0.1, 100),
            AskedNumber("to_brix", "Aimed at", "Brix", 50.0, 0.1, 100),
        ),
        _thinned,
        "to_brix",
    ),
    Calculator(
        "syrup-yield",
        "Yield of a syrup",
        "How much syrup comes of sugar, water and juice, by mass: less than the volumes apart.",
        (
            AskedNumber("sugar", "Sugar", "g", 500.0, 0, 100_000),
            AskedNumber("water", "Water", "g", 500.0, 0, 100_000),
            AskedNumber("juice", "Juice", "g", 0.0, 0, 100_000),
            AskedNumber("juice_brix", "Sugar of the juice", "Brix", 10.0, 0, 100),
        ),
        _cooked,
        "sugar",
    ),
    Calculator(
        "curdle-milk",
        "Juice until milk curdles",
        "How much sour juice brings cold milk to the point where it curdles.",
        (
            AskedNumber("milk_ml", "Milk", "ml", 100.0, 1, 100_000),
            AskedNumber(
                "acid_percent", "Acid of the juice, as citric", "g in 100 ml", 4.6, 0.1, 20
            ),
            AskedNumber("ph", "pH of the juice", "", JUICE_PH, 1, 7),
        ),
        _curdled,
        "acid_percent",
    ),
    Calculator(
        "cool-down",
        "Time until a temperature is reached",
        "How long a drink stands until it has cooled, or warmed, to a temperature.",
        (
            AskedNumber("from_c", "It starts at", "°C", 75.0, -20, 110),
            AskedNumber("to_c", "Aimed at", "°C", 55.0, -20, 110),
            AskedNumber("room_c", "Room", "°C", 21.0, -20, 60),
            AskedNumber("drink_ml", "In the cup", "ml", 200.0, 1, 10_000),
            AskedNumber("per_min", "Its vessel's constant, 0 if not known", "a minute", 0.0, 0, 2),
        ),
        _cooled,
        "to_c",
    ),
)
"""In the order in which a page shows them."""
