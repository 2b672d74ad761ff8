"""What is known of runs beside their times: labels, and whether every claim was said."""

from collections.abc import Mapping, Sequence

from server.domain.runs.labels import RunLabels
from server.domain.runs.summary import RunLine

HEARD, MISSED, WRONG = "heard", "missed", "wrong"
"""What may have become of a claim in a run."""


def claims_of(line: RunLine) -> Mapping[str, str]:
    """What became of each claim of a run, by its key; empty where nobody noted it."""
    return line.summary.claims


def labels_of(lines: Sequence[RunLine]) -> dict[str, RunLabels]:
    """The labels of runs, by run id."""
    return {line.id: _labels(line) for line in lines}


def _labels(line: RunLine) -> RunLabels:
    noted = claims_of(line)
    said = all(each == HEARD for each in noted.values()) if noted else None
    return RunLabels(line.occasion.venue, frozenset(line.occasion.tags), said)
