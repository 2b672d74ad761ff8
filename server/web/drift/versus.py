"""Any two runs or groups of runs of a routine held against each other."""

from datetime import date
from typing import Annotated

from fastapi import APIRouter, Query, Request, Response

from server.domain.base.errors import Fault
from server.store.routines import load_routine
from server.store.run_columns import plan_keys
from server.web.drift.cells import beyond_chance
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.forms import Form
from server.web.frame.render import page

router = APIRouter(prefix="/routines/{routine_id}/drift/compare")

Words = Annotated[list[str], Query(default_factory=list)]

MOST_WORDS = 200


@router.get("")
def compare_page(
    request: Request,
    session: ReadSession,
    routine_id: str,
    first: Words,
    second: Words,
    first_since: str = "",
    first_until: str = "",
    second_since: str = "",
    second_until: str = "",
) -> Response:
    # With NumPy, so only now: the app starts without it.
    from server.domain.drift.pairs import chosen, compared
    from server.web.drift.choice import Choice, choice_words, chosen_runs, options
    from server.web.drift.groups import pair_table
    from server.web.drift.interval_strip import strips
    from server.web.drift.reading import read_drift

    typed = {
        "first_since": first_since, "first_until": first_until,
        "second_since": second_since, "second_until": second_until,
    }  # fmt: skip
    days, faults = _days(typed)
    stored = load_routine(session, routine_id)
    reading = read_drift(session, stored)
    plans = plan_keys(session, routine_id)
    offered = options(reading, plans)
    one, other = _asked(first, second, reading.drift.table.run_ids)
    choices = (
        Choice(one, days["first_since"], days["first_until"]),
        Choice(other, days["second_since"], days["second_until"]),
    )
    ids = chosen_runs(reading, plans, *choices)
    result = compared(reading.drift.table, chosen(reading.drift.table, *ids))
    (is_sure,) = beyond_chance([result.total])
    table = pair_table(reading.drift, result, is_sure)
    context = {
        **routine_context(session, stored, "runs"),
        "runs": reading.drift.table.runs,
        "offered": offered,
        "asked": choices,
        "names": [choice_words(each, offered) for each in choices],
        "sizes": [len(each) for each in ids],
        "result": None if result.total is None else table,
        "strips": strips([table.total, *table.segments]),
        "form": Form(typed, tuple(faults)),
    }
    return page(request, "versus", context, 422 if faults else 200)


def _asked(
    first: list[str], second: list[str], run_ids: tuple[str, ...]
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """What was asked for; at first the last run against all others."""
    if not first and not second and run_ids:
        return (f"run:{run_ids[-1]}",), ("rest",)
    return tuple(first[:MOST_WORDS]), tuple(second[:MOST_WORDS])


def _days(typed: dict[str, str]) -> tuple[dict[str, date | None], list[Fault]]:
    days: dict[str, date | None] = {}
    faults = []
    for name, text in typed.items():
        try:
            days[name] = date.fromisoformat(text) if text else None
        except ValueError:
            days[name] = None
            faults.append(Fault(name, "Give a day, for example 2026-11-20."))
    return days, faults
