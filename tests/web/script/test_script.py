"""The script page: one editor over the whole routine, checked as it is written."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.text import LONG_TEXT
from server.domain.routine.drink import Drink, Ingredient
from server.store.routines import load_routine
from server.web.script.pages import STATE_ELEMENT
from tests.factories import make_events, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

SCRIPT = "/routines/r1/script"
BESIDE = {"HX-Request": "true", "HX-Target": "div#script-state"}
RUM = Ingredient("rum", "Plum rum, 40 % vol", Amount(45, "ml"), ("plum",))
DUSK = Drink("d1", "Dusk", ingredients=(RUM,), descriptors=("plum", "almond"))
SAID = "Forty millilitres of plum rum. You will find plum and smoke."


@pytest.fixture
def path(client):
    segments = (
        make_segment("s1", said="Good evening."),
        make_segment("s2", said=SAID, drink_id="d1", name="Pour"),
        make_segment("s3", lane="hands"),
    )
    return keep(client, make_routine(segments=segments, drinks=(DUSK,)))


def said(client):
    return [segment.said for segment in kept(client).segments]


def form_of(page):
    """The script's form as a browser would send it."""
    return {
        each.get("name"): page.typed(each.get("name"), SCRIPT)
        for each in page.form(SCRIPT).cssselect("[name]")
    }


def marks(page, segment="s2"):
    found = page.all(f"#reading-{segment} .claim-mark")
    return [(each.get("class").split()[1], each.text) for each in found]


def beside(answer):
    """The fragments that are put beside the text areas, by id."""
    page = Page(answer)
    return page, {each.get("id") for each in page.all("[hx-swap-oob]")}


def test_each_text_stands_in_its_own_area(client, path):
    page = Page(client.get(SCRIPT))
    assert page.typed("said-s1", SCRIPT) == "Good evening."
    assert page.typed("said-s2", SCRIPT) == SAID
    assert page.typed("said-s3", SCRIPT) == ""


def test_claims_are_marked_in_the_text_and_told_in_the_margin(client, path):
    page = Page(client.get(SCRIPT))
    assert marks(page) == [
        ("wrong", "Forty millilitres"),
        ("holds", "plum"),
        ("needs", "smoke"),
    ]
    assert page.text("#reading-s2 .stub-wrong").endswith("wrong")
    assert page.text("#reading-s2 .stub-needs small") == "nothing gives it"


def test_a_mark_opens_its_claim_beside_the_text_and_that_leads_back_to_the_sentence(client, path):
    mark = Page(client.get(SCRIPT)).one("#reading-s2 .claim-mark.wrong")
    page = Page(client.get(mark.get("href")))
    assert "You say 40 ml" in page.text(".panel")
    assert page.one("[data-shown]").get("id") == "segment-s2"
    place, _, sentence = page.one(".panel .places a").get("href").partition("#")
    found = Page(client.get(place)).text(f"#{sentence} .words")
    assert found.startswith("Forty millilitres")


def test_every_sentence_says_what_it_costs(client, path):
    page = Page(client.get(SCRIPT))
    costs = [float(each) for each in page.texts("#reading-s2 .cost")]
    # 145 words a minute with pauses (Tauroza & Allison 1990): 11 words are 4.5 s or so.
    assert len(costs) == 2
    assert sum(costs) == pytest.approx(11 / 145 * 60, abs=0.8)


def test_spoken_time_stands_beside_the_planned_one(client, path):
    page = Page(client.get(SCRIPT))
    assert "of 1:00" in page.text("#time-s2")
    assert "to say, 2:00 planned for words: " in page.text("h1")
    assert page.text("h1").endswith("to spare")
    assert "No run has measured your pace" in page.text(".script-side")


def test_beside_what_is_planned_for_words_stands_what_the_whole_plan_takes(client, path):
    planned = Page(client.get("/routines/r1/plan")).text("[data-figure='planned:r1']")
    told = f"The whole plan takes {planned}: 1 segment of it has no words. "
    assert Page(client.get(SCRIPT)).text(".script-top .about").startswith(told)
    spoken = (make_segment("s1", said="Good evening."),)
    other = keep(client, make_routine(routine_id="r2", segments=spoken))
    assert "whole plan" not in Page(client.get(f"{other}/script")).text(".script-top .about")


