"""The criteria of a rule sheet as rows of a form: a name, the most points, and how they weigh."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from server.domain.base.ids import is_id
from server.domain.base.numbers import write_number
from server.domain.routine.rules import MOST_CRITERIA, Criterion
from server.store.ids import new_id
from server.web.frame.forms import Typed, renamed

SPARE_ROWS = 3


@dataclass(frozen=True)
class CriterionRow:
    """One row: its place in the form, and the id of the criterion that stands there."""

    place: int
    id: str


def criterion_values(criteria: Sequence[Criterion]) -> dict[str, str]:
    """The texts of the fields for these criteria."""
    values = {}
    for place, criterion in enumerate(criteria):
        values[f"criterion-id-{place}"] = criterion.id
        values[f"criterion-name-{place}"] = criterion.name
        values[f"criterion-points-{place}"] = write_number(criterion.most_points)
        values[f"criterion-weight-{place}"] = write_number(criterion.weight)
    return values


def criterion_rows(values: Mapping[str, str]) -> list[CriterionRow]:
    """The rows that a form with these texts shows: all that hold something, and some to spare."""
    filled = [
        place
        for place in range(MOST_CRITERIA)
        if values.get(f"criterion-name-{place}") or values.get(f"criterion-points-{place}")
    ]
    shown = min(MOST_CRITERIA, (filled[-1] + 1 if filled else 0) + SPARE_ROWS)
    return [CriterionRow(place, values.get(f"criterion-id-{place}", "")) for place in range(shown)]


def criteria_from(typed: Typed) -> tuple[Criterion, ...]:
    """The criteria that a form describes, its faults noted; an empty row is none."""
    found: list[Criterion] = []
    seen: set[str] = set()
    for place in range(MOST_CRITERIA):
        name = typed.text(f"criterion-name-{place}")
        points_field = f"criterion-points-{place}"
        if not name and typed.text(points_field):
            typed.fault(f"criterion-name-{place}", "Name the criterion, or clear its points.")
        if not name:
            continue
        weight_field = f"criterion-weight-{place}"
        points = _points(typed, points_field, Criterion.most_points)
        weight = _points(typed, weight_field, Criterion.weight)
        if name.casefold() in seen:
            typed.fault(f"criterion-name-{place}", "This criterion stands there already.")
            continue
        seen.add(name.casefold())
        if typed.failed(points_field, weight_field):
            continue
        fields = {"name": f"criterion-name-{place}", "most_points": points_field}
        make = partial(Criterion, _id(typed, place, found), name, points, weight)
        made = typed.take(partial(renamed, make, fields | {"weight": weight_field}), None)
        found += [made] if made else []
    return tuple(found)


def _id(typed: Typed, place: int, found: Sequence[Criterion]) -> str:
    """An id stays with its row, so that points given under an earlier name still count."""
    kept = typed.text(f"criterion-id-{place}")
    is_free = all(kept != criterion.id for criterion in found)
    return kept if is_id(kept) and is_free else new_id()


def _points(typed: Typed, field: str, usual: float) -> float:
    points = typed.optional_number(field)
    return usual if points is None else points
