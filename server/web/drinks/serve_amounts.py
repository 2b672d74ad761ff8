"""Amounts for all serves or for one: how they are shown, and how what is typed is read.

A recipe is kept for all its serves together. Which of the two a person sees and types is a choice
of the device, kept in a cookie.
"""

from typing import Literal

from fastapi import Request, Response

from server.domain.base.amounts import Amount, parse_amount
from server.domain.base.errors import InvalidInput
from server.web.frame.forms import Typed

Serving = Literal["all", "one"]

FIELD = "amounts"
"""The field of a form, the part of an address and the cookie that say which."""

_A_YEAR_S = 365 * 24 * 3600


def serving_of(request: Request) -> Serving:
    """What this device shows: as the address asks, else as it was chosen last."""
    chosen = request.query_params.get(FIELD) or request.cookies.get(FIELD)
    return "one" if chosen == "one" else "all"


def remember(request: Request, answer: Response) -> Response:
    """The answer, which keeps what the address asks for on this device."""
    if FIELD in request.query_params:
        answer.set_cookie(
            FIELD, serving_of(request), max_age=_A_YEAR_S, httponly=True, samesite="lax"
        )
    return answer


def shown_amount(amount: Amount, serves: int, serving: Serving) -> Amount:
    """An amount as it is shown: of one serve rounded to what can be read."""
    return amount if serving == "all" or serves == 1 else amount.shared(serves)


def typed_in_all(typed: Typed, before: Amount | None, serves: int) -> Typed:
    """What was typed, its amount for all serves; an untouched one is the amount of `before`.

    A text that is no amount stays, for the form to say so.
    """
    if typed.text(FIELD) != "one" or serves == 1:
        return typed
    text = typed.text("amount")
    if before is not None and text == shown_amount(before, serves, "one").words:
        return Typed({**typed.values, "amount": str(before)})
    try:
        each = parse_amount(text)
        whole = Amount(each.value * serves, each.unit)
    except InvalidInput:
        return typed
    return Typed({**typed.values, "amount": str(whole)})
