"""Where a figure of a glass comes from: its formula with its source, and what went in with theirs.

>>> said_source("typical; 8.8 in a food table"), said_source("")
(Source('typical, no source; 8.8 in a food table', True), Source('as you gave it', False))
"""

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from server.domain.base.amounts import BAR_MEASURES_ML, Amount
from server.domain.base.numbers import write_number
from server.domain.glass.balance import Balance
from server.domain.glass.brew import CAFFEINE_EXTRACTED, CAFFEINE_MG_PER_G, Brew
from server.domain.glass.cold.blending import BLENDER_J_PER_G, with_listed_ice
from server.domain.glass.cold.on_ice import ICE_SPREAD
from server.domain.glass.cooling import ROOMS_C, USUAL_COOLING_PER_MIN
from server.domain.glass.figure_text import carried_figure, told_figure
from server.domain.glass.figures import TYPICAL, Content, Figure
from server.domain.glass.making import AnyStep
from server.domain.glass.parcel import AnyRecipeLine, Parcel
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Ice, Rest, ice_c_of

RANGE_MEANS = "A range is meant to hold nine in ten."

_BY_TABLES = "OIML R 22 for spirit and water, ICUMSA SPS-4 for sugar"
_MIXED = "Energy balance; heat capacities by CoolProp's fits and Kessler (1981)"

_FROZEN = (
    "Energy balance, melting 333.55 J/g; freezing points of spirit by CoolProp's fit (Melinder), "
    "of sugar by 1.86 K a mole"
)


class Source(NamedTuple):
    """Where a value comes from, in words, and whether it should rather be measured."""

    words: str
    is_unsure: bool

    def __repr__(self) -> str:
        return f"Source({self.words!r}, {self.is_unsure!r})"


class Input(NamedTuple):
    """A value that went into a figure: of what, what it says, how much, and where from."""

    of: str
    about: str
    told: str
    source: Source


class Formula(NamedTuple):
    """How a figure is worked out, who says so, and which properties it reads."""

    words: str
    source: str
    reads: tuple[str, ...]


class Origin(NamedTuple):
    """What a figure was made of."""

    formula: Formula
    inputs: tuple[Input, ...]


FORMULAS: dict[str, Formula] = {
    "volume_ml": Formula(
        "The mass of everything in it, by the density of such a mixture at 20 °C", _BY_TABLES,
        ("abv", "sugar", "density", "piece_g"),
    ),
    "mass_g": Formula("Volume by density, part for part", _BY_TABLES, ("abv", "sugar", "density")),
    "abv_percent": Formula(
        "Alcohol by volume: the volume its alcohol would have alone, in 100 of the drink at 20 °C, "
        "with the contraction of alcohol and water", _BY_TABLES, ("abv", "sugar"),
    ),
    "ethanol_g": Formula(
        "Volume × strength × 0.789 g/ml", "OIML R 22", ("abv",),
    ),
    "standard_drinks": Formula(
        "Grams of alcohol by the grams of a standard drink",
        "10 g: WHO, AUDIT manual; 14 g: NIAAA; 10 ml: NHS", ("abv",),
    ),
    "sugar_g_per_l": Formula(
        "Grams of sugar of all parts, in a litre of the drink", _BY_TABLES, ("sugar",)
    ),
    "brix": Formula(
        "Grams of sugar in 100 g of the drink; a refractometer reads otherwise with alcohol",
        "ICUMSA SPS-4", ("sugar",),
    ),
    "acid_g_per_l": Formula(
        "Grams of acid of all parts, counted as citric, in a litre of the drink",
        "Molar masses and protons", ("acid",),
    ),
    "sugar_to_acid": Formula("Grams of sugar for one of acid", "Arithmetic", ("sugar", "acid")),
    "energy_kcal": Formula(
        "7 kcal for a gram of alcohol, 9 of fat, 4 of sugar, other carbohydrate and protein, 3 of "
        "acid",
        "Regulation (EU) No 1169/2011, Annex XIV",
        ("abv", "sugar", "carbohydrate", "fat", "protein", "acid"),
    ),
    "caffeine_mg": Formula("Volume × caffeine, part for part", "Arithmetic", ("caffeine",)),
    "cost": Formula("Amount by the price of a pack", "Arithmetic", ("cost",)),
    "temp_c": Formula("What all parts come to together", _MIXED, ("temp_c",)),
    "ice_g": Formula(
        "Ice and drink come to one temperature: as much ice stays as leaves the rest just freezing",
        _FROZEN, ("temp_c", "abv", "sugar"),
    ),
    "slush_ml": Formula(
        "The ice by its density, 0.917 g/ml, and the liquid between it as at 20 °C",
        f"IAPWS-06; {_FROZEN}", ("temp_c", "abv", "sugar"),
    ),
    "liquid_abv_percent": Formula(
        "All the alcohol in the liquid between the ice; as the ice melts it comes down to the "
        "strength of the whole", _FROZEN, ("temp_c", "abv", "sugar"),
    ),
}  # fmt: skip
"""Figure -> how it is worked out."""

