"""The sentences and talks by class: figures that must not fall, and that the set stays whole."""

import pytest

from tests.domain.claims import said

LEAST = {"open": 0.93, "locked": 0.85}
"""Precision and recall of all held classes together; see the bench for each. Words of taste are
learnt from eight later writers, not tuned on these; labels of a third were settled anew. Each set
of talks that was written later is harder than what came before: the locked half has 0.81 and 0.78
in those of the fair, 0.88 and 0.90 without them."""

LEAST_HEARD = {"open": 0.91, "locked": 0.84}
"""The same of every text as speech is recognised: in lower case, without marks."""


@pytest.fixture(scope="module", params=["open", "locked"])
def half(request):
    return request.param, said.totals(locked=request.param == "locked", names=said.HELD)


@pytest.fixture(scope="module", params=["open", "locked"])
def heard(request):
    locked = request.param == "locked"
    return request.param, said.totals(locked=locked, heard=True, names=said.HELD)


def test_every_class_has_claims_in_either_half():
    mixed = [name for name in said.CLASSES if name not in said.WHOLLY]
    texts = [each for name in mixed for each in said.read(name)]
    locked = sum(each.is_locked for each in texts)
    assert len(texts) > 500
    assert 0.4 < locked / len(texts) < 0.6
    names = [name for name in said.CLASSES if "talks" in name]
    talks = {name: [len(each.text.split()) for each in said.read(name)] for name in names}
    assert sum(map(len, talks.values())) >= 50
    # Those of the fair, the barge and the four writers are shorter: a slot of three minutes.
    shortest = {"fair_talks": 200, "barge_talks": 300, **dict.fromkeys(said.WHOLLY, 300)}
    assert all(shortest.get(name, 400) <= min(talks[name]) for name in names)
    assert max(map(max, talks.values())) <= 1000


def test_a_text_as_it_is_heard_keeps_its_words_and_its_labels():
    one = said.parsed("It's [silky] - not [heavy|-heavy], at 1.5 parts.", "quay", "en")
    heard = said.as_heard(one)
    assert heard.text == "it's silky - not heavy at 1.5 parts"
    assert [heard.text[each.start : each.end] for each in heard.labels] == ["silky", "heavy"]


def test_claims_of_all_classes_are_found_and_little_else(half):
    name, totals = half
    assert totals[None].precision >= LEAST[name]
    assert totals[None].recall >= LEAST[name]


def test_recognised_speech_is_read_nearly_as_well_as_what_is_written(heard):
    name, totals = heard
    assert totals[None].precision >= LEAST_HEARD[name]
    assert totals[None].recall >= LEAST_HEARD[name]


@pytest.mark.parametrize(("locked", "least"), [(False, 1.0), (True, 0.98)])
def test_a_word_of_the_card_that_is_said_is_found_in_recognised_speech(locked, least):
    told = list(said.planned_and_said(locked=locked, names=said.HELD))
    assert len(told) > 100
    missed = [(phrase, text[:40]) for text, phrase, found in told if not found]
    assert 1 - len(missed) / len(told) >= least, missed


def test_next_to_no_claim_is_called_wrong_that_is_true_or_right_that_is_false(half, heard):
    for _, totals in (half, heard):
        every = totals[None]
        assert len(every.wrong_verdicts) <= 0.01 * every.verdicts


def test_what_claims_nothing_is_left_alone(half):
    names = [name for name in said.HELD if "noclaim" in name]
    every = [each for name in names for each in said.read(name)]
    texts = [each for each in every if each.is_locked == (half[0] == "locked")]
    quiet = [each for each in texts if not said.tally(each).wrong]
    assert len(quiet) >= 0.85 * len(texts)
