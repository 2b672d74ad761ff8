"""The script page: one editor over the whole routine, checked as it is written."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.text import LONG_TEXT
from server.domain.routine.drink import Drink, Ingredient
from server.store.routines import load_routine
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
    return [(each.get("class").split()[1], each.cssselect("bdi")[0].text) for each in found]


def beside(answer):
    """The fragments that are put beside the text areas, by id."""
    page = Page(answer)
    return page, {each.get("id") for each in page.all("[hx-swap-oob]")}


def test_each_text_stands_in_its_own_area(client, path):
    page = Page(client.get(SCRIPT))
    assert page.typed("said-s1", SCRIPT) == "Good evening."
    assert page.typed("said-s2", SCRIPT) == SAID
    assert page.typed("said-s3", SCRIPT) == ""


def test_claims_are_marked_in_the_text_by_word_and_pattern(client, path):
    page = Page(client.get(SCRIPT))
    assert marks(page) == [
        ("contradicted", "Forty millilitres"),
        ("backed", "plum"),
        ("unbacked", "smoke"),
    ]
    assert "contradicted" in page.text("#reading-s2 .contradicted .mark-word")


def test_a_mark_leads_to_its_row_and_the_row_back_to_the_sentence(client, path):
    mark = Page(client.get(SCRIPT)).one("#reading-s2 .contradicted")
    address, _, row = mark.get("href").partition("#")
    ledger = Page(client.get(address))
    way_back = ledger.one(f"#{row} .places a").get("href")
    place, _, sentence = way_back.partition("#")
    assert Page(client.get(place)).text(f"#{sentence}").startswith("Forty millilitres")


def test_every_sentence_says_what_it_costs(client, path):
    page = Page(client.get(SCRIPT))
    costs = [float(each.removesuffix(" s")) for each in page.texts("#reading-s2 .cost")]
    # 145 words a minute with pauses (Tauroza & Allison 1990): 11 words are 4.5 s or so.
    assert len(costs) == 2
    assert sum(costs) == pytest.approx(11 / 145 * 60, abs=0.8)


def test_spoken_time_stands_beside_the_planned_one(client, path):
    page = Page(client.get(SCRIPT))
    assert "1:00 planned" in page.text("#reading-s2 .reading-sum")
    assert page.text("#script-sum dl div:nth-child(3) dd") == "2:00"
    assert "No run has measured your pace" in page.text("#script-sum")


def test_pace_is_learnt_from_runs_and_says_how_much_is_assumed(client):
    words = "We begin by the river with a lamp and a jug of warm coffee. " * 3
    segments = (make_segment("s1", said=words.strip(), lane="voice"), make_segment("s2"))
    routine = make_routine(segments=segments)
    keep(client, routine)
    for number in range(4):
        events = make_events({"s1": 30, "s2": 60}, total_s=60, prefix=f"e{number}-")
        keep_run(client, routine, events)
    page = Page(client.get(SCRIPT))
    hint = page.text("#script-sum p.hint")
    assert "Learnt from 1 segment in up to 4 runs" in hint
    assert 0 < int(hint.split("; ")[1].split(" %")[0]) < 100
    assert float(hint.split("with ")[1].split()[0]) < 125


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
    assert marks(page, "s1") == [("unbacked", "smoke")]
    assert said(client)[0] == "Good evening."
    assert "Not saved yet" in page.root.text_content()


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
    assert {"seen-s1", "last-changes", "script-sum"} <= parts
    assert "seen-s2" not in parts
    assert "All is saved." in page.root.text_content()


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


# Input that nobody plans for


def test_a_routine_without_segments_says_what_to_do(client):
    keep(client, make_routine(segments=()))
    page = Page(client.get(SCRIPT))
    assert "no segments" in page.text(".empty")
    assert page.all("textarea") == []


def test_an_empty_script_has_no_words_and_no_claims(client):
    keep(client)
    page = Page(client.get(SCRIPT))
    assert page.texts("#script-sum dd")[0] == "0"
    assert "none found yet" in page.text(".tally")


def test_twenty_thousand_words_are_checked_and_shown(client):
    sentence = "You will find plum and a little smoke in this cup today. "
    segments = tuple(
        make_segment(f"s{n}", said=(sentence * 300)[:19_000], drink_id="d1") for n in range(6)
    )
    keep(client, make_routine(segments=segments, drinks=(DUSK,)))
    page = Page(client.get(SCRIPT))
    assert int(page.texts("#script-sum dd")[0]) >= 20_000
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
    assert "only digits" in Page(client.get(SCRIPT)).text("#script-sum .notice")