_SLUSH_C = Formula(
    "Where the liquid between the ice begins to freeze", _FROZEN, ("temp_c", "abv", "sugar")
)

_ABOUT = {
    "abv": ("strength", "% vol"),
    "sugar": ("sugar", "g"),
    "acid": ("acid, as citric", "g"),
    "fat": ("fat", "g"),
    "protein": ("protein", "g"),
    "carbohydrate": ("other carbohydrate", "g"),
    "caffeine": ("caffeine", "mg"),
    "density": ("density", "g/ml"),
    "temp_c": ("temperature", "°C"),
    "piece_g": ("one piece", "g"),
}

_BROUGHT = {"heat": "Heating", "chill": "Chilling"}

_CHANGED_BY: dict[str, tuple[type, ...]] = {
    **dict.fromkeys(("ethanol_g", "standard_drinks", "energy_kcal"), (Filter, Bring)),
    "caffeine_mg": (Filter,),
    "sugar_to_acid": (),
}
"""Figure that water leaves as it is -> the steps that change it."""

_AS_WORKED_OUT = {"brew": "worked out from its brew", "recipe": "worked out from its recipe"}


def said_source(source: str) -> Source:
    """A source as a person reads it, and whether measuring would be better."""
    first, _, rest = source.partition(";")
    if not source:
        return Source("as you gave it", False)
    if "from memory" in source:
        return Source(source if "measure" in source else f"{source}: measure your own", True)
    if first.split()[0] == TYPICAL:
        place = first.removeprefix(TYPICAL).strip()
        words = f"typical{f' {place}' if place else ''}, no source"
        return Source(f"{words};{rest}" if rest else words, True)
    if "no source" in source:
        return Source(source, True)
    return Source(_AS_WORKED_OUT.get(source, source), False)


def origin_in_glass(
    worked_out: Balance, parts: Sequence[AnyRecipeLine], steps: Sequence[AnyStep], name: str
) -> Origin:
    """What a figure of a drink's glass was made of; `name` is one of FORMULAS."""
    ice_g = worked_out.serve.ice_g
    is_slush = name == "temp_c" and ice_g is not None and ice_g.high > 0
    formula = _SLUSH_C if is_slush else FORMULAS[name]
    reads = formula.reads
    melts = any(isinstance(step, Ice) for step in steps)
    if melts and "temp_c" not in reads and name not in (*_CHANGED_BY, "cost"):
        # How much ice melts hangs on how warm the parts are.
        reads = (*reads, "temp_c")
    lines = zip(parts, worked_out.parcels, strict=True)
    inputs = [each for part, parcel in lines for each in _of_part(part, parcel, reads)]
    if name != "cost":
        taken = with_listed_ice(steps, worked_out.parcels)
        inputs += [each for step in taken for each in _of_step(step, name)]
    return Origin(formula, tuple(inputs))


def _of_part(part: AnyRecipeLine, parcel: Parcel, reads: tuple[str, ...]) -> Iterator[Input]:
    measure = _of_measure(part.amount)
    read = [each for name in reads for each in _of_property(part, parcel, name)]
    if read and measure:
        yield Input(part.name, f"one {part.amount.unit}", *measure)
    yield from read


def _of_measure(amount: Amount) -> tuple[str, Source] | None:
    """How large a bar measure is taken to be."""
    if amount.unit not in BAR_MEASURES_ML:
        return None
    low_ml, high_ml = BAR_MEASURES_ML[amount.unit]
    size = write_number(low_ml) if low_ml == high_ml else f"{low_ml:g} to {high_ml:g}"
    return f"{size} ml", Source("common practice, no source", True)


