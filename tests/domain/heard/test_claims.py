"""What was heard of planned claims: heard, to be listened to, or not heard."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.due import due_claims
from server.domain.claims.ledger import ledger
from server.domain.heard.aligning import align
from server.domain.heard.alignment import spoken_segments
from server.domain.heard.claims import hear_claims
from server.domain.heard.phrases import Talk
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Segment, Spread
from tests.domain.heard.said import BUILD, CLOSE, OPEN, SCRIPT, TASTE, talk, when
from tests.factories import RULES, make_routine

BRANDY = Ingredient("i1", "Plum brandy", Amount(40, "ml"))
DRINK = Drink("d1", "Dusk", ingredients=(BRANDY,), descriptors=("dried apricot", "smoke", "salt"))
ROUTINE = make_routine(
    segments=tuple(
        Segment(each.id, each.name, Spread(each.planned_s), said=each.text,
                drink_id="d1" if each.id in ("build", "taste") else None)
        for each in SCRIPT
    ),
    drinks=(DRINK,),
)  # fmt: skip
WHOLE = f"{OPEN} {{7}} {BUILD} {{2}} {TASTE} {{2}} {CLOSE}"
GARBLED = "gold evening fudges night tell sofa harness {7} sorted mill leaders plumber handy grow"


def heard(text, routine=ROUTINE, timed=True):
    transcript = talk(text, timed=timed)
    case = case_of(Plan(routine, RULES))
    alignment = align(transcript, spoken_segments(routine))
    return hear_claims(routine, case, ledger(case), transcript, alignment)


def by_label(text, **more):
    return {each.label: each for each in heard(text, **more).planned}


def test_what_stands_word_for_word_is_heard_with_its_clip():
    apricot = by_label(WHOLE)["dried apricot"]
    assert (apricot.hearing, apricot.phrase) == ("heard", "dried apricot")
    assert apricot.start_s == when(talk(WHOLE), "dried")


def test_everything_planned_and_said_is_heard():
    assert {each.hearing for each in heard(WHOLE).planned} == {"heard"}


def test_claims_are_listed_in_the_order_of_the_segments_they_stand_in():
    found = [each.segment_id for each in heard(WHOLE).planned]
    assert list(dict.fromkeys(found)) == ["build", "taste"]
    assert found == sorted(found)


def test_the_key_of_a_descriptor_is_that_of_its_ticks():
    due = {each.key for each in due_claims(ROUTINE, ledger(case_of(Plan(ROUTINE, RULES))))}
    ticked = {each.key for each in heard(WHOLE).planned if each.is_ticked}
    assert ticked == due


def test_another_word_in_its_place_is_listened_to():
    apricot = by_label(WHOLE.replace("dried apricot", "dried apple"))["dried apricot"]
    assert apricot.hearing == "listen"
    assert "dried apple" in apricot.why


def test_a_word_that_sounds_like_it_is_listened_to():
    apricot = by_label(WHOLE.replace("dried apricot", "tried april cot"))["dried apricot"]
    assert (apricot.hearing, apricot.phrase) == ("listen", "tried april cot")


def test_a_sentence_left_out_is_not_heard():
    salt = by_label(WHOLE.replace("it ends with a touch of salt", ""))["salt"]
    assert salt.hearing == "not heard"


def test_what_the_script_never_says_lost_no_sentence():
    routine = replace(ROUTINE, drinks=(replace(DRINK, descriptors=("salt", "rosehip")),))
    spoken = by_label(WHOLE.replace("it ends with a touch of salt", ""), routine=routine)
    assert spoken["salt"].why == "Its sentence was left out."
    assert spoken["rosehip"].why == "Not heard, and the script does not say it of the drink."


@pytest.mark.parametrize("text", [GARBLED, "", "la la la la la la la"])
def test_a_bad_transcript_never_says_not_heard(text):
    found = heard(text)
    assert found.count("not heard") == found.count("heard") == 0
    assert found.note


def test_another_number_is_listened_to_and_both_are_told():
    amount = by_label(WHOLE.replace("forty", "fourteen"))["40 ml of Plum brandy"]
    assert amount.hearing == "listen"
    assert amount.why == "Heard “fourteen millilitres”, planned “Forty millilitres”."


def test_digits_are_heard_as_the_number_they_are():
    amount = by_label(WHOLE.replace("forty millilitres", "40 ml"))["40 ml of Plum brandy"]
    assert amount.hearing == "heard"


def test_a_number_that_differs_from_the_recipe_is_listened_to():
    poured = replace(DRINK, ingredients=(replace(BRANDY, amount=Amount(60, "ml")),))
    amount = by_label(WHOLE, routine=replace(ROUTINE, drinks=(poured,)))["40 ml of Plum brandy"]
    assert amount.hearing == "listen"
    assert "60 ml" in amount.why


def test_a_number_misheard_within_a_larger_one_is_not_heard():
    amount = by_label(WHOLE.replace("forty", "one hundred forty"))["40 ml of Plum brandy"]
    assert amount.hearing == "listen"


def test_a_planned_word_in_an_improvised_sentence_is_heard_of_its_drink():
    text = WHOLE.replace("it ends with a touch of salt", "{1} and at the end you taste salt {1}")
    assert by_label(text)["salt"].hearing in ("heard", "listen")


def test_an_ingredient_named_alone_does_not_stand_for_the_descriptor():
    routine = replace(ROUTINE, drinks=(replace(DRINK, descriptors=("plum",)),))
    assert by_label(WHOLE, routine=routine)["plum"].hearing == "not heard"


def test_a_scene_without_full_stops_loses_no_planned_descriptor():
    scene = "close your eyes and imagine my grandmothers kitchen in winter with the stove lit"
    text = WHOLE.replace(TASTE, f"{scene} {TASTE}").replace("{2}", "")
    found = by_label(text)
    assert {found[each].hearing for each in ("dried apricot", "smoke", "salt")} == {"heard"}


def test_a_claim_that_was_not_planned_is_listed():
    text = WHOLE.replace("{2} this is", "{1} you will also find walnut in the finish {2} this is")
    assert [each.label for each in heard(text).unplanned] == ["walnut"]


def test_what_the_script_says_is_never_news():
    assert heard(WHOLE).unplanned == ()


@pytest.mark.parametrize(("said", "news"), [("it is smoky to the end", 0), ("it has no smoke", 1)])
def test_a_planned_taste_in_other_words_is_no_news_but_that_it_lacks_is(said, news):
    text = WHOLE.replace("{2} this is", f"{{1}} {said} {{2}} this is")
    assert len(heard(text).unplanned) == news


def test_a_phrase_stands_between_the_nearest_words_found_before_and_behind_it():
    transcript = talk(WHOLE.replace("dried apricot", "tried april cot"))
    found = Talk(transcript, align(transcript, spoken_segments(ROUTINE)), "en")
    match = found.matches["taste", 0]
    start = match.text.index("dried")
    first, stop = found.window(match, start, start + len("dried apricot"))
    assert found.text(first, stop) == "tried april cot"


def test_improvised_sentences_are_listed():
    text = WHOLE.replace("{2} this is", "{1} somebody in the front row is smiling {2} this is")
    assert [each.text for each in heard(text).improvised] == [
        "somebody in the front row is smiling"
    ]


def test_text_without_times_is_heard_without_clips():
    apricot = by_label(WHOLE, timed=False)["dried apricot"]
    assert (apricot.hearing, apricot.start_s) == ("heard", None)


def test_no_script_at_all_hears_no_claim_and_says_why():
    bare = replace(ROUTINE, segments=tuple(replace(each, said="") for each in ROUTINE.segments))
    found = heard(WHOLE, routine=bare)
    assert found.count("not heard") == 0
    assert "no script" in found.note
