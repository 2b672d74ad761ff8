"""The pages of learning: what to say today, the script as it is said, marks as they come in."""

from datetime import UTC, datetime, timedelta

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.durations import DAY_MS
from server.domain.learn.memory import Learner
from server.domain.learn.own_memory import OwnMemory
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Journey, Preparation
from server.store.learning import marks_of
from server.store.lost.deleted import KEPT_MS
from server.store.lost.forgetting import forget_old
from server.store.runs import list_runs
from server.store.uploads.media import MediaFolder
from server.web.learn.view import memory_words
from tests.factories import NOW_MS, make_event, make_events, make_routine, make_segment
from tests.spoken import captions, spoken_routine
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

HERE = "/routines/r1/learn"
LAMP, PLUM = "The lamp on the landing is lit.", "You will find plum in it."
ROUTINE = make_routine(
    segments=(
        make_segment("s1", said=LAMP),
        "s2",
        make_segment("s3", said=f"{PLUM} Please sip!", drink_id="d1"),
    ),
    drinks=(
        Drink(
            "d1", "Dusk", 1,
            (Ingredient("i1", "Plum rum", Amount(30, "ml"), descriptors=("plum",)),),
            descriptors=("plum",),
        ),
    ),
)  # fmt: skip


@pytest.fixture
def desk(client):
    keep(client, ROUTINE)
    return client


def mark(mark_id, text=LAMP, how="sat", *, days=0, step=5):
    at = NOW_MS + days * DAY_MS
    return {"id": mark_id, "text": text, "how": how, "step": step, "said_ms": at}


def send(client, *marks, undone=(), status=200):
    answer = client.post(f"/api{HERE}/marks", json={"marks": marks, "undone": undone})
    assert answer.status_code == status
    return answer


def stored(client):
    with client.app.state.database.reading() as session:
        return [(each.id, each.how) for each in marks_of(session, "r1")]


def look(client, path=""):
    return Page(client.get(f"{HERE}{path}"))


def on_today(client):
    lines = Page(client.get("/routines/r1")).texts(".line-main b")
    return [line for line in lines if "to say today" in line]


def test_the_page_says_how_many_sentences_to_say_today_and_for_how_long(desk):
    page = look(desk)
    assert page.text("h1") == "3 sentences to say today, 1 minute"
    assert page.text(".parts [aria-current=page]") == "Learn"
    assert page.texts(".learn-segments a") == ["1 Segment s1 1 today 0 of 1 known",
                                               "3 Segment s3 2 today 0 of 2 known"]  # fmt: skip


def test_a_routine_without_words_leads_to_the_script(client):
    keep(client)
    page = look(client)
    assert page.text("h1") == "Nothing to learn yet"
    for path in ("", "/say", "/cards"):
        assert look(client, path).all(".empty a")[0].get("href") == "/routines/r1/script"
    assert look(client, "/say").text("h1") == "Nothing to say now"
    assert look(client, "/cards").text("h1") == "No cue cards yet"


def test_a_sentence_that_sat_is_not_asked_for_on_that_day_again(desk):
    send(desk, mark("m1"))
    page = look(desk)
    assert page.text("h1") == "2 sentences to say today, 1 minute"
    assert page.texts(".learn-state") == ["known", "0 of 2 known"]


def test_each_segment_has_a_slot_for_each_sentence_filled_once_it_is_known(desk):
    send(desk, mark("m1"))
    drawn = [
        [rect.get("class") for rect in svg.cssselect("rect")]
        for svg in look(desk).all(".learn-slots")
    ]
    assert drawn == [["learn-sits"], ["learn-bed", "learn-bed"]]


def test_a_mark_that_arrives_twice_counts_once_and_one_taken_back_not_at_all(desk):
    send(desk, mark("m1"), mark("m2", how="gone"))
    send(desk, mark("m1", how="gone"))
    assert stored(desk) == [("m1", "sat"), ("m2", "gone")]
    send(desk, mark("m2", how="gone"), undone=["m2", "never-came"])
    send(desk, mark("m2", how="gone"))
    assert stored(desk) == [("m1", "sat")]


@pytest.mark.parametrize(
    "bad",
    [
        {"how": "easy"},
        {"step": 9},
        {"text": " "},
        {"text": "x" * 1300},
        {"id": "a b"},
        {"said_ms": -1},
    ],
)
def test_a_mark_that_makes_no_sense_is_refused_with_the_reason(desk, bad):
    assert send(desk, mark("m1") | bad, status=422).json()
    assert stored(desk) == []


def test_marks_of_no_routine_are_refused(desk):
    answer = desk.post("/api/routines/gone/learn/marks", json={"marks": [mark("m1")]})
    assert answer.status_code == 404


