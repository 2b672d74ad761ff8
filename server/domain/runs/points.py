"""Points given for the criteria of a rule sheet, by everyone who gave some.

>>> care = Criterion("c", "Care", 10.0)
>>> table = points_table((care,), (ScoreState("1", "c", 8.0, "d1", "Ada"),))
>>> table.rows[0].mean, table.mean_total, table.most_total
(8.0, 8.0, 10.0)
"""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.routine.rules import Criterion
from server.domain.runs.remarks import ScoreState


@dataclass(frozen=True)
class Judge:
    """One who gave points; two of one name on two devices are two."""

    device_id: str
    who: str
    total: float
    """The sum of what they gave, each criterion by its weight."""
    is_complete: bool
    """Whether they gave points for every criterion."""


@dataclass(frozen=True)
class PointsRow:
    """What was given for one criterion, in the order of the judges; None where nothing was."""

    criterion: Criterion
    given: tuple[float | None, ...]
    mean: float | None


@dataclass(frozen=True)
class PointsTable:
    """All points of a run. `mean_total` is None while a criterion has none."""

    judges: tuple[Judge, ...]
    rows: tuple[PointsRow, ...]
    mean_total: float | None
    most_total: float


def points_table(criteria: Sequence[Criterion], scores: Sequence[ScoreState]) -> PointsTable:
    """The points of a run by criterion and judge.

    Points for something that is no criterion, or outside of what it can earn, are left out: no
    page of the app sends such.
    """
    most = {criterion.id: criterion.most_points for criterion in criteria}
    kept = [each for each in scores if 0 <= each.points <= most.get(each.criterion, -1.0)]
    names = {each.device_id: each.who for each in kept}
    given = {(each.device_id, each.criterion): each.points for each in kept}
    rows = tuple(
        _row(criterion, [given.get((d, criterion.id)) for d in names]) for criterion in criteria
    )
    means = [row.criterion.weight * row.mean for row in rows if row.mean is not None]
    return PointsTable(
        judges=tuple(
            _judge(device_id, who, [_weighted(row, place) for row in rows])
            for place, (device_id, who) in enumerate(names.items())
        ),
        rows=rows,
        mean_total=sum(means) if rows and len(means) == len(rows) else None,
        most_total=sum(each.weight * each.most_points for each in criteria),
    )


def _weighted(row: PointsRow, place: int) -> float | None:
    given = row.given[place]
    return None if given is None else row.criterion.weight * given


def _row(criterion: Criterion, given: list[float | None]) -> PointsRow:
    points = [each for each in given if each is not None]
    return PointsRow(criterion, tuple(given), sum(points) / len(points) if points else None)


def _judge(device_id: str, who: str, given: list[float | None]) -> Judge:
    points = [each for each in given if each is not None]
    return Judge(device_id, who, sum(points), len(points) == len(given))
