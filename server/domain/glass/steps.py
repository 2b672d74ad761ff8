"""Steps of making a drink that change what is in it, as a recipe lists them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import Discriminator, Tag, WrapSerializer
from pydantic import SerializerFunctionWrapHandler as Handler

from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.glass.figures import Figure

TempC = Annotated[float, Between(-80, 110, "A temperature lies between −80 and 110 °C.")]
IceC = Annotated[float, Between(-80, 0, "Ice is not hotter than 0 °C (nor colder than −80 °C).")]

USUAL_DILUTION_PERCENT: dict[str, Figure] = {
    "stir": Figure(20.0, 12.0, 30.0, source="common practice, no source"),
    "shake": Figure(30.0, 20.0, 45.0, source="common practice, no source"),
}
"""Water that ice adds, in per cent of the volume before, where nobody measured it."""

_ICE_SOURCE = "typical; wet it is at 0 °C, from a freezer at −18 °C"

USUAL_ICE_C: dict[str, Figure] = {
    **dict.fromkeys(("ice", "blend"), Figure(-5.0, -18.0, 0.0, source=_ICE_SOURCE)),
    **dict.fromkeys(("stir", "shake"), Figure(-1.0, -18.0, 0.0, source=_ICE_SOURCE)),
}
"""Kind of step -> how cold its ice is where nobody measured it."""

MOST_STEPS = 20

LONGEST_REST_MIN = 1440.0

MOST_ICE_G = 100_000.0


@dataclass(frozen=True)
class Ice(Document):
    """Chill on ice down to a temperature: how much melts follows from the heat."""

    id: str
    to_temp_c: TempC
    ice_c: IceC = USUAL_ICE_C["ice"].value
    """Temperature of the ice: near 0 °C when wet, about -18 °C out of a freezer."""
    kind: Literal["ice"] = "ice"
    ice_measured: bool = field(default=False, repr=False)
    """Whether the usual temperature was typed: else at just this one nobody measured it. Documents
    leave out what is usual, so that from the number alone it cannot be told. It changes nothing of
    what is made, and so has no part in what names a recipe."""

    def __post_init__(self) -> None:
        refuse_if(limit_faults(self))


@dataclass(frozen=True)
class Agitate(Document):
    """Shake or stir with ice: a dilution that was measured, or the usual range."""

    id: str
    kind: Literal["shake", "stir"]
    dilution_percent: Figure | None = None
    """Water taken up, per cent of the volume before; None for the usual range."""
    ice_c: IceC = USUAL_ICE_C["shake"].value
    ice_measured: bool = field(default=False, repr=False)
    """Whether the usual temperature was typed."""

    def __post_init__(self) -> None:
        faults = limit_faults(self)
        if self.dilution_percent and not _inside(self.dilution_percent, 0, 300):
            faults.append(Fault("dilution", "Dilution lies between 0 and 300 % of the volume."))
        refuse_if(faults)

    @property
    def dilution(self) -> Figure:
        """The dilution to reckon with."""
        return self.dilution_percent or USUAL_DILUTION_PERCENT[self.kind]


@dataclass(frozen=True)
class Blend(Document):
    """Blend with ice that all stays in the drink, as slush or melted."""

    id: str
    ice_g: Figure | None = None
    """Ice that goes in, for all serves together; None for the ice that the recipe lists."""
    ice_c: IceC = USUAL_ICE_C["blend"].value
    to_temp_c: TempC | None = None
    """A temperature that is wished for; what comes of it follows from the ice."""
    kind: Literal["blend"] = "blend"
    ice_measured: bool = field(default=False, repr=False)
    """Whether the usual temperature was typed."""

    def __post_init__(self) -> None:
        faults = limit_faults(self)
        if self.ice_g and not (self.ice_g.value > 0 and _inside(self.ice_g, 0, MOST_ICE_G)):
            faults.append(Fault("ice_g", "Ice weighs above 0, up to 100,000 g."))
        refuse_if(faults)


@dataclass(frozen=True)
class Bring(Document):
    """Heat or chill to a temperature, without ice in the drink."""

    id: str
    kind: Literal["heat", "chill"]
    to_temp_c: TempC
    loss_percent: Figure | None = None
    """What leaves as steam, per cent of the mass, weighed before and after; None if not known."""

    def __post_init__(self) -> None:
        faults = limit_faults(self)
        if self.loss_percent and not _inside(self.loss_percent, 0, 95):
            faults.append(Fault("loss", "Between 0 and 95 % of the mass can boil off."))
        refuse_if(faults)


@dataclass(frozen=True)
class Filter(Document):
    """Strain or filter: what comes through, as a volume or as a loss."""

    id: str
    recovered_ml: Figure | None = None
    loss_percent: Figure | None = None
    """What stays behind, per cent of the volume."""
    curd: bool = False
    """Whether milk curdled before: then its casein and fat stay behind."""
    kind: Literal["filter"] = "filter"

    def __post_init__(self) -> None:
        faults = []
        if (self.recovered_ml is None) == (self.loss_percent is None):
            faults.append(Fault("recovered_ml", "Give the volume that comes through, or the loss."))
        if self.recovered_ml and not _inside(self.recovered_ml, 0, 100_000):
            faults.append(Fault("recovered_ml", "A volume lies between 0 and 100,000 ml."))
        if self.loss_percent and not _inside(self.loss_percent, 0, 100):
            faults.append(Fault("loss", "A loss lies between 0 and 100 %."))
        refuse_if(faults)


@dataclass(frozen=True)
class Layer(Document):
    """What goes in after this lies on top as a layer, at its own temperature."""

    id: str
    kind: Literal["layer"] = "layer"


@dataclass(frozen=True)
class Rest(Document):
    """Let what is mixed stand in the room before it goes on: it moves towards the room."""

    id: str
    minutes: Figure
    kind: Literal["stand"] = "stand"

    def __post_init__(self) -> None:
        if self.minutes.least < 0 or not 0 < self.minutes.most <= LONGEST_REST_MIN:
            refuse_if([Fault("minutes", "Give the minutes it stands: above 0, up to a day.")])


AnyStep = Ice | Agitate | Blend | Bring | Filter | Layer | Rest

ON_ICE = ("stir", "shake", "ice", "blend")
"""The kinds of steps that ask for ice."""


def ice_c_of(step: Ice | Agitate | Blend) -> Figure:
    """How cold the ice of a step is: as it was given, or the usual range."""
    usual = USUAL_ICE_C[step.kind]
    is_usual = step.ice_c == usual.value and not step.ice_measured
    return usual if is_usual else Figure(step.ice_c)


def _kind_of(step: object) -> object:
    """The kind of a step, read from a file too that was written when usual values were left out."""
    if not isinstance(step, Mapping):
        return getattr(step, "kind", None)
    if "kind" in step:
        return step["kind"]
    # Only these three left out their kind.
    return "ice" if "to_temp_c" in step else "filter" if len(step) > 1 else "layer"


def _with_kind(step: AnyStep, others: Handler) -> dict[str, Any]:
    """What a file holds of a step: its kind is told even where the other usual values are not."""
    return {"kind": step.kind, **others(step)}


Step = Annotated[
    Annotated[Ice, Tag("ice")]
    | Annotated[Agitate, Tag("shake")]
    | Annotated[Agitate, Tag("stir")]
    | Annotated[Blend, Tag("blend")]
    | Annotated[Bring, Tag("heat")]
    | Annotated[Bring, Tag("chill")]
    | Annotated[Filter, Tag("filter")]
    | Annotated[Layer, Tag("layer")]
    | Annotated[Rest, Tag("stand")],
    Discriminator(
        _kind_of,
        custom_error_type="kind",
        custom_error_message="This is no kind of step known here",
    ),
    WrapSerializer(_with_kind),
]
"""A step as a recipe holds it and a file tells it."""


def _inside(figure: Figure, low: float, high: float) -> bool:
    return low <= figure.least and figure.most <= high
