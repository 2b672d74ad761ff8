import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import TypeAdapter

from server.domain.base.errors import InvalidInput
from server.domain.claims.corrections import apply, correction_at
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.routine.own_words import Correction
from tests.domain.claims import labelled
from tests.domain.shorthand import correction_of

DRINKS = labelled.drinks()
SCRIPT = "My uncle sold plums. On the nose you get plum, and plum again. I pour 40 ml slowly."


def finds(text, segment="s"):
    return find_claims([Passage(segment, text, "lamp")], DRINKS)


def corrected(text, *corrections, segment="s"):
    passages = [Passage(segment, text, "lamp")]
    return apply(find_claims(passages, DRINKS), corrections, passages)


def claims(result):
    return [(f.kind, f.word or f.low) for f in result.finds if f.kind != "ingredient"]


def not_a_claim(text, phrase, occurrence=0):
    find = [f for f in finds(text) if f.phrase == phrase][occurrence]
    return correction_of(find, "c1", "no claim")


def test_what_is_no_claim_is_dismissed_and_kept_to_be_taken_back():
    result = corrected(SCRIPT, not_a_claim(SCRIPT, "plum"))
    assert claims(result) == [("descriptor", "plum"), ("amount", 40)]
    assert [f.phrase for f in result.dismissed] == ["plum"]


def test_the_second_of_two_equal_words_is_the_one_corrected():
    result = corrected(SCRIPT, not_a_claim(SCRIPT, "plum", 1))
    kept = [f for f in result.finds if f.word == "plum"]
    assert kept[0].start < result.dismissed[0].start


def test_an_amount_can_be_given_to_an_ingredient():
    find = next(f for f in finds(SCRIPT) if f.kind == "amount")
    result = corrected(SCRIPT, correction_of(find, "c", "ingredient", ingredient_id="rum"))
    amount = result.finds[-1]
    assert (amount.kind, amount.ingredient_ids, amount.is_corrected) == ("amount", ("rum",), True)


def test_a_word_can_be_said_to_name_an_ingredient():
    find = next(f for f in finds(SCRIPT) if f.word == "plum")
    result = corrected(SCRIPT, correction_of(find, "c", "ingredient", ingredient_id="rum"))
    assert ("ingredient", ("rum",)) in [(f.kind, f.ingredient_ids) for f in result.finds]


def test_a_word_can_be_said_to_mean_another():
    find = next(f for f in finds(SCRIPT) if f.word == "plum")
    result = corrected(SCRIPT, correction_of(find, "c", "word", word="prune"))
    assert ("descriptor", "prune") in claims(result)


def test_a_missed_claim_can_be_marked_in_the_text():
    passage = Passage("s", "It is like a walk after rain.", "lamp")
    start = passage.text.index("a walk")
    marked = correction_at(passage, start, start + len("a walk after rain"), "c", "wet earth")
    result = corrected(passage.text, marked)
    assert [(f.word, f.phrase) for f in result.finds] == [("wet earth", "a walk after rain")]


@pytest.mark.parametrize(
    "edited",
    [
        "My uncle sold plums. On the nose you get plum, and plum again. I pour 40 ml.",
        "Hello. My uncle sold plums. On the nose you will get plum, and plum again!",
        "On the nose, judges, you get plum. I pour 40 ml slowly.",
        "On the nose you get ripe plums and then plum again.\nMy uncle sold plums.",
        "On my nose you get PLUM, and plum again.",
    ],
)
def test_a_correction_holds_when_the_text_around_it_is_edited(edited):
    result = corrected(edited, not_a_claim(SCRIPT, "plum"))
    assert len(result.dismissed) == 1
    assert result.resting == ()


def test_a_correction_rests_while_its_words_are_gone_and_comes_back_with_them():
    correction = not_a_claim(SCRIPT, "plum")
    gone = corrected("On the nose you get cherry.", correction)
    assert (gone.resting, gone.dismissed) == ((correction,), ())
    assert corrected(SCRIPT, correction).resting == ()


def test_a_correction_is_not_taken_over_by_another_sentence_with_the_word():
    correction = not_a_claim(SCRIPT, "plum")
    other = corrected(
        "At the end, long after swallowing, plum comes back like a friend.", correction
    )
    assert other.resting == (correction,)


def test_a_correction_follows_its_sentence_into_another_segment():
    result = corrected(SCRIPT, not_a_claim(SCRIPT, "plum"), segment="elsewhere")
    assert len(result.dismissed) == 1


def test_two_corrections_of_equal_sentences_hold_each_in_its_own():
    text = "You get plum. You get plum."
    first, second = (f for f in finds(text))
    both = (correction_of(first, "a", "no claim"), correction_of(second, "b", "no claim"))
    assert len(corrected(text, *both).dismissed) == 2


def test_a_correction_survives_being_written_down():
    adapter = TypeAdapter(Correction)
    correction = not_a_claim(SCRIPT, "plum")
    assert adapter.validate_json(adapter.dump_json(correction)) == correction


@pytest.mark.parametrize("verdict", ["ingredient", "word"])
def test_a_correction_says_what_is_meant(verdict):
    with pytest.raises(InvalidInput):
        correction_of(finds(SCRIPT)[0], "c", verdict)


def test_a_mark_on_nothing_is_refused():
    with pytest.raises(InvalidInput):
        correction_at(Passage("s", "plum  … "), 5, 7, "c", "plum")


_filler = st.lists(st.sampled_from(["so", "well", "judges", "now", "okay"]), max_size=4)


@given(_filler, _filler)
def test_filler_around_a_sentence_never_loses_its_correction(before, behind):
    old = "On the nose you get plum, a little honey and some tobacco from the rum."
    find = next(f for f in finds(old) if f.word == "plum")
    edited = " ".join([*before, old.rstrip("."), *behind])
    result = corrected(edited, correction_of(find, "c", "no claim"))
    assert [f.word for f in result.dismissed] == ["plum"]
