"""The descriptors due in a run, for those who tick them off."""

from server.domain.claims.due import due_claims
from server.domain.plan import Plan
from server.web.claims_check import checked

# Reading a script takes longer than everything else on the stage's page, and a frozen plan is
# asked for with each load of it. A key stands for one content for ever.
PLANS_KEPT = 32
_due: dict[str, list[dict[str, object]]] = {}


def due_in(plan_key: str, plan: Plan) -> list[dict[str, object]]:
    """The descriptors due in a run of `plan`, as the stage and those who watch read them.

    `plan_key` is that of the stored plan.
    """
    if plan_key not in _due:
        if len(_due) >= PLANS_KEPT:
            _due.clear()
        _due[plan_key] = _due_in(plan)
    return _due[plan_key]


def _due_in(plan: Plan) -> list[dict[str, object]]:
    routine = plan.routine
    names = {drink.id: drink.name for drink in routine.drinks}
    return [
        {
            "key": each.key,
            "label": each.label,
            "drink": names.get(each.drink_id or ""),
            "segment_ids": each.segment_ids,
            "is_scripted": each.is_scripted,
        }
        for each in due_claims(routine, checked(routine, plan.rules).ledger)
    ]
