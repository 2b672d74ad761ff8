import pytest

from server.domain.base.text import LINE
from server.domain.runs.labels import (
    LONGEST_TAG,
    MOST_TAGS,
    USUAL_TAGS,
    Occasion,
    occasion_faults,
)


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
