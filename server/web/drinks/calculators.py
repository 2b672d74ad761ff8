"""Calculators: small questions at the bar, asked by address so that an answer can be linked to."""

from collections.abc import Mapping
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.numbers import write_number
from server.domain.glass.calculators import (
    CALCULATORS,
    Calculator,
    CalculatorAnswer,
    answered,
    calculator,
)
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.frame.shown import Page

router = APIRouter(prefix="/calculators")


@dataclass(frozen=True)
class CalculatorSheet:
    """A calculator with what stands in its fields; no answer where these are refused."""

    calculator: Calculator
    form: Form
    answer: CalculatorAnswer | None


@dataclass(frozen=True, kw_only=True)
class CalculatorsPage(Page):
    """All calculators; the others keep what is usual while one is asked."""

    folder = "calculators"
    sheets: tuple[CalculatorSheet, ...]


@router.get("")
def calculators_page(request: Request, of: str = "") -> Response:
    if of:
        calculator(of)
    asked = request.query_params
    sheets = tuple(sheet_of(each, asked if each.key == of else {}) for each in CALCULATORS)
    is_refused = any(sheet.form.faults for sheet in sheets)
    shown = CalculatorsPage(sheets=sheets)
    return page(request, shown, 422 if is_refused else 200)


def sheet_of(asks: Calculator, asked: Mapping[str, str]) -> CalculatorSheet:
    """A calculator answering what was asked; what is not named there is as usual."""
    usual = {name: write_number(value) for name, value in asks.usual.items()}
    typed = Typed({**usual, **{name: text for name, text in asked.items() if name in usual}})
    try:
        values = {each.name: typed.number(each.name, each.lowest, each.highest)
                  for each in asks.asked}  # fmt: skip
        answer = typed.built(lambda: answered(asks.key, values))
    except InvalidInput as error:
        seen: dict[str, Fault] = {fault.field: fault for fault in reversed(error.faults)}
        return CalculatorSheet(asks, Form(typed.values, tuple(seen.values())), None)
    return CalculatorSheet(asks, Form(typed.values), answer)
