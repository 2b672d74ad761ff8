"""Where rules end, words of taste are weighed by what stands around them; nothing else is."""

import json
from dataclasses import replace
from importlib.resources import files
from itertools import permutations

import pytest

from server.domain.claims.context import Role
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.learnt import second_look as looks
from server.domain.claims.learnt.weights import Weights, shipped_weights
from server.domain.claims.lexicon import LITERAL_FAMILIES, lexicon_for
from tests.domain.claims.drinks.all_drinks import DRINKS
from tests.learn_words import UNSEEN, decided, examples, f1
from tests.table import table
from tests.thorough import all_but, some

MOST_WEIGHTS = 5000
FLOOR = {"as written": 0.80, "as recognised": 0.78}
"""F1 of words of taste in the talks that the weights were learnt from, with what rules and weights
make of them today. Below it rules or words have moved on: `python -m tests.learn_words`."""


def found(text, drink_id="ferry", language="en"):
    drink = DRINKS[drink_id]
    return find_claims([Passage("s", text, drink.id)], (drink,), language)


def words(text):
    signs = {"has": "", "lacks": "-", "some": "~"}
    return [signs[one.polarity] + one.phrase for one in found(text) if one.kind == "descriptor"]


def by_rules_alone(monkeypatch):
    monkeypatch.setattr(looks, "second_look", lambda scene, told, weights: list(told))


@table(
    "text, by_rules, by_both",
    [
        ("Leather first, then tar.", [], ["Leather", "tar"]),
        ("Grass, then grain, then grass again.", [], ["Grass", "grain", "grass"]),
        ("Nothing here is stodgy.", [], ["-stodgy"]),
        ("She married a man who smelled of tar.", [], []),
        ("We dried the plums on the roof.", [], []),
    ],
)
def test_what_stands_around_a_word_tells_where_rules_end(text, by_rules, by_both):
    with pytest.MonkeyPatch.context() as patched:
        by_rules_alone(patched)
        assert words(text) == by_rules
    assert words(text) == by_both


def test_a_sum_of_weights_is_the_same_in_whatever_order_they_are_asked():
    # 0.1 + 0.2 + 0.3 is more than 0.3 + 0.2 + 0.1, in doubles added one by one.
    weights = Weights({"a": 0.1, "b": 0.2, "c": 0.3}, {})
    assert len({weights.speaks_for_a_claim(names) for names in permutations("abc")}) == 1


def test_weights_are_few_and_can_be_read():
    text = files("server.domain.claims.learnt").joinpath("weights.json").read_text("utf-8")
    read = json.loads(text)
    assert len(read["claim"]) + len(read["told"]) <= MOST_WEIGHTS
    assert all(list(part) == sorted(part) for part in read.values())
    every = [*read["claim"].values(), *(one for each in read["told"].values() for one in each)]
    assert every == [round(one, 2) for one in every]


@table(
    "text",
    [
        "45 ml of rum, 20 ml of lime juice, shaken for twelve seconds at minus four degrees.",
        "There is no dairy in it, it is free of nuts and there is no gluten.",
        "It holds nothing but coffee, rum and water, and it serves two.",
    ],
)
def test_numbers_and_what_a_drink_is_free_of_are_the_rules_alone(text):
    with pytest.MonkeyPatch.context() as patched:
        by_rules_alone(patched)
        ruled = [one for one in found(text) if one.kind not in ("descriptor", "ingredient")]
    assert ruled
    assert [one for one in found(text) if one.kind not in ("descriptor", "ingredient")] == ruled


def test_other_languages_are_read_by_rules_alone(monkeypatch):
    text = "Notas de almendra y un final seco, sin humo."
    looked = found(text, "es", "es")
    by_rules_alone(monkeypatch)
    assert looked == found(text, "es", "es")


def test_what_is_not_only_there_is_there():
    assert words("It is not only sweet but savoury.") == ["sweet", "savoury"]


@table(
    "odds, claimed",
    [(looks.LEAST_ODDS + 0.1, True), (looks.LEAST_ODDS - 0.1, False)],
)
def test_a_word_is_a_claim_where_the_weights_are_for_it(odds, claimed):
    weights = Weights({"always": odds}, {})
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(looks, "shipped_weights", lambda: weights)
        assert (words("Leather first.") == ["Leather"]) is claimed
        assert (words("You would think of toffee, and so would I.") == ["toffee"]) is claimed


NAY = Weights({"always": -99.0}, {})
"""Weights that speak against every claim."""


@table(
    "sentence, families",
    [
        ("The drink is {}.", LITERAL_FAMILIES),
        ("It's {}, and that is all.", LITERAL_FAMILIES),
        ("The second is very {}, and it is served in a small glass.", LITERAL_FAMILIES),
        ("It tastes of {}.", ()),
        ("Notes of {}.", ()),
        ("In the mouth there is {}.", ()),
        ("There is {} on the nose.", ()),
        ("The drink tastes like {}.", ()),
    ],
)
def test_what_is_said_plainly_is_found_whatever_the_weights_say(sentence, families):
    drink = DRINKS["ferry"]
    entries = [one for group in lexicon_for((drink,), "en", ()).entries for one in group]
    known = {one.word for one in entries if (one.family in LITERAL_FAMILIES) == bool(families)}
    some = sorted(filter(None, known))[::9]
    assert len(some) > 15
    assert [word for word in some if lost(sentence.format(word))] == []


def lost(text):
    """Whether the weights take away what the rules find."""
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(looks, "shipped_weights", lambda: NAY)
        weighed = words(text)
        by_rules_alone(patched)
        return weighed != words(text)


def test_a_word_of_the_card_that_is_said_never_seems_unsaid():
    drink = replace(DRINKS["ferry"], descriptors=("toffee",))
    text = "You would think of toffee, and so would I."
    said = [one.phrase for one in find_claims([Passage("s", text, drink.id)], (drink,))]
    assert "toffee" in said


def test_what_is_not_said_of_the_drink_is_left_to_the_weights(monkeypatch):
    monkeypatch.setattr(looks, "shipped_weights", lambda: NAY)
    assert words("You would think of toffee, and so would I.") == []


@pytest.mark.parametrize("form", some(FLOOR, all_but("as written")))
def test_the_weights_still_fit_the_rules_and_the_words(form):
    some = [name for name in UNSEEN if name.endswith("talks")][::3]
    told = [one for one in examples(some) if one.is_written == (form == "as written")]
    assert len(told) > 1000
    read = f1([one.wanted for one in told], [decided(shipped_weights(), one) for one in told])
    assert read >= FLOOR[form]
    assert read >= f1([one.wanted for one in told], [one.ruled for one in told]) + 0.05


def test_what_rules_refuse_for_a_reason_is_told_apart_from_what_they_know_nothing_of():
    seen = {}

    def told_in(scene, language):
        told = looks.first_look(scene, language)
        seen.update({scene.words[one.mention.first]: one for one in told})
        return told

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr("server.domain.claims.finder.told_in", told_in)
        found("A plum tree stood there. Leather first. You taste honey.")
    assert (seen["plum"].role, seen["plum"].is_open) == (Role.NOTHING, False)
    assert (seen["leather"].role, seen["leather"].is_open) == (Role.NOTHING, True)
    assert (seen["honey"].role, seen["honey"].is_open) == (Role.CLAIM, False)
