from dataclasses import dataclass, field, replace

import pytest

from server.domain.base.text import LINE
from server.domain.drift.run_labels import labels_of
from server.domain.runs.labels import (
    LONGEST_TAG,
    MOST_TAGS,
    USUAL_TAGS,
    Occasion,
    RunLabels,
    occasion_faults,
)
from server.domain.runs.summary import RunSummary
from tests.factories import make_line


@dataclass(frozen=True)
class WithClaims(RunSummary):
    claims: dict[str, str] = field(default_factory=dict)


def test_the_usual_tags_can_be_given_all_at_once():
    assert occasion_faults(Occasion("Back bar", USUAL_TAGS)) == []


def test_what_just_fits_is_taken():
    tags = tuple(f"{number:0{LONGEST_TAG}}" for number in range(MOST_TAGS))
    assert occasion_faults(Occasion("x" * LINE, tags)) == []


@pytest.mark.parametrize(
    ("occasion", "fields"),
    [
        (Occasion("x" * (LINE + 1)), ["venue"]),
        (Occasion("", ("x" * (LONGEST_TAG + 1),)), ["tags"]),
        (Occasion("", tuple(map(str, range(MOST_TAGS + 1)))), ["tags"]),
    ],
    ids=["a venue too long", "a tag too long", "too many tags"],
)
def test_what_is_too_much_is_named_beside_its_field(occasion, fields):
    assert [fault.field for fault in occasion_faults(occasion)] == fields


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
    noted = replace(line, summary=WithClaims({}, {}, claims=claims))
    assert labels_of([noted])["a"].claims_said is said
