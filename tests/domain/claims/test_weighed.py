"""Forms that claim a taste only at times: rules leave them to the weights."""

import pytest

from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.learnt import second_look as looks
from server.domain.claims.learnt.weights import Weights
from server.domain.claims.lexicon import lexicon_for
from server.domain.claims.taxonomy import shipped
from server.domain.claims.words.weighed import weighed_forms
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.more import part
from tests.table import table

DRINK = Drink("d", "Laterne", 1, (part("rum", "Aged rum", 40, "ml"),), ("plum",))
PEELED = Drink("d", "Laterne", 1, (part("peel", "Pomelo peel", 10, "g"),), ("plum",))


def words(said, drink=DRINK):
    finds = find_claims([Passage("s", said, "d")], (drink,), "en")
    return [one.word for one in finds if one.kind == "descriptor"]


def weighed_by(patched, odds):
    patched.setattr(looks, "shipped_weights", lambda: Weights({"always": odds}, {}))


@pytest.mark.parametrize("odds", [-99.0, 99.0])
@table(
    "said, word",
    [
        ("Then there's the bite of it.", "bite"),
        ("Mostly it sticks.", "sticky"),
        ("A little heat behind.", "heat"),
        ("And the dark underneath.", "dark"),
    ],
)
def test_weights_alone_decide_where_such_a_form_claims(monkeypatch, odds, said, word):
    weighed_by(monkeypatch, odds)
    assert (word in words(said)) is (odds > 0)


def test_rules_alone_leave_them_alone_where_they_are_not_said_plainly(monkeypatch):
    monkeypatch.setattr(looks, "second_look", lambda scene, told, weights: list(told))
    assert words("Then there's the bite of it, and it sticks.") == []
    assert words("It tastes of snow.") == ["snow"]


def test_a_form_that_names_a_part_of_the_recipe_is_that_part(monkeypatch):
    weighed_by(monkeypatch, 99.0)
    assert words("And then the peel.") == ["peel"]
    assert words("And then the peel.", PEELED) == []


def test_such_forms_are_english():
    entries = [one for group in lexicon_for((DRINK,), "de", ()).entries for one in group]
    assert not any(one.is_weighed for one in entries)


def test_a_form_is_of_one_word_and_listed_with_no_other():
    words = shipped().words.values()
    listed = {form: word.name for word in words for form in (word.name, *word.forms)}
    forms = weighed_forms().items()
    assert {form: name for form, name in forms if listed.get(form, name) != name} == {}
