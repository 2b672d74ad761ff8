"""Talks laid against their script: where segments begin, and what was said otherwise."""

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.heard import pairing
from server.domain.heard.aligning import align
from server.domain.heard.alignment import SpokenSegment
from server.domain.heard.words import TimedWord, Transcript
from tests.domain.heard.said import BUILD, CLOSE, OPEN, SCRIPT, TASTE, talk, when

WHOLE = f"{OPEN} {{7}} {BUILD} {{2}} {TASTE} {{2}} {CLOSE}"


def starts(alignment):
    return {each.segment_id: each.start_s for each in alignment.boundaries}


def certain(alignment, segment_id):
    return next(each.certain for each in alignment.boundaries if each.segment_id == segment_id)


def test_each_segment_begins_with_its_first_word():
    transcript = talk(WHOLE)
    at = starts(align(transcript, SCRIPT))
    assert at["build"] == when(transcript, "forty")
    assert at["taste"] == when(transcript, "you", 1)
    assert at["close"] == when(transcript, "this")


def test_every_segment_has_a_boundary_in_the_plans_order():
    found = align(talk(WHOLE), SCRIPT)
    assert [each.segment_id for each in found.boundaries] == [each.id for each in SCRIPT]
    assert {certain(found, each) for each in ("build", "taste", "close")} == {"sure"}


def test_a_segment_without_words_is_a_guess_between_its_neighbours():
    transcript = talk(WHOLE)
    found = align(transcript, SCRIPT)
    assert certain(found, "hands") == "guess"
    assert when(transcript, "harvest") < starts(found)["hands"] < starts(found)["build"]


def test_misheard_first_words_still_begin_the_segment():
    transcript = talk(WHOLE.replace("forty millilitres", "for tea milly litters"))
    assert starts(align(transcript, SCRIPT))["build"] == when(transcript, "for")


def test_improvised_words_before_a_segment_belong_to_the_one_before():
    more = "that was louder than anybody here expected"
    transcript = talk(WHOLE.replace("{2} you", f"{more} you"))
    found = align(transcript, SCRIPT)
    assert starts(found)["taste"] == when(transcript, "you", 1)
    assert [(each.text, each.segment_id) for each in found.improvised] == [(more, "build")]


def test_a_lone_matched_word_before_a_long_gap_belongs_after_it():
    transcript = talk(WHOLE.replace("{2} you will find", "you {9} will find"))
    assert starts(align(transcript, SCRIPT))["taste"] == when(transcript, "will")


def test_a_pause_inside_a_sentence_moves_no_start():
    transcript = talk(WHOLE.replace("plum brandy", "plum {10} brandy"))
    at = starts(align(transcript, SCRIPT))
    assert (at["build"], at["taste"]) == (when(transcript, "forty"), when(transcript, "you", 1))


def test_the_presenters_call_starts_the_clock_and_the_hosts_words_do_not():
    transcript = talk(f"please give a hand to our guest {{3}} my time starts now {{2}} {WHOLE}")
    found = align(transcript, SCRIPT)
    assert found.start_s == transcript.words[10].end_s
    assert (found.start_certain, starts(found)["open"]) == ("sure", found.start_s)


def test_the_last_call_ends_it_and_the_host_comes_after():
    transcript = talk(f"{WHOLE} {{1}} time {{2}} thank you what a show we take a break")
    found = align(transcript, SCRIPT)
    assert found.finish_s == next(w.end_s for w in transcript.words if w.text == "time")
    assert found.finish_certain == "sure"


def test_without_a_call_it_goes_from_the_first_word_to_the_last():
    transcript = talk(WHOLE)
    found = align(transcript, SCRIPT)
    assert (found.start_s, found.finish_s) == (1.0, transcript.end_s)
    assert (found.start_certain, found.finish_certain) == ("likely", "likely")


def test_sentences_that_were_left_out_are_named():
    found = align(talk(WHOLE.replace("i stir it slowly over clear ice", "")), SCRIPT)
    assert [each.text for each in found.left_out] == ["I stir it slowly over clear ice."]


def test_a_segment_of_which_nothing_was_said_is_named():
    found = align(talk(f"{OPEN} {{7}} {BUILD} {{1}} {CLOSE}"), SCRIPT)
    assert found.skipped_ids == ("taste",)
    assert certain(found, "taste") == "guess"


def test_segments_said_in_another_order_keep_their_own_times():
    transcript = talk(f"{OPEN} {{7}} {TASTE} {{2}} {BUILD} {{2}} {CLOSE}")
    found = align(transcript, SCRIPT)
    assert starts(found)["taste"] == when(transcript, "you", 1)
    assert starts(found)["build"] == when(transcript, "forty")
    assert {each.segment_id for each in found.swapped} in ({"taste"}, {"build"})


def test_sentences_swapped_within_a_segment_are_found():
    first, second = "you will find dried apricot and smoke", "it ends with a touch of salt"
    transcript = talk(WHOLE.replace(TASTE, f"{second} {first}"))
    found = align(transcript, SCRIPT)
    assert found.left_out == ()
    assert starts(found)["taste"] == when(transcript, "it", 1)