def _of_property(part: AnyRecipeLine, parcel: Parcel, name: str) -> Iterator[Input]:
    of = f"{part.amount.words} {part.name}"
    if name == "cost":
        cost = parcel.substance.cost
        if cost is not None:
            yield Input(of, "price", f"{cost.price:g} for {cost.amount.words}", said_source(""))
        return
    if name == "caffeine" and part.brew is not None and parcel.substance.caffeine is not None:
        yield from _of_brewed_caffeine(of, part.brew)
    about, unit = _ABOUT[name]
    figure: Figure | None = getattr(parcel.substance, name, None)
    if figure is not None and (figure.most != 0 or name == "temp_c"):
        told = carried_figure(figure) if figure.source in _AS_WORKED_OUT else told_figure(figure)
        yield Input(of, about, f"{told} {_unit(figure, unit)}", _source(figure))
    elif figure is None and any(unknown.about == name for unknown in parcel.unknowns):
        yield Input(of, about, "not known", Source("left out", True))


def _of_brewed_caffeine(of: str, brew: Brew) -> Iterator[Input]:
    """What the caffeine of a brew is worked out from."""
    bean, drawn = CAFFEINE_MG_PER_G[brew.bean], CAFFEINE_EXTRACTED
    yield Input(of, "caffeine in the coffee", f"{told_figure(bean)} mg in a gram", _source(bean))
    yield Input(of, "share of it that is drawn out", told_figure(drawn), _source(drawn))


def _degrees(at_c: float) -> str:
    return f"{told_figure(Figure(at_c))} °C"


def _ice_at(of: str, step: Ice | Agitate | Blend) -> Input:
    ice_c = ice_c_of(step)
    return Input(of, "ice at", f"{told_figure(ice_c)} °C", _source(ice_c))


def _unit(figure: Figure, unit: str) -> str:
    return f"{unit} in {figure.per}" if isinstance(figure, Content) else unit


def _source(figure: Figure) -> Source:
    return said_source(figure.source)


def _of_step(step: AnyStep, name: str) -> Iterator[Input]:
    """What a step adds or leaves behind, where the figure hangs on it."""
    if name in _CHANGED_BY and not isinstance(step, _CHANGED_BY[name]):
        return
    match step:
        case Ice():
            yield Input("Chilling on ice", "to", _degrees(step.to_temp_c), said_source(""))
            yield _ice_at("Chilling on ice", step)
            spread = f"{told_figure(ICE_SPREAD)} times the energy balance"
            yield Input("Chilling on ice", "melted", spread, _source(ICE_SPREAD))
        case Blend():
            yield from _of_blend(step, name)
        case Agitate():
            of = "Stirring with ice" if step.kind == "stir" else "Shaking with ice"
            told = f"{told_figure(step.dilution)} % of the volume"
            yield Input(of, "dilution", told, _source(step.dilution))
            if name == "temp_c":
                yield _ice_at(of, step)
        case Filter() | Bring():
            lost = step.loss_percent
            of = "Filtering" if isinstance(step, Filter) else _BROUGHT[step.kind]
            if isinstance(step, Bring) and name == "temp_c":
                yield Input(of, "to", _degrees(step.to_temp_c), said_source(""))
            if isinstance(step, Filter) and step.recovered_ml is not None:
                told = f"{told_figure(step.recovered_ml)} ml"
                yield Input(of, "comes through", told, _source(step.recovered_ml))
            elif lost is not None:
                about = "stays behind" if isinstance(step, Filter) else "leaves as steam"
                yield Input(of, about, f"{told_figure(lost)} %", _source(lost))
        case Rest() if name == "temp_c":
            told = f"{told_figure(step.minutes)} min"
            yield Input("Standing before it goes on", "for", told, _source(step.minutes))
            yield Input(
                "Standing before it goes on", "room", f"{told_figure(ROOMS_C)} °C", _source(ROOMS_C)
            )
            usual = f"k {told_figure(USUAL_COOLING_PER_MIN)} a minute, more where it is little"
            yield Input(
                "Standing before it goes on", "warms by", usual, _source(USUAL_COOLING_PER_MIN)
            )
        case _:
            return


def _of_blend(step: Blend, name: str) -> Iterator[Input]:
    of = "Blending with ice"
    if step.ice_g is None:
        yield Input(of, "ice", "not known", Source("left out", True))
        return
    yield Input(of, "ice", f"{told_figure(step.ice_g)} g", _source(step.ice_g))
    if name in ("temp_c", "ice_g", "slush_ml", "liquid_abv_percent"):
        yield _ice_at(of, step)
        warmth = f"{told_figure(BLENDER_J_PER_G)} J a gram"
        yield Input(of, "blades and jar bring", warmth, _source(BLENDER_J_PER_G))
