"""Paste the whole talk: seen and corrected as segments first, then added in one edit."""

from server.domain.routine.drink import Drink
from tests.factories import make_routine
from tests.web.html import Page
from tests.web.shelf import keep, kept

PASTE = "/routines/r1/script/paste"
SAVE = f"{PASTE}/save"
TALK = (
    "Good evening, judges. I am Runa.\r\n\r\nThis is plum. You will find cherry.\r\n\r\nThank you."
)


def proposed(client, **typed):
    return Page(client.post(PASTE, data=typed or {"text": TALK}))


def names(page):
    return [page.typed(f"name-{number}", SAVE) for number in range(len(page.all(".part-said")))]


def test_a_pasted_talk_is_shown_as_segments_before_anything_is_saved(client):
    keep(client, make_routine(segments=()))
    page = proposed(client)
    assert names(page) == ["Good evening, judges", "This is plum", "Thank you"]
    assert page.text("h1").startswith("3 segments, ")
    assert kept(client).segments == ()


def test_segments_are_joined_and_cut_by_touch(client):
    keep(client, make_routine(segments=()))
    held = proposed(client).sent_by(SAVE)
    cut = proposed(client, **held, do="split-1-1")
    assert names(cut)[1:3] == ["This is plum", "You will find cherry"]
    joined = proposed(client, **cut.sent_by(SAVE), do="merge-3")
    assert joined.typed("said-2", SAVE) == "You will find cherry.\nThank you."


def test_enter_in_a_name_cuts_nothing_and_keeps_what_was_typed(client):
    keep(client, make_routine(segments=()))
    page = proposed(client)
    # What a browser presses when Enter is struck in a field of the form.
    first = page.form(SAVE).cssselect("button")[0]
    held = {**page.sent_by(SAVE), "name-0": "Welcome", "lasts-1": "0:30"}
    shown = proposed(client, **held, **{first.get("name"): first.get("value")})
    assert names(shown) == ["Welcome", "This is plum", "Thank you"]
    assert shown.typed("lasts-1", SAVE) == "0:30"


def test_a_time_that_cannot_be_read_is_told_at_once_and_stays_as_it_was_typed(client):
    keep(client, make_routine(segments=()))
    held = proposed(client).sent_by(SAVE) | {"lasts-0": "a while", "name-2": "Close"}
    for do in ("split-1-1", "merge-1", "show"):
        answer = client.post(PASTE, data={**held, "do": do})
        shown = Page(answer)
        assert (answer.status_code, shown.typed("lasts-0", SAVE)) == (422, "a while")
        assert names(shown)[2] == "Close"
        assert "“a while” is no duration" in shown.fault("lasts-0", SAVE)


def test_what_was_corrected_is_added_behind_the_rest_in_one_edit(client):
    keep(client, make_routine(drinks=(Drink("d1", "Dusk"),)))
    held = proposed(client).sent_by(SAVE)
    typed = {**held, "name-0": "Welcome", "drink-1": "d1"}
    assert client.post(SAVE, data=typed).headers["location"] == "/routines/r1/script"
    added = kept(client).segments[3:]
    assert [each.name for each in added] == ["Welcome", "This is plum", "Thank you"]
    # The last starts with the drink of the one before.
    assert [each.drink_id for each in added] == [None, "d1", "d1"]
    client.post("/routines/r1/undo", data={"back": "script"})
    assert len(kept(client).segments) == 3


def test_a_segment_that_names_a_drink_is_about_it_until_another_is_named(client):
    keep(client, make_routine(segments=(), drinks=(Drink("d1", "Dusk"), Drink("d2", "Low Tide"))))
    text = "# Welcome\nGood evening.\n\n## Make Dusk 1m30\nIt is cold.\n\nNow low tide.\n\nClose:\n"
    page = proposed(client, text=f"{text}Good night.")
    assert names(page) == ["Welcome", "Make Dusk", "Now low tide", "Close"]
    assert [page.typed(f"drink-{n}", SAVE) for n in range(4)] == ["same", "d1", "d2", "same"]
    assert page.typed("lasts-1", SAVE) == "1:30"


def test_times_and_what_the_hands_do_come_along_and_can_be_corrected(client):
    keep(client, make_routine(segments=()))
    held = proposed(client, text="Brew 1:20\n(Pour the water)\n\nClose\nThank you.").sent_by(SAVE)
    assert (held["lasts-0"], held["hands-0"], held["lasts-1"]) == ("1:20", "Pour the water", "")
    client.post(SAVE, data={**held, "lasts-1": "12"})
    added = [(each.hands, each.duration.likely_s) for each in kept(client).segments]
    assert added == [("Pour the water", 80.0), ("", 12.0)]


def test_a_planned_time_that_cannot_be_read_is_told_beside_its_field(client):
    keep(client, make_routine(segments=()))
    held = proposed(client).sent_by(SAVE)
    page = Page(client.post(SAVE, data={**held, "lasts-1": "soon"}))
    assert page.status == 422
    assert page.fault("lasts-1", SAVE).startswith("“soon” is no duration.")
    assert page.typed("lasts-1", SAVE) == "soon"


def test_a_name_that_is_refused_loses_nothing_that_was_corrected(client):
    keep(client, make_routine(segments=()))
    held = proposed(client).sent_by(SAVE)
    page = Page(client.post(SAVE, data={**held, "name-1": " ", "name-0": "Hello"}))
    assert page.status == 422
    assert "Give it a name." in page.text(".fault")
    assert names(page) == ["Hello", "", "Thank you"]
    assert kept(client).segments == ()


def test_a_paste_without_words_is_refused_beside_its_field(client):
    keep(client)
    page = proposed(client, text=" ")
    assert (page.status, page.fault("text", PASTE)) == (422, "Paste the words of the talk.")


def test_more_segments_than_a_routine_holds_are_refused_with_the_text_kept(client):
    keep(client)
    text = "\n\n".join(f"This is number {n}." for n in range(300))
    page = proposed(client, text=text)
    assert "room for 197 more" in page.fault("text", PASTE)
    assert page.typed("text", PASTE) == text


def test_a_place_to_cut_that_is_not_there_is_refused_in_words(client):
    keep(client, make_routine(segments=()))
    held = proposed(client).sent_by(SAVE)
    for do in ("split-9-1", "split-0-x", "merge-0", "merge-"):
        page = proposed(client, **held, do=do)
        assert page.status == 422
        assert len(page.all(".part-said")) == 3
