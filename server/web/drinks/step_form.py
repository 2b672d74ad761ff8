"""The form of a step of making a drink."""

from typing import Literal

from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import write_number
from server.domain.glass.figure_text import format_figure
from server.domain.glass.figures import Figure
from server.domain.glass.making import AnyStep
from server.domain.glass.steps import (
    USUAL_ICE_C,
    Agitate,
    Blend,
    Bring,
    Filter,
    Ice,
    Layer,
    Rest,
    ice_c_of,
)
from server.web.frame.forms import Typed

STEPS = {
    "ice": "Chill on ice to a temperature",
    "stir": "Stir with ice",
    "shake": "Shake with ice",
    "blend": "Blend with ice that stays in it",
    "heat": "Heat to a temperature",
    "chill": "Chill to a temperature, without ice in it",
    "filter": "Strain or filter",
    "stand": "Let it stand in the room",
    "layer": "Lay a layer on top",
}
"""Kind of step -> the words for it."""

_STEP_FIGURES = {
    "dilution_percent": "dilution",
    "ice_g": "ice_g",
    "loss_percent": "loss",
    "recovered_ml": "recovered_ml",
    "minutes": "minutes",
}


def step_from(typed: Typed, step_id: str, before: AnyStep | None) -> AnyStep:
    """The step that a form describes; raises InvalidInput with every fault."""
    kind = typed.text("kind")
    if kind not in STEPS:
        raise InvalidInput.of("kind", "Choose what is done.")
    return typed.built(lambda: _step(typed, step_id, kind, before))


def step_values(step: AnyStep) -> dict[str, str]:
    """The texts with which the form of a step starts."""
    texts: dict[str, str] = {"kind": step.kind}
    to_temp_c = getattr(step, "to_temp_c", None)
    texts["to_temp_c"] = "" if to_temp_c is None else write_number(to_temp_c)
    # What nobody measured is not shown as if it were typed: saved again it would count as that.
    texts["ice_c"] = ""
    if isinstance(step, Ice | Agitate | Blend) and not ice_c_of(step).is_range:
        texts["ice_c"] = write_number(step.ice_c)
    for name, field in _STEP_FIGURES.items():
        figure = getattr(step, name, None)
        texts[field] = "" if figure is None else format_figure(figure)
    texts["curd"] = "yes" if getattr(step, "curd", False) else ""
    return texts


def _step(typed: Typed, step_id: str, kind: str, before: AnyStep | None) -> AnyStep:
    def figure(name: str) -> Figure | None:
        return typed.optional_figure(_STEP_FIGURES[name], getattr(before, name, None))

    match kind:
        case "ice":
            ice_c, measured = _ice(typed, kind)
            return Ice(step_id, _temp(typed, "to_temp_c"), ice_c, ice_measured=measured)
        case "stir" | "shake":
            done: Literal["shake", "stir"] = "stir" if kind == "stir" else "shake"
            return Agitate(step_id, done, figure("dilution_percent"), *_ice(typed, kind))
        case "blend":
            wish_c = typed.optional_number("to_temp_c", -80, 110)
            ice_c, measured = _ice(typed, kind)
            return Blend(step_id, figure("ice_g"), ice_c, wish_c, ice_measured=measured)
        case "heat" | "chill":
            brought: Literal["heat", "chill"] = "heat" if kind == "heat" else "chill"
            return Bring(step_id, brought, _temp(typed, "to_temp_c"), figure("loss_percent"))
        case "filter":
            passes, stays = figure("recovered_ml"), figure("loss_percent")
            return Filter(step_id, passes, stays, typed.ticked("curd"))
        case "stand":
            return Rest(step_id, figure("minutes") or Figure(0.0))
        case _:
            return Layer(step_id)


def _temp(typed: Typed, name: str) -> float:
    return typed.number(name, -80, 110)


def _ice(typed: Typed, kind: str) -> tuple[float, bool]:
    """How cold the ice is, and whether that is the usual temperature, typed."""
    ice_c, usual_c = typed.optional_number("ice_c", -80, 110), USUAL_ICE_C[kind].value
    return (usual_c, False) if ice_c is None else (ice_c, ice_c == usual_c)
