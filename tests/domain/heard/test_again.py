"""A second listening: what was not heard may be raised to be listened to, and to no more."""

from dataclasses import replace

import pytest

from server.domain.claims.cases import case_of
from server.domain.claims.ledger import ledger
from server.domain.heard.again import Probe, SecondThought, probes, raised, thoughts
from server.domain.heard.aligning import align
from server.domain.heard.alignment import spoken_segments
from server.domain.heard.claims import hear_claims
from server.domain.heard.phrases import Talk
from server.domain.routine.plan import Plan
from tests.domain.heard.said import talk
from tests.factories import RULES
from tests.spoken import SAID, spoken_routine
from tests.table import table

ROUTINE = spoken_routine()
CASE = case_of(Plan(ROUTINE, RULES))
LEDGER = ledger(CASE)
KEY = "d1:descriptor:ripe pear"
CLAIM = Probe(("ripe", "pear"), 5_000, 9_000, KEY)
OWN, OTHER = [[-3.5, -3.5]], [[-10.0, -10.0]]


def heard(*without, pause_s=6.0, language="en", timed=True):
    """What was heard of a talk whose sentences that begin so left a pause, and the talk."""
    words = []
    for said in SAID:
        for sentence in said.rstrip(".").split(". "):
            words.append(f"{{{pause_s}}}" if sentence.startswith(without) else sentence + ".")
    transcript = talk(" ".join(words), timed=timed)
    alignment = align(transcript, spoken_segments(ROUTINE))
    claims = hear_claims(ROUTINE, CASE, LEDGER, transcript, alignment)
    return claims, Talk(transcript, alignment, language)


def asked(*without, **changes):
    claims, said = heard(*without, **changes)
    return [each for each in probes(claims, LEDGER, said) if each.claim]


def judged(fit, own=OWN * 3, other=OTHER * 3):
    gauges = [replace(CLAIM, claim="", is_own=True)] * len(own)
    gauges += [replace(CLAIM, claim="")] * len(other)
    return thoughts([*gauges, CLAIM], [*own, *other, fit])


def test_a_sentence_that_was_not_heard_is_laid_over_the_silence_of_its_place():
    found = {each.claim: each for each in asked("In your cup")}
    assert set(found) == {KEY, "d1:descriptor:heather honey"}
    probe = found[KEY]
    assert probe.words[probe.first : probe.stop] == ("ripe", "pear")
    assert 5.0 < (probe.until_ms - probe.from_ms) / 1000 < 7.0


@table(
    "changes, without",
    [
        ({}, ()),  # Everything was heard.
        ({"pause_s": 1.0}, ("In your cup",)),  # No room to have said it.
        ({"language": "de"}, ("In your cup",)),  # Another language than the model's.
        ({"timed": False}, ("In your cup",)),
    ],
)
def test_where_it_cannot_tell_nothing_is_asked(changes, without):
    assert asked(*without, **changes) == []


def test_what_fits_like_the_own_sentences_may_have_been_said():
    assert judged([-4.0, -4.2]) == (SecondThought(KEY, 5_000, 9_000),)


@table("fit", [[-9.0, -9.5], None, [None, None]])
def test_what_fits_badly_stays_not_heard(fit):
    assert judged(fit) == ()


def test_a_claim_fits_no_better_than_its_own_words():
    probe = replace(CLAIM, words=("find", "ripe", "pear"), first=1, stop=3)
    gauges = [replace(CLAIM, claim="", is_own=True)] * 3
    fits = [*OWN * 3, [-3.0, -9.0, -9.0]]
    assert thoughts([*gauges, probe], fits) == ()
    assert thoughts([*gauges, probe], [*OWN * 3, [-7.0, -3.0, -3.0]]) != ()


@pytest.mark.parametrize(
    ("own", "other"), [(OWN * 2, OTHER * 3), (OWN * 3, [[-3.9, -3.9]] * 3), ([None] * 3, OTHER * 3)]
)
def test_where_own_and_other_sentences_fit_alike_nothing_is_thought(own, other):
    assert judged([-3.5, -3.5], own, other) == ()


def test_not_heard_becomes_listen_and_nothing_becomes_heard():
    claims, _ = heard("In your cup")
    keys = [each.key for each in claims.planned]
    found = raised(claims, [SecondThought(key, 5_000, 9_000) for key in keys])
    was = {each.key: each.hearing for each in claims.planned}
    now = {each.key: each.hearing for each in found.planned}
    assert "not heard" in was.values()
    assert now == {key: "listen" if was[key] == "not heard" else was[key] for key in keys}
    told = next(each for each in found.planned if each.key == KEY)
    assert (told.start_s, told.end_s) == (5.0, 9.0)
    assert "perhaps" in told.why