def test_a_sentence_said_twice_is_told_and_the_first_time_begins_it():
    once = "you will find dried apricot and smoke"
    transcript = talk(WHOLE.replace(once, f"{once} sorry {once}"))
    found = align(transcript, SCRIPT)
    assert [each.of.text for each in found.repeated] == ["You will find dried apricot and smoke."]
    assert starts(found)["taste"] == when(transcript, "you", 1)


def test_starts_snap_to_the_onset_of_speech_next_to_them():
    transcript = talk(WHOLE)
    at_s = when(transcript, "forty")
    assert starts(align(transcript, SCRIPT, (0.9, at_s - 0.2, at_s + 4)))["build"] == at_s - 0.2


def test_an_onset_far_away_moves_nothing():
    transcript = talk(WHOLE)
    at_s = when(transcript, "forty")
    assert starts(align(transcript, SCRIPT, (at_s - 3, at_s + 2)))["build"] == at_s


def test_half_a_run_leaves_the_rest_out_and_is_no_worse_a_transcript():
    found = align(talk(f"{OPEN} {{7}} {BUILD}"), SCRIPT)
    assert found.quality.verdict == "good"
    assert found.skipped_ids == ("taste", "close")
    assert found.notes == ("It breaks off in “Build”.",)
    assert all(each.start_s <= found.finish_s for each in found.boundaries)


def test_silence_gives_a_bad_transcript_and_no_error():
    found = align(Transcript((), timed=True, kind="recognised"), SCRIPT)
    assert (found.quality.verdict, found.quality.tells) == ("none", False)
    assert len(found.boundaries) == len(SCRIPT)


@pytest.mark.parametrize(
    "text",
    [
        "la la la la la la la la la la la la",
        "guten abend meine damen und herren heute erzähle ich ihnen von der ernte und dem regen",
        "the train to the city leaves from platform nine in a few minutes please mind the doors",
    ],
)
def test_another_talk_is_told_as_none_of_this_routine(text):
    found = align(talk(text), SCRIPT)
    assert found.quality.verdict == "none"
    assert {each.certain for each in found.boundaries[1:]} == {"guess"}


def test_no_script_at_all_gives_guesses():
    bare = tuple(SpokenSegment(each.id, each.name, "", each.planned_s) for each in SCRIPT)
    found = align(talk(WHOLE), bare)
    assert found.quality.verdict == "none"
    at = [each.start_s for each in found.boundaries]
    assert at == sorted(at)
    assert at[-1] < found.finish_s


def test_no_segments_at_all_give_no_boundaries():
    assert align(talk(WHOLE), ()).boundaries == ()


def test_a_script_changed_since_still_finds_what_is_the_same():
    changed = tuple(
        SpokenSegment(each.id, each.name, each.text.replace("plum brandy", "pear juice"), 10)
        for each in SCRIPT
    )
    transcript = talk(WHOLE)
    assert starts(align(transcript, changed))["build"] == when(transcript, "forty")


def test_of_two_routines_in_one_recording_only_one_is_the_run():
    transcript = talk(f"{WHOLE} {{30}} {WHOLE}")
    found = align(transcript, SCRIPT)
    assert found.finish_s - found.start_s < 40
    assert any("more than once" in note for note in found.notes)


def test_text_without_times_has_sentences_and_no_times():
    found = align(talk(WHOLE, timed=False), SCRIPT)
    assert found.left_out == ()
    assert found.finish_s == 0.0


def test_times_that_run_backwards_give_boundaries_within_the_run():
    words = talk(WHOLE).words
    mixed = Transcript(tuple(reversed(words)), timed=True, kind="captions")
    found = align(mixed, SCRIPT)
    assert all(found.start_s <= each.start_s <= found.finish_s for each in found.boundaries)


def test_three_hours_of_other_talk_around_a_run_are_laid_aside():
    other = "and then we walked along the river until it was dark and nobody said a word "
    long = tuple(
        TimedWord(word, n * 0.4, n * 0.4 + 0.3) for n, word in enumerate((other * 1700).split())
    )
    begin_s = long[-1].end_s + 10
    run = tuple(
        TimedWord(each.text, each.start_s + begin_s, each.end_s + begin_s)
        for each in talk(WHOLE).words
    )
    found = align(Transcript(long + run, timed=True, kind="recognised"), SCRIPT)
    assert found.start_s == run[0].start_s


def test_more_talk_than_can_be_laid_is_refused(monkeypatch):
    monkeypatch.setattr(pairing, "MOST_CELLS", 1000)
    with pytest.raises(InvalidInput):
        align(talk(WHOLE), SCRIPT)


def test_a_segment_of_which_nothing_was_understood_begins_with_the_words_said_there():
    misheard = "blue four mind epic lot an smog every lens"
    transcript = talk(f"{OPEN} {{7}} {BUILD} {{2}} {misheard} {{2}} {CLOSE}")
    found = align(transcript, SCRIPT)
    assert starts(found)["taste"] == when(transcript, "blue")
    assert certain(found, "taste") == "guess"
    assert "taste" in found.skipped_ids