def test_the_days_sayings_stand_in_the_script_with_what_leads_to_them(desk):
    send(desk, mark("m1"), mark("m2", PLUM))
    page = look(desk, "/say")
    assert page.texts(".learn-line[data-leads] .learn-words") == [PLUM]
    assert page.texts(".learn-line[data-start] .learn-words") == ["Please sip!"]


def test_a_segment_is_learnt_from_the_step_that_was_chosen(desk):
    page = look(desk, "/say?segment=s3&step=3")
    assert [each.get("data-start") for each in page.all(".learn-line")] == ["3", "3"]
    assert page.text(".learn-steps [aria-current]") == "First letters"
    assert desk.get(f"{HERE}/say?segment=none").status_code == 404
    assert desk.get(f"{HERE}/say?segment=s3&step=99").status_code == 200


@pytest.mark.parametrize(("how", "start"), [("gone", "3"), ("stumbled", "4"), ("sat", "5")])
def test_the_better_it_sat_the_less_is_shown_the_next_time(desk, how, start):
    send(desk, mark("m1", how=how, days=-10))
    assert look(desk, "/say").all(".learn-line")[0].get("data-start") == start


def test_an_edited_sentence_comes_back_and_shows_which_words_are_new(desk):
    send(desk, mark("m1"))
    desk.post("/routines/r1/script", data={"said-s1": "The lamp on the landing is out."})
    page = look(desk, "/say")
    assert page.texts(".learn-changed") == ["out"]
    assert page.text(".learn-why") == "changed since you learnt it"


def test_what_was_left_out_on_stage_comes_back_with_how_often_it_was_heard(desk):
    send(desk, mark("m1"), mark("m2", PLUM), mark("m3", "Please sip!"))
    verdict = {"claim": "d1:descriptor:plum", "verdict": "missed"}
    began = NOW_MS + 60_000
    ticked = make_event(
        "c1", "claim", seq=9, at_s=50, started_ms=began, who="Ada", at_ms=50_000.0, **verdict
    )
    log = (*make_events({"s1": 61}, total_s=180, started_ms=began), ticked)
    keep_run(desk, ROUTINE, log)
    page = look(desk, "/say?show=missed")
    assert page.text("h1") == "1 sentence left out on stage"
    assert page.text(".learn-why") == "plum: heard in 0 of 1 runs"
    assert on_today(desk) == ["1 sentence to say today, 1 minute."]


def test_minutes_and_day_are_kept_and_the_plan_told(desk):
    day = datetime.fromtimestamp(NOW_MS / 1000, UTC).date() + timedelta(days=10)
    answer = desk.post(f"{HERE}/aim", data={"minutes": "12", "day": day.isoformat()})
    assert answer.status_code == 303
    page = look(desk)
    assert page.text("#edit-aim").startswith("12 minutes a day, for ")
    assert "99 in 100 sentences are known" in page.text(".headline .about")
    assert len(page.all(".learn-days tbody tr")) == 10


@pytest.mark.parametrize(
    ("field", "text"), [("minutes", "0"), ("minutes", "x"), ("day", "2020-01-01"), ("day", "soon")]
)
def test_an_aim_that_cannot_be_is_refused_beside_its_field(desk, field, text):
    answer = desk.post(f"{HERE}/aim", data={"minutes": "12", "day": ""} | {field: text})
    assert answer.status_code == 422
    assert Page(answer).typed(field, f"{HERE}/aim") == text
    assert Page(answer).fault(field, f"{HERE}/aim")


def test_the_time_on_stage_is_the_day_and_when_it_is_past_that_is_said(client):
    keep(client, make_routine(segments=ROUTINE.segments[:1], preparation=Preparation(
        journey=Journey(stage_ms=NOW_MS - 3 * DAY_MS))))  # fmt: skip
    assert "is past" in look(client).text(".headline .about")
    assert look(client).text("h1") == "1 sentence to say today, 1 minute"


def test_today_speaks_of_it_once_a_day_is_set_or_learning_has_begun(desk):
    assert on_today(desk) == []
    send(desk, mark("m1"))
    assert on_today(desk) == ["2 sentences to say today, 1 minute."]


def test_a_script_of_five_thousand_words_is_said_in_parts(client):
    segments = [
        make_segment(f"s{at}", said=" ".join(f"Line {at} {n} of a long talk." for n in range(360)))
        for at in (1, 2)
    ]
    keep(client, make_routine(segments=tuple(segments)))
    page = look(client, "/say?segment=s1")
    assert 0 < len(page.all(".learn-line")) < 200
    assert "after these" in page.text(".learn-keys")
    assert client.get(HERE).status_code == 200


def test_an_export_carries_what_was_learnt_and_comes_back_with_it(desk):
    send(desk, mark("m1"), mark("m2", PLUM, "gone"))
    desk.post(f"{HERE}/aim", data={"minutes": "12", "day": ""})
    file = desk.get("/routines/r1/export.json")
    assert len(file.json()["learnt"]) == 2
    with desk.app.state.database.reading() as session:
        before = marks_of(session, "r1")
    answer = desk.post("/import", files={"file": ("r.json", file.content)})
    new_id = answer.headers["location"].split("/")[2].partition("?")[0]
    with desk.app.state.database.reading() as session:
        assert [each.text for each in marks_of(session, new_id)] == [each.text for each in before]


