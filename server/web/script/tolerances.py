"""How far what is said may lie from recipe and plan: the form for a routine's own tolerances."""

from server.domain.routine.routine import Routine
from server.domain.routine.tolerance import LIMITS, Tolerance
from server.web.frame.forms import Form, Typed

TOLERANCE = "tolerance"
"""What opens the form beside the ledger."""


def tolerance_form(routine: Routine) -> Form:
    """The form as it shows what is set."""
    return Form({name: f"{getattr(routine.tolerance, name):g}" for name in LIMITS})


def tolerance_from(typed: Typed) -> Tolerance:
    """The tolerances that a form gives; raises InvalidInput with every fault."""
    values = {name: typed.number(name, *limits) for name, limits in LIMITS.items()}
    return typed.built(lambda: Tolerance(**values))
