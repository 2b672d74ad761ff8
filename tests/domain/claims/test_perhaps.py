"""A word that is perhaps no claim is asked about before anything is held against it."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.corrections import correction_at
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.learnt import second_look as looks
from server.domain.claims.learnt.weights import Weights
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.own_words import OwnWord
from tests.domain.claims import asked, said
from tests.table import table

SURE, LIKELY, UNLIKELY, NONE = 2.0, 0.8, -0.5, -2.0
"""Log odds in each of the four stretches of doubt."""

DRINK = Drink(
    "d1",
    "Dusk",
    ingredients=(Ingredient("rum", "Plum rum", Amount(45, "ml"), ("plum",)),),
    descriptors=("almond",),
)


@pytest.fixture
def at_odds_of(monkeypatch):
    """Every word that weights look at has the same odds to be claimed of the drink."""

    def set_odds(odds):
        weights = Weights({"always": odds}, {})
        monkeypatch.setattr(looks, "shipped_weights", lambda: weights)

    return set_odds


def case(text, *corrections):
    return ScriptCase((Passage("s1", text, "d1"),), (DRINK,), corrections=corrections)


def kinds(text):
    return [(one.kind, one.phrase) for one in find_claims(case(text).passages, (DRINK,))]


def told(found):
    """The words of the rows that count, and of those that are asked about."""
    return [row.word for row in found.rows if row.sayings], [row.word for row in found.perhaps]


@table(
    "odds, counted, asked",
    [(SURE, ["tar"], []), (LIKELY, [], ["tar"]), (UNLIKELY, [], ["tar"]), (NONE, [], [])],
)
def test_a_word_that_nothing_gives_is_asked_about_where_it_is_doubtful(odds, counted, asked):
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(looks, "shipped_weights", lambda: Weights({"always": odds}, {}))
        assert told(ledger(case("My uncle came with tar."))) == (counted, asked)


def test_what_is_asked_about_is_not_to_be_settled_and_is_marked_in_the_text(at_odds_of):
    at_odds_of(LIKELY)
    found = ledger(case("My uncle came with tar."))
    assert not any(row.is_open and row.sayings for row in found.rows)
    (mark,) = found.marks("s1")
    assert mark.row_key == found.perhaps[0].key


def test_what_the_glass_holds_is_not_asked_about_where_it_is_hardly_said(at_odds_of):
    at_odds_of(UNLIKELY)
    assert told(ledger(case("My uncle came with plums."))) == ([], [])


def test_a_word_of_the_card_is_never_asked_about(at_odds_of):
    at_odds_of(LIKELY)
    assert told(ledger(case("My uncle came with almonds."))) == (["almond"], [])


def test_said_for_sure_once_it_is_asked_about_nowhere(monkeypatch):
    weights = Weights({"always": LIKELY, "left finds": SURE}, {})
    monkeypatch.setattr(looks, "shipped_weights", lambda: weights)
    finds = find_claims(case("You finds tar. My uncle came with tar.").passages, (DRINK,))
    doubts = [one.is_doubtful for one in finds if one.word == "tar"]
    assert doubts == [False, True]
    counted, asked = told(ledger(case("You finds tar. My uncle came with tar.")))
    assert (counted, asked) == (["tar"], [])


def test_what_is_doubtful_is_held_against_no_other_word(at_odds_of):
    text = "My uncle came with walnut, with no nuttiness."
    at_odds_of(SURE)
    assert any(row.clashes_with for row in ledger(case(text)).rows)
    at_odds_of(LIKELY)
    assert not any(row.clashes_with for row in ledger(case(text)).rows)


def test_a_name_of_an_ingredient_is_named_and_perhaps_claimed(at_odds_of):
    at_odds_of(UNLIKELY)
    assert kinds("We take plum rum and the plum.") == [
        ("ingredient", "plum rum"), ("ingredient", "plum"), ("perhaps", "plum"),
    ]  # fmt: skip


def test_answered_it_is_a_claim_or_none(at_odds_of):
    at_odds_of(LIKELY)
    text = "My uncle came with tar."
    passage = case(text).passages[0]
    (start, end) = (text.index("tar"), text.index("tar") + 3)
    yes = correction_at(passage, start, end, "c1", "tar")
    no = correction_at(passage, start, end, "c1", verdict="no claim")
    assert told(ledger(case(text, yes))) == (["tar"], [])
    assert ledger(case(text, yes)).rows[0].is_open
    found = ledger(case(text, no))
    assert told(found) == ([], [])
    assert [one.phrase for one in found.dismissed] == ["tar"]


def test_an_ingredient_that_is_no_claim_is_named_all_the_same(at_odds_of):
    at_odds_of(UNLIKELY)
    text = "We take the plum."
    passage = case(text).passages[0]
    start = text.index("plum")
    no = correction_at(passage, start, start + 4, "c1", verdict="no claim")
    assert ledger(case(text)).unnamed == ()
    assert ledger(case(text, no)).unnamed == ()


def test_what_answers_a_scale_leaves_no_doubt(at_odds_of):
    at_odds_of(LIKELY)
    (find,) = find_claims(case("Sweetness: low.").passages, (DRINK,))
    assert find.kind == "descriptor"
    assert not find.is_doubtful


def test_another_language_has_no_weights_and_so_no_doubt(at_odds_of):
    at_odds_of(LIKELY)
    words = (OwnWord("Rauch"),)
    german = replace(case("Mein Onkel kam mit Rauch."), language="de", own_words=words)
    assert told(ledger(german)) == (["Rauch"], [])


@pytest.mark.parametrize("writer", said.LOCKED_WRITERS)
def test_what_is_told_for_sure_is_nearly_always_a_claim_and_little_is_asked(writer):
    names = [name for name in said.WHOLLY if name.startswith(writer)]
    found = asked.totals(locked=True, names=names)
    assert asked.share(found, "sure") >= 0.9
    assert asked.share(found, "asked") < asked.share(found, "sure") - 0.2
    assert found["asked in talks"] <= 6 * found["talks"]
