"""Where runs were made and of what kind they were, as groups of runs ask for them."""

from dataclasses import replace

import pytest

from server.domain.drift.run_labels import labels_of
from server.domain.runs.labels import Occasion, RunLabels
from tests.factories import make_line


def test_the_labels_of_a_run_are_those_of_its_occasion():
    line = make_line(id="a", occasion=Occasion("Studio", ("coach",)))
    assert labels_of([line]) == {"a": RunLabels("Studio", frozenset({"coach"}), None)}


@pytest.mark.parametrize(
    ("claims", "said"),
    [({}, None), ({"pear": "heard"}, True), ({"pear": "heard", "oak": "missed"}, False),
     ({"pear": "wrong"}, False)],
)  # fmt: skip
def test_every_claim_was_said_only_where_each_was_heard(claims, said):
    line = make_line(id="a")
    noted = replace(line, summary=replace(line.summary, claims=claims))
    assert labels_of([noted])["a"].claims_said is said
