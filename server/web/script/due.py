"""The descriptors due in a run, for those who tick them off."""

from dataclasses import dataclass

from server.domain.routine.plan import Plan
from server.web.frame.telling import told

# Reading a script takes longer than everything else on the stage's page, and a frozen plan is
# asked for with each load of it. A key stands for one content for ever.
PLANS_KEPT = 32


@dataclass(frozen=True)
class Due:
    """The descriptors due in a run, as the stage and those who watch read them.

    `untold` says what could not be checked, and why.
    """

    claims: list[dict[str, object]]
    untold: tuple[str, ...] = ()


_due: dict[str, Due] = {}


def due_in(plan_key: str, plan: Plan) -> Due:
    """What is due in a run of `plan`; `plan_key` is that of the stored plan. It never fails."""
    if plan_key not in _due:
        if len(_due) >= PLANS_KEPT:
            _due.clear()
        found, why = told("Which descriptors are due", lambda: _due_in(plan))
        _due[plan_key] = found or Due([], (why,))
    return _due[plan_key]


def _due_in(plan: Plan) -> Due:
    # Loaded here: it is the whole check of claims, which a stage to try out does without.
    from server.domain.claims.due import due_claims
    from server.web.drinks.checked import checked

    routine = plan.routine
    names = {drink.id: drink.name for drink in routine.drinks}
    found = checked(routine, plan.rules)
    claims: list[dict[str, object]] = [
        {
            "key": each.key,
            "label": each.label,
            "drink": names.get(each.drink_id or ""),
            "segment_ids": each.segment_ids,
            "is_scripted": each.is_scripted,
        }
        for each in due_claims(routine, found.ledger)
    ]
    return Due(claims, found.untold)