def test_a_plan_that_is_longer_than_the_slot_is_told_beside_what_is_to_spare(client):
    segments = (make_segment("s1", 645, lane="voice", said="Welcome to the lamp by the river."),)
    path = keep(client, make_routine(segments=segments))
    page = Page(client.get(f"{path}/script"))
    assert page.text("h1").endswith("to spare")
    assert page.text(".script-top .about").startswith("The plan is 0:45 longer than the slot. ")


def test_pace_is_learnt_from_runs_and_says_how_much_is_assumed(client):
    words = "We begin by the river with a lamp and a jug of warm coffee. " * 3
    segments = (make_segment("s1", said=words.strip(), lane="voice"), make_segment("s2"))
    routine = make_routine(segments=segments)
    keep(client, routine)
    for number in range(4):
        events = make_events({"s1": 30, "s2": 60}, total_s=60, prefix=f"e{number}-")
        keep_run(client, routine, events)
    page = Page(client.get(SCRIPT))
    hint = page.text(".script-side details p.hint")
    assert "Learnt from 1 segment in up to 4 runs" in hint
    # 42 words in 30 s are slower than the pace of all: the line says that both are reckoned with.
    assert "and in 1 segment as your runs measured it. " in page.text(".script-top .about")
    assert 0 < int(hint.split("; ")[1].split(" %")[0]) < 100
    assert float(hint.split("At ")[1].split()[0]) < 125


def test_the_texts_are_saved_in_one_edit_that_can_be_taken_back(client, path):
    typed = form_of(Page(client.get(SCRIPT)))
    answer = client.post(SCRIPT, data={**typed, "said-s1": "Good night.", "said-s3": "Mm."})
    assert (answer.status_code, answer.headers["location"]) == (303, SCRIPT)
    assert said(client) == ["Good night.", SAID, "Mm."]
    client.post("/routines/r1/undo", data={"back": "script"})
    assert said(client) == ["Good evening.", SAID, ""]


def test_undo_leads_back_to_the_script(client, path):
    client.post(SCRIPT, data={"said-s1": "Hello."})
    answer = client.post("/routines/r1/undo", data={"back": "script"})
    assert answer.headers["location"] == SCRIPT


def test_saving_what_is_saved_leaves_no_trace(client, path):
    client.post(SCRIPT, data=form_of(Page(client.get(SCRIPT))))
    with client.app.state.database.reading() as session:
        assert load_routine(session, "r1").undo_label is None


def test_a_text_is_kept_as_it_was_typed(client, path):
    text = "  One line,\r\nanother.\r\n\r\n\u05e9\u05dc\u05d5\u05dd ☕ <b>bold</b> &amp; "
    client.post(SCRIPT, data={"said-s1": text})
    assert said(client)[0] == text.replace("\r\n", "\n")
    assert Page(client.get(SCRIPT)).typed("said-s1", SCRIPT) == text.replace("\r\n", "\n")


