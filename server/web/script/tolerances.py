"""How far what is said may lie from recipe and plan: the form for a routine's own tolerances."""

from dataclasses import asdict, fields

from server.domain.routine.routine import Routine
from server.domain.routine.tolerance import Tolerance
from server.web.frame.forms import Form, Typed

TOLERANCE = "tolerance"
"""What opens the form beside the ledger."""


def tolerance_form(routine: Routine) -> Form:
    """The form as it shows what is set."""
    return Form({name: f"{value:g}" for name, value in asdict(routine.tolerance).items()})


def tolerance_from(typed: Typed) -> Tolerance:
    """The tolerances that a form gives; raises InvalidInput with every fault."""
    values = {each.name: typed.number(each.name) for each in fields(Tolerance)}
    return typed.built(lambda: Tolerance(**values))