def test_what_was_learnt_goes_for_good_with_its_routine(desk, tmp_path):
    send(desk, mark("m1"))
    desk.post("/routines/r1/delete")
    folder = MediaFolder(tmp_path / "none")
    forget_old(desk.app.state.database, folder, folder, NOW_MS + KEPT_MS + 1)
    assert stored(desk) == []


def test_cue_cards_name_the_first_words_and_the_claims(desk):
    page = look(desk, "/cards")
    assert page.texts(".cue-card li") == [
        "The lamp on the …",
        "You will find plum …",
        "Please sip!",
    ]
    assert page.texts(".cue-claims") == ["plum"]


# What a recording tells


PEARS = "First I pour the honey over the warm pears and stir until the pan is quiet."


@pytest.fixture
def kitchen(client):
    """An app with the spoken routine, and its second segment's first sentence not said."""
    keep(client, spoken_routine())
    return client


def accept(client, text):
    """Make a take of these captions a run; the address of the take."""
    sent = client.post("/takes/of/r1", files={"captions": ("take.vtt", text)})
    take = sent.headers["location"]
    answer = client.post(f"{take}/run", data={"when": "2026-09-01T10:00"})
    assert answer.status_code == 303
    return take


def told_of(client):
    """How sentences went as recordings tell it: text and how."""
    with client.app.state.database.reading() as session:
        return [(each.text, each.how) for each in marks_of(session, "r1") if each.run_id]


def test_a_sentence_left_out_of_an_accepted_take_comes_back_at_once(kitchen):
    take = accept(kitchen, captions(without=["First I pour"]))
    assert told_of(kitchen) == [(PEARS, "gone")]
    assert "1 sentence left out" in Page(kitchen.get(take)).text(".notice")
    page = look(kitchen)
    assert "left out on 1 Sep" in page.text(".learn-stumbles")
    say = look(kitchen, "/say?show=missed")
    assert say.text("h1") == "1 sentence left out on stage"
    assert "left out on 1 Sep" in say.text(".learn-say")


def test_a_sentence_said_in_other_words_was_stumbled_on(kitchen):
    other = PEARS.replace("over the warm pears and stir until", "on my fruit then we keep looking")
    accept(kitchen, captions().replace(PEARS, other))
    assert told_of(kitchen) == [(PEARS, "stumbled")]
    assert "other words on 1 Sep" in look(kitchen).text(".learn-stumbles")


def test_what_a_take_left_out_is_forgotten_when_its_run_is_taken_back(kitchen):
    take = accept(kitchen, captions(without=["First I pour"]))
    kitchen.post(f"{take}/run/undo")
    assert told_of(kitchen) == []
    accept(kitchen, captions(without=["First I pour"]))
    assert len(told_of(kitchen)) == 1


def test_what_a_take_left_out_goes_and_comes_with_its_run(kitchen):
    accept(kitchen, captions(without=["First I pour"]))
    with kitchen.app.state.database.reading() as session:
        (run,) = list_runs(session, "r1")
    kitchen.post(f"/runs/{run.id}/delete")
    assert told_of(kitchen) == []
    kitchen.post(f"/runs/{run.id}/restore")
    assert len(told_of(kitchen)) == 1


def test_a_poor_transcript_marks_no_sentence(kitchen):
    words = captions(without=["First I pour"]).split("\n")
    poor = [line if "-->" in line or not line else _half_misheard(line) for line in words]
    accept(kitchen, "\n".join(poor))
    assert told_of(kitchen) == []


def test_saying_a_lost_sentence_by_heart_settles_it(kitchen):
    accept(kitchen, captions(without=["First I pour"]))
    send(kitchen, mark("m1", PEARS, days=1))
    assert "left out" not in look(kitchen).text("main")


def test_a_device_cannot_say_what_a_recording_told(desk):
    send(desk, mark("m1") | {"run_id": "run1"})
    assert stored(desk) == [("m1", "sat")]


def _half_misheard(line):
    words = line.split()
    return " ".join(word if at % 2 else "blur" for at, word in enumerate(words))


def test_sentences_come_back_by_ones_own_memory_once_enough_is_known_of_it(desk):
    page = Page(desk.get(HERE))
    assert "fitted to many people, not to you" in page.text("main")
    assert "fitted to you once 200 sentences have come back" in page.text("main")
    own = OwnMemory(Learner(0.5, 1.2), reviews=260, gain=0.01)
    assert memory_words(own).startswith(
        "When it comes back follows a published model of memory, fitted to you: 260 sentences "
        "that came back tell that yours last 0.5 times as long at first as most people’s"
    )
