"""What is found of a blind list, word by word."""

from dataclasses import replace

import pytest

from server.demo import demo_file
from server.domain.base.amounts import Amount
from server.domain.base.errors import InvalidInput
from server.domain.glass.steps import Agitate
from server.domain.routine.drink import Drink
from server.domain.tasters.alcohol_each import alcohol_each
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.found_words import beside, findings, oddity
from server.domain.tasters.sitting import Sitting, recipe_key
from server.domain.tasters.taster_answers import Answer, Tick, answer_from

WORDS = (
    AskedWord("plum", "stated"), AskedWord("smoke", "far"), AskedWord("rose", "stated"),
    AskedWord("fig", "near"), AskedWord("mint", "far"), AskedWord("date", "near"),
)  # fmt: skip
SITTING = Sitting("s1", "r1", "list", "Evening", 0, 1, (Drink("d", "Sour"),), words=WORDS)
LAMP = demo_file().routine.drinks[0]


def card(*places, **more):
    return Answer(1, True, tuple(Tick(place, **more) for place in places))


def test_a_word_is_held_against_the_decoys_of_each_taster():
    # Each of five ticks plum and one of the four decoys: by chance plum is 2 of 5 on each card.
    found = findings(SITTING, [card(0, 1), card(0, 3), card(0, 4), card(0, 5), card(0, 1)])
    plum, rose = found.stated
    assert (plum.word, plum.found, rose.found) == ("plum", 5, 0)
    assert plum.p == pytest.approx(2 * 0.4**5)
    assert (plum.verdict, rose.verdict) == ("found", "nobody")
    assert (found.decoy_ticks, found.decoys_shown) == (5, 20)


def test_a_word_ticked_no_more_often_than_decoys_is_not_found():
    everything = card(*range(6))
    (plum, _) = findings(SITTING, [everything] * 9).stated
    assert (plum.found, plum.p, plum.verdict) == (9, 1.0, "unsure")


def test_three_who_miss_a_word_are_too_few_to_say_that_nobody_finds_it():
    # Wilson's upper bound of 0 in 3 is 0.56, of 0 in 4 it is 0.49.
    verdicts = [findings(SITTING, [card(1)] * n).stated[0].verdict for n in (3, 4)]
    assert verdicts == ["unsure", "nobody"]


@pytest.mark.parametrize(("decoys", "fewest"), [(4, 3), (2, 4), (1, 6)])
def test_of_fewer_tasters_no_word_is_found_even_if_all_find_it(decoys, fewest):
    # Of two words one has to stay below 0.025: 1/5³ = 0.008, 1/3⁴ = 0.012, 1/2⁶ = 0.016 do.
    others = [each for each in WORDS if each.is_decoy][:decoys]
    sitting = replace(SITTING, words=(WORDS[0], WORDS[2], *others))
    assert findings(sitting, []).fewest == fewest
    for tasters in range(1, 8):
        plum = findings(sitting, [card(0)] * tasters).stated[0]
        assert (plum.verdict == "found") == (tasters >= fewest)


def test_when_and_how_strongly_are_told_of_those_who_said_it():
    answers = [card(0, when="nose", strength=3), card(0, when="nose"), card(0, strength=2)]
    plum = findings(SITTING, answers).stated[0]
    assert (plum.whens, plum.strength) == ({"nose": 2}, 2.5)


def test_cards_that_tell_no_words_apart_are_known():
    answers = [card(), card(*range(6)), card(0)]
    assert [oddity(SITTING, each) for each in answers] == ["none", "all", ""]


def test_nobody_is_no_finding():
    found = findings(SITTING, [])
    assert [(each.low, each.high, each.p) for each in found.stated] == [(0.0, 1.0, 1.0)] * 2


def test_two_versions_are_held_against_each_other_word_by_word():
    one, other = findings(SITTING, [card(0)] * 9), findings(SITTING, [card(2)] * 9)
    found = {each.word: each for each in beside(one, other)}
    assert found["plum"].differs
    assert found["plum"].one.found == 9
    assert not beside(one, one)[0].differs


def test_the_same_tasters_are_each_held_against_themselves():
    first = [card(0)] * 6 + [card()] * 3
    second = [card()] * 9
    one, other = findings(SITTING, first), findings(SITTING, second)
    apart = {each.word: each.p for each in beside(one, other)}
    again = {
        each.word: each.p for each in beside(one, other, list(zip(first, second, strict=True)))
    }
    # Six of six who changed, changed one way: 2 in 64; two words are tested.
    assert again["plum"] == pytest.approx(2 * 2 / 64)
    assert apart["plum"] != again["plum"]
    missing = beside(one, other, list(zip(first, second, strict=True))[:8])
    assert {each.word: each.p for each in missing} == apart


def test_it_is_told_whether_words_are_found_unequally_often():
    assert findings(SITTING, [card(0)] * 9).apart_p < 0.01
    assert findings(SITTING, [card(0, 2)] * 9).apart_p == 1.0


def test_a_form_is_read_as_the_card_it_is():
    values = {"count": "7", "done": "yes", "word-2": "yes", "when-2": "sip", "strength-2": "3"}
    odd = {"word-3": "yes", "when-3": "later", "strength-3": "99", "word-77": "yes"}
    assert answer_from(values | odd, SITTING, None) == Answer(
        7, True, (Tick(2, "sip", 3), Tick(3, "", 0))
    )
    with pytest.raises(InvalidInput):
        answer_from({"count": "-1"}, SITTING, None)


def test_a_recipe_is_another_when_its_taste_may_be():
    first = LAMP.ingredients[0]
    more = replace(first, amount=Amount(first.amount.value + 1, first.amount.unit))
    changed = replace(LAMP, ingredients=(more, *LAMP.ingredients[1:]))
    renamed = replace(LAMP, name="Other", descriptors=(), method="")
    turned = replace(LAMP, ingredients=LAMP.ingredients[::-1])
    assert recipe_key(renamed) == recipe_key(turned) == recipe_key(LAMP) != recipe_key(changed)


def test_a_recipe_is_the_same_when_its_ice_is_measured_as_cold_as_it_was_taken_to_be():
    stirred = replace(LAMP, steps=(Agitate("s", "stir"),))
    measured = replace(LAMP, steps=(Agitate("s", "stir", ice_measured=True),))
    assert recipe_key(stirred) == recipe_key(measured)


def test_the_alcohol_of_a_taster_is_that_of_their_glasses():
    one = alcohol_each([(LAMP, 1)], 20, "WHO")
    three = alcohol_each([(LAMP, 3)], 20, "WHO")
    assert three.ethanol_g == pytest.approx(3 * one.ethanol_g)
    assert three.drinks == pytest.approx(three.ethanol_g / 10)
    assert three.most_ml(20, three.drinks / 2) == pytest.approx(10)
    assert alcohol_each([(Drink("d", "Empty"), 1)], 20, "WHO").unknown == ("Empty",)