def test_a_text_that_is_too_long_is_refused_and_stays_in_the_editor(client, path):
    long = "plum " * (LONG_TEXT // 5 + 1)
    answer = client.post(SCRIPT, data={"said-s1": "Hello.", "said-s2": long})
    page = Page(answer)
    assert page.status == 422
    assert page.typed("said-s2", SCRIPT) == long
    assert page.typed("said-s1", SCRIPT) == "Hello."
    assert "Keep it to 20,000 characters" in page.text("#faults-s2")
    assert said(client)[0] == "Good evening."


def test_a_check_saves_nothing_and_never_touches_the_text_areas(client, path):
    typed = form_of(Page(client.get(SCRIPT)))
    answer = client.post(
        f"{SCRIPT}/check", data={**typed, "said-s1": "You will find smoke."}, headers=BESIDE
    )
    page, _ = beside(answer)
    assert page.all("textarea") == []
    assert marks(page, "s1") == [("needs", "smoke")]
    assert said(client)[0] == "Good evening."


def test_a_check_sends_only_what_looks_different_now(client, path):
    typed = form_of(Page(client.get(SCRIPT)))
    _, parts = beside(client.post(f"{SCRIPT}/check", data=typed, headers=BESIDE))
    assert not {part for part in parts if part.startswith("reading-")}
    changed = {**typed, "said-s2": "You will find plum."}
    _, parts = beside(client.post(f"{SCRIPT}/check", data=changed, headers=BESIDE))
    assert {part for part in parts if part.startswith("reading-")} == {"reading-s2"}


def test_a_check_of_a_text_that_is_too_long_says_so_beside_it(client, path):
    answer = client.post(f"{SCRIPT}/check", data={"said-s2": "x" * (LONG_TEXT + 1)}, headers=BESIDE)
    assert answer.status_code == 422
    assert "Keep it to" in Page(answer).text("#faults-s2")


def test_a_save_from_the_editor_is_answered_beside_the_texts(client, path):
    typed = form_of(Page(client.get(SCRIPT)))
    answer = client.post(SCRIPT, data={**typed, "said-s1": "Hello."}, headers=BESIDE)
    page, parts = beside(answer)
    assert {"seen-s1", "last-changes", "script-top"} <= parts
    assert "seen-s2" not in parts
    assert page.all(".fault") == []


def test_a_text_changed_elsewhere_meanwhile_is_neither_lost_nor_overwritten(client, path):
    before = form_of(Page(client.get(SCRIPT)))
    client.post(SCRIPT, data={**before, "said-s1": "From the tablet."})
    late = {**before, "said-s1": "From the laptop."}
    page = Page(client.post(SCRIPT, data=late))
    assert page.status == 422
    assert "“From the tablet.”" in page.text("#faults-s1")
    assert page.typed("said-s1", SCRIPT) == "From the laptop."
    client.post(SCRIPT, data=form_of(page))
    assert said(client)[0] == "From the laptop."


def test_a_page_left_open_elsewhere_takes_back_nothing_it_did_not_touch(client, path):
    before = form_of(Page(client.get(SCRIPT)))
    client.post(SCRIPT, data={**before, "said-s1": "From the tablet."})
    client.post(SCRIPT, data={**before, "said-s3": "Mm."})
    assert said(client) == ["From the tablet.", SAID, "Mm."]


def test_words_for_a_segment_that_was_deleted_elsewhere_are_given_back(client, path):
    before = form_of(Page(client.get(SCRIPT)))
    client.post("/routines/r1/segments/s3/delete")
    page = Page(client.post(SCRIPT, data={**before, "said-s3": "Where shall I go?"}))
    assert page.status == 422
    assert "“Where shall I go?”" in page.text("#script-state")


# The rail, the drinks, and what opens beside


def test_one_segment_is_in_view_and_the_rail_names_them_all(client, path):
    page = Page(client.get(f"{SCRIPT}?at=s2"))
    assert [each.get("id") for each in page.all("[data-shown]")] == ["segment-s2"]
    assert page.one(".rail [aria-current]").get("data-at") == "s2"
    assert len(page.all(".rail li")) == 3
    assert len(page.all("textarea")) == 3


def test_the_rail_shows_only_what_is_wrong(client, path):
    client.post(SCRIPT, data={"said-s1": "Good evening to you all. " * 60})
    page = Page(client.get(SCRIPT))
    assert "over" in page.text("#rail-s1 .rail-sign")
    assert page.texts("#rail-s2 .rail-sign") == ["×"]
    assert page.all("#rail-s3 .rail-sign") == []


def test_the_drink_of_a_segment_is_chosen_beside_its_words(client, path):
    typed = form_of(Page(client.get(SCRIPT)))
    client.post(SCRIPT, data={**typed, "drink-s1": "d1", "said-s1": "Hello."})
    assert (kept(client).segments[0].drink_id, said(client)[0]) == ("d1", "Hello.")
    client.post("/routines/r1/undo", data={"back": "script"})
    assert (kept(client).segments[0].drink_id, said(client)[0]) == (None, "Good evening.")


def test_a_drink_chosen_elsewhere_meanwhile_is_not_overwritten(client, path):
    before = form_of(Page(client.get(SCRIPT)))
    client.post(SCRIPT, data={**before, "drink-s2": ""})
    client.post(SCRIPT, data={**before, "said-s3": "Mm."})
    assert kept(client).segments[1].drink_id is None
    both = Page(client.post(SCRIPT, data={**before, "drink-s1": "gone"}))
    assert (both.status, "gone" in both.text("#faults-s1")) == (422, True)


def test_a_sentence_says_what_becomes_of_its_claims_without_it(client, path):
    client.post(SCRIPT, data={"said-s3": "Once more: you will find plum."})
    cost = Page(client.get(SCRIPT)).all("#reading-s2 .cost")[1]
    page = Page(client.get(cost.get("href")))
    assert "“smoke” is then never said." in page.texts(".losses li")
    assert page.one(".without").get("hx-get").endswith("/plan/without?sentence=s2%3A1")


def test_what_a_sentence_costs_in_chances_is_told(client, path):
    answer = client.get("/routines/r1/plan/without", params={"sentence": "s2:1"})
    assert "in 100 finish within 10:00" in Page(answer).root.text_content()
    assert client.get("/routines/r1/plan/without?sentence=s2:x").status_code == 404


def test_a_claim_settled_from_the_script_leads_back_to_it(client, path):
    mark = Page(client.get(SCRIPT)).one("#reading-s2 .claim-mark.wrong")
    way = Page(client.get(mark.get("href"))).all(".panel .claim-ways form")[0]
    typed = {each.get("name"): each.get("value") for each in way.cssselect("input")}
    answer = client.post(way.get("action"), data=typed)
    assert (answer.status_code, answer.headers["location"]) == (303, SCRIPT)
    assert said(client)[1].startswith("45 ml of plum rum")


def test_a_correction_refused_in_the_script_stays_open_beside_it(client, path):
    mark = Page(client.get(SCRIPT)).one("#reading-s2 .claim-mark.needs")
    claim = mark.get("href").split("open=")[1]
    page = Page(client.post(f"/routines/r1/claims/rows/{claim}", data={"back": "script"}))
    assert page.status == 422
    assert "Choose what it is." in page.text(".panel .misread[open]")


# Input that nobody plans for


def test_a_routine_without_segments_says_what_to_do(client):
    keep(client, make_routine(segments=()))
    page = Page(client.get(SCRIPT))
    assert page.text("h1") == "Nothing can be said yet"
    assert page.all(".empty a.button")[0].get("href") == f"{SCRIPT}/paste"
    assert page.all("textarea") == []


def test_an_empty_script_has_no_words_and_no_claims(client):
    keep(client)
    page = Page(client.get(SCRIPT))
    assert page.texts(".script-side dd")[0] == "0"
    assert page.text("h1") == "Nothing is written yet"
    assert page.all(".claim-mark, .rail-sign") == []


def test_twenty_thousand_words_are_checked_and_shown(client):
    sentence = "You will find plum and a little smoke in this cup today. "
    segments = tuple(
        make_segment(f"s{n}", said=(sentence * 300)[:19_000], drink_id="d1") for n in range(6)
    )
    keep(client, make_routine(segments=segments, drinks=(DUSK,)))
    page = Page(client.get(SCRIPT))
    assert int(page.texts(".script-side dd")[0]) >= 20_000
    assert len(page.all(".sentences li")) > 1500


@pytest.mark.parametrize(
    "text",
    [
        "\u05d4\u05d9\u05d9\u05d9\u05e9\u05d9\u05e3 40 ml plum",
        "\u0642\u0647\u0648\u0629 40 ml",
        "☕🍑 40 ml of plum 🍊",
        '<p style="x">40 ml of <b>plum</b></p><script>alert(1)</script>',
        "\u200b\u200f\ufeff",
        "the of and",
    ],
)
def test_any_script_and_sign_is_taken_and_shown_as_text(client, path, text):
    client.post(SCRIPT, data={"said-s2": text})
    page = Page(client.get(SCRIPT))
    assert page.typed("said-s2", SCRIPT) == text
    assert page.all("#reading-s2 b[style], #reading-s2 script, #reading-s2 p[style]") == []
    assert page.one("#said-s2").get("dir") == "auto"


def test_a_language_without_word_lists_says_what_is_still_found(client):
    keep(client, make_routine(language="other", drinks=(DUSK,)))
    assert "only digits" in Page(client.get(SCRIPT)).text(".script-side .notice")


def test_the_slot_takes_the_colour_of_a_drink_that_was_chosen_at_once(client, path):
    typed = form_of(Page(client.get(SCRIPT)))
    headers = {"HX-Target": STATE_ELEMENT}
    before = Page(client.post(SCRIPT, data=typed, headers=headers))
    after = Page(client.post(SCRIPT, data={**typed, "drink-s1": "d1"}, headers=headers))
    first = ["stretch no-drink", "stretch drink-1"]
    assert [page.all("#slot-strip .stretch")[0].get("class") for page in (before, after)] == first
