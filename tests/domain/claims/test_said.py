"""The sentences and talks by class: figures that must not fall, and that the set stays whole."""

import pytest

from tests.domain.claims import said

LEAST = {"open": 0.95, "locked": 0.92}
"""Precision and recall of all classes together; see the bench for each."""


@pytest.fixture(scope="module", params=["open", "locked"])
def half(request):
    return request.param, said.totals(locked=request.param == "locked")


def test_every_class_has_claims_in_either_half():
    texts = [each for name in said.CLASSES for each in said.read(name)]
    locked = sum(each.is_locked for each in texts)
    assert len(texts) > 500
    assert 0.4 < locked / len(texts) < 0.6
    talks = said.read("talks")
    assert len(talks) >= 12
    assert all(400 <= len(each.text.split()) <= 1000 for each in talks)


def test_claims_of_all_classes_are_found_and_little_else(half):
    name, totals = half
    assert totals[None].precision >= LEAST[name]
    assert totals[None].recall >= LEAST[name]


def test_next_to_no_claim_is_called_wrong_that_is_true_or_right_that_is_false(half):
    every = half[1][None]
    assert len(every.wrong_verdicts) <= 0.01 * every.verdicts


def test_what_claims_nothing_is_left_alone(half):
    texts = [each for each in said.read("noclaim") if each.is_locked == (half[0] == "locked")]
    quiet = [each for each in texts if not said.tally(each).wrong]
    assert len(quiet) >= 0.85 * len(texts)