def test_a_segment_left_out_in_silence_begins_with_no_word():
    transcript = talk(f"{OPEN} {{7}} {BUILD} {{2}} well then {{2}} {CLOSE}")
    found = align(transcript, SCRIPT)
    assert starts(found)["taste"] != when(transcript, "well")


def test_as_many_misheard_words_behind_a_long_pause_begin_the_segment():
    misheard = "who would mind right ever cold on soap"
    transcript = talk(WHOLE.replace("you will find dried apricot and smoke", misheard))
    found = align(transcript, SCRIPT)
    assert starts(found)["taste"] == when(transcript, "who")
    assert certain(found, "taste") != "sure"


def test_a_start_that_may_lie_seconds_earlier_is_a_guess():
    besides = "this towel is older than my car or my aunt {0.4}"
    transcript = talk(WHOLE.replace("{2} you will find dried apricot and smoke", besides))
    assert certain(align(transcript, SCRIPT), "taste") == "guess"


def test_a_lost_first_sentence_without_words_beside_it_is_likely():
    transcript = talk(WHOLE.replace("you will find dried apricot and smoke ", ""))
    assert certain(align(transcript, SCRIPT), "taste") == "likely"


def test_a_call_that_was_misheard_still_starts_the_clock_and_is_not_sure():
    transcript = talk(f"a hand for our guest {{3}} my lime starts how {{2}} {WHOLE}")
    found = align(transcript, SCRIPT)
    assert found.start_s == when_ends(transcript, "how")
    assert found.start_certain == "likely"


def when_ends(transcript, word):
    return next(each.end_s for each in transcript.words if each.text == word)


def test_a_few_words_right_before_or_behind_the_script_make_start_and_finish_a_guess():
    found = align(talk(f"so here we go {{2}} {WHOLE} {{1}} well that was it"), SCRIPT)
    assert (found.start_certain, found.finish_certain) == ("guess", "guess")


def test_a_host_who_talks_at_length_leaves_start_and_finish_likely():
    host = "please give a very warm and loud hand to our next guest"
    found = align(talk(f"{host} {{2}} {WHOLE} {{2}} {host}"), SCRIPT)
    assert (found.start_certain, found.finish_certain) == ("likely", "likely")


def test_without_its_first_or_last_words_start_and_finish_are_a_guess():
    without_first = talk(f"the sun goes up and down again here {WHOLE.replace(OPEN, '')}")
    assert align(without_first, SCRIPT).start_certain == "guess"
    last = CLOSE.split(" and ")[0]
    without_last = talk(f"{WHOLE.replace(CLOSE, '')} {{1}} we go home now to all our dogs at once")
    assert last not in without_last.text
    assert align(without_last, SCRIPT).finish_certain == "guess"


def test_last_words_that_were_misheard_still_end_the_run():
    misheard = WHOLE.replace("please enjoy it", "peas in joy eat")
    transcript = talk(f"{misheard} {{5}} what a lovely evening that was for all of us here")
    found = align(transcript, SCRIPT)
    assert found.finish_s == when_ends(transcript, "eat")


def test_a_part_of_a_run_says_which_end_is_missing():
    found = align(talk(f"{OPEN} {{7}} {BUILD}"), SCRIPT)
    assert (found.lacks_beginning, found.lacks_end) == (False, True)
    found = align(talk(f"{TASTE} {{2}} {CLOSE}"), SCRIPT)
    assert (found.lacks_beginning, found.lacks_end) == (True, False)


def test_who_called_time_was_at_the_end_whatever_was_left_out():
    assert not align(talk(f"{OPEN} {{7}} {BUILD} {{1}} time"), SCRIPT).lacks_end


def test_a_lone_word_before_a_long_pause_begins_no_segment_said_out_of_turn():
    transcript = talk(
        f"{OPEN} {{7}} {TASTE} {{2}} {BUILD} {{2}} {CLOSE}".replace("{7} you", "you {7}")
    )
    assert starts(align(transcript, SCRIPT))["taste"] == when(transcript, "will")


def test_of_two_sentences_alike_the_one_that_comes_next_was_begun_again():
    alike = "please take a sip with me now"
    script = (
        SpokenSegment("one", "One", f"{OPEN.capitalize()}. {alike.capitalize()}. It is plum.", 12),
        SpokenSegment("two", "Two", f"{alike.capitalize()}. It is pear and honey.", 12),
    )
    begun = f"please take a sip with me sorry once more {alike}"
    transcript = talk(f"{OPEN} {alike} it is plum {{2}} {begun} it is pear and honey")
    assert starts(align(transcript, script))["two"] == when(transcript, "please", 1)


def test_a_word_that_ends_one_segment_does_not_begin_the_next_behind_a_pause():
    script = (
        SpokenSegment("one", "One", f"{OPEN.capitalize()}. Take a sip with me now.", 12),
        SpokenSegment("two", "Two", "Now we turn the cloth.", 6),
    )
    transcript = talk(f"{OPEN} take a sip which me now {{3}} we turn the cloth")
    assert starts(align(transcript, script))["two"] == when(transcript, "we")
