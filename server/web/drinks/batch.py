"""A batch of a drink: its recipe for all serves, spare and loss, as it can be measured."""

from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.amounts import Amount, parse_amount
from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.number_words import count
from server.domain.glass.scaling import (
    Batch,
    RoundingError,
    Scaled,
    ScaledLine,
    rounding_error,
    scaled_recipe,
)
from server.domain.routine.drink import Drink
from server.domain.routine.edits import part_of
from server.store.routines import load_routine
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.filters import decimal
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.frame.telling import told

router = APIRouter(prefix="/routines/{routine_id}/drinks/{drink_id}")

JIGGER = Amount(2.5, "ml")


@dataclass(frozen=True)
class BatchSheet:
    """The recipe of a batch, and what measuring in steps changes."""

    scaled: Scaled
    error: RoundingError


@dataclass(frozen=True)
class BatchLine:
    """A line of the batch as it is shown."""

    name: str
    exact: str
    measure: str
    off: str


@dataclass(frozen=True, kw_only=True)
class BatchPage(RoutinePage, folder="batch"):
    """A batch of a drink; `rounded` says what measuring in steps changes.

    `asked` is the batch as its address says it, for the page of another drink.
    """

    drink: Drink
    headline: str
    asked: str
    lines: tuple[BatchLine, ...]
    rounded: str
    untold: str
    form: Form


@router.get("/batch")
def batch_page(request: Request, session: ReadSession, routine_id: str, drink_id: str) -> Response:
    stored = load_routine(session, routine_id)
    drink = part_of(stored.routine.drinks, drink_id)
    context = routine_context(session, stored, "drinks")
    typed = Typed({**_start(context["rules"].serves_per_drink), **request.query_params})
    name = context["routine"].short_names[drink.id]
    headline, asked = f"Make more of {name}", ""
    sheet: BatchSheet | None = None
    faults: tuple[Fault, ...] = ()
    untold = ""
    try:
        batch = batch_from(typed)
        headline, asked = batch_words(batch, name), request.url.query
        sheet, untold = told(f"A batch of “{drink.name}”", lambda: sheet_of(drink, batch))
    except InvalidInput as error:
        faults = error.faults
    shown = BatchPage(
        **context,
        drink=drink,
        headline=headline,
        asked=asked,
        lines=tuple(map(_line_of, sheet.scaled.lines)) if sheet else (),
        rounded=rounded_words(sheet.error) if sheet else "",
        untold=untold,
        form=Form(typed.values, faults),
    )
    return page(request, shown, 422 if faults else 200)


def sheet_of(drink: Drink, batch: Batch) -> BatchSheet:
    """A drink's batch as it is measured. Raises CannotTell."""
    scaled = scaled_recipe(drink, batch)
    return BatchSheet(scaled, rounding_error(scaled))


def batch_words(batch: Batch, name: str) -> str:
    """How much of a drink is made: "24 serves of Lamp and 2 to spare"."""
    made = f"{count(batch.serves, 'serve')} of {name}"
    return f"{made} and {batch.spare} to spare" if batch.spare else made


def rounded_words(error: RoundingError) -> str:
    """What rounding to what can be measured changes: "Rounded so: 6.3 ml less, strength the same".

    What does not change by a digit that is shown is left out, but for the strength.
    """
    changes = (
        (error.volume_ml, 1, "ml", ""),
        (error.abv_percent, 1, "% vol", "strength "),
        (error.sugar_g_per_l, 1, "g/l", "sugar "),
        (error.acid_g_per_l, 1, "g/l", "acid "),
    )
    said = []
    for change, digits, unit, what in changes:
        if change is None:
            continue
        if round(change, digits):
            side = "more" if change > 0 else "less"
            said.append(f"{what}{decimal(abs(change), digits)} {unit} {side}")
        elif what in ("", "strength "):
            said.append(f"{what or 'volume '}the same")
    return f"Rounded so: {', '.join(said)}." if said else ""


def _line_of(line: ScaledLine) -> BatchLine:
    off = decimal(line.error_percent, 1)
    sign = "+" if line.error_percent > 0 and off != "0.0" else ""
    is_part = line.measure.unit == "part"
    measure = line.measure.rounded(1) if is_part else line.measure
    return BatchLine(line.name, line.exact.rounded(1).words, measure.words, f"{sign}{off} %")


def batch_from(typed: Typed) -> Batch:
    """The batch that a form describes; raises InvalidInput with every fault."""
    serves = typed.whole_number("serves", 1, 1000)
    spare = typed.whole_number("spare", 0, 1000)
    loss_percent = typed.number("loss_percent", 0, 90)
    jigger = typed.take(lambda: parse_amount(typed.text("jigger"), "jigger"), JIGGER)
    scale_g = typed.number("scale_g", 0, 1000)
    return typed.built(lambda: Batch(serves, spare, loss_percent, jigger, scale_g))


def _start(serves: int) -> dict[str, str]:
    return {
        "serves": str(serves),
        "spare": "0",
        "loss_percent": "3",
        "jigger": str(JIGGER),
        "scale_g": "0.1",
    }
