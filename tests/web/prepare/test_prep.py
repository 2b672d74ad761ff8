"""The page of what is made ahead: tasks, the time on stage, ticks, and what is refused."""

from dataclasses import replace
from datetime import datetime, timedelta

import pytest

from server.domain.routine.preparing import Journey, Preparation, Task
from tests.factories import NOW_MS, RULES, make_routine
from tests.web.html import Page
from tests.web.shelf import keep, kept

HERE = "/routines/r1/prep"
HOUR_S = 3600.0
JOURNEY = {"travel": "45 min", "set_up": "", "waiting": "", "from_hour": "7", "to_hour": "22"}


def hours_from_now(hours):
    """A time on stage as its field writes it, on the server's clock, to the minute."""
    at = datetime.fromtimestamp(NOW_MS / 1000).astimezone() + timedelta(hours=hours)
    return f"{at:%Y-%m-%dT%H:%M}"


def stored(*tasks, hours=48, **journey):
    stage_ms = NOW_MS + round(hours * HOUR_S * 1000)
    given = Journey(stage_ms, from_hour=0, to_hour=24, **journey)
    return make_routine(preparation=Preparation(tasks=tasks, journey=given))


def syrup(**changes):
    return replace(Task("t1", "Syrup", hands_s=HOUR_S, alone_s=HOUR_S), **changes)


def test_the_demo_shows_its_days_with_what_begins_when(demo):
    page = Page(demo.get("/routines/routine-demo/prep"))
    # A list on paper lies about without its page: it says what it is for.
    assert page.text(".title-line .paper-only") == "Lamp and Orchard (demo)"
    days = page.texts(".prep-day h2")
    assert len(days) >= 2
    assert len(page.all(".prep-tape")) == len(days)
    lines = page.texts(".prep-line bdi")
    assert {"Ginger cordial", "Freeze the large ice", "Chill the stemmed glasses"} <= set(lines)
    assert "Travel" in page.text(".prep-days")


def test_the_hands_of_whoever_helps_have_a_row_of_their_own(client):
    keep(client, stored(syrup()))
    data = {"name": "Ice", "hands": "2 h", "where": "home", "who": "Noor"}
    client.post(f"{HERE}/tasks/new", data=data)
    page = Page(client.get(f"{HERE}?edit=task-new"))
    assert "2 h by hand (Noor)" in page.text(".prep-days")
    rows = {each.get("y") for each in page.all(".prep-hands rect")[:2]}
    assert len(rows) == 2
    assert page.texts(".prep-day h2 small")[0] == "Rows: you, Noor"
    assert [each.get("value") for each in page.all("#task-people option")] == ["Noor"]


def test_an_empty_page_says_what_is_asked_for(client):
    keep(client)
    page = Page(client.get(HERE))
    assert page.text("h1") == "Nothing is made ahead yet"
    assert "how long it keeps" in page.text(".empty")


def test_a_task_is_added_changed_deleted_and_undone(client):
    keep(client)
    data = {"name": "Syrup", "hands": "20 min", "alone": "2 h", "keeps": "3 days", "where": "home"}
    assert client.post(f"{HERE}/tasks/new", data=data).status_code == 303
    (task,) = kept(client).preparation.tasks
    assert (task.hands_s, task.alone_s, task.keeps_s) == (1200, 7200, 259_200)
    client.post(f"{HERE}/tasks/{task.id}", data=data | {"hands": "1 h 30"})
    assert kept(client).preparation.tasks[0].hands_s == 5400
    client.post(f"{HERE}/tasks/{task.id}/delete")
    client.post("/routines/r1/undo", data={"back": "prep"})
    assert len(kept(client).preparation.tasks) == 1


@pytest.mark.parametrize(
    ("field", "text", "words"),
    [
        ("hands", "1:30", "Write it as 20 min, 1 h 30 min or 3 days."),
        ("alone", "200 days", "Up to 90 days."),
        ("keeps", "long", "Write it as 20 min, 1 h 30 min or 3 days."),
        ("keeps_at", "hot", "Give a number."),
        ("name", " ", "Give it a name."),
    ],
)
def test_a_task_that_cannot_be_read_is_refused_beside_its_field(client, field, text, words):
    keep(client)
    data = {"name": "Syrup", "hands": "20 min", field: text}
    page = Page(client.post(f"{HERE}/tasks/new", data=data))
    assert (page.status, page.fault(field)) == (422, words)
    assert page.typed(field, f"{HERE}/tasks/new") == text


def test_a_task_of_no_length_is_refused(client):
    keep(client)
    page = Page(client.post(f"{HERE}/tasks/new", data={"name": "Syrup"}))
    assert page.fault("hands") == "Say how long it takes, by hand or by itself."


def test_tasks_that_wait_for_one_another_are_refused_by_name(client):
    keep(client, stored(syrup(), Task("t2", "Batch", 60, after_task_ids=("t1",))))
    data = {"name": "Syrup", "hands": "1 h", "after-t2": "yes"}
    page = Page(client.post(f"{HERE}/tasks/t1", data=data))
    assert page.status == 422
    assert "“Batch”" in page.text(".kit-uses .fault")


@pytest.mark.parametrize(
    ("stage", "words"),
    [("2020-01-01T10:00", "That is past. Give the next time on stage."), ("soon", "Give the day")],
)
def test_a_time_on_stage_that_cannot_be_is_refused(client, stage, words):
    keep(client)
    page = Page(client.post(f"{HERE}/journey", data=JOURNEY | {"stage": stage}))
    assert page.status == 422
    assert page.fault("stage").startswith(words)


def test_the_time_on_stage_is_kept_and_asked_for_until_then(client):
    keep(client, make_routine(preparation=Preparation(tasks=(syrup(),))))
    assert Page(client.get(HERE)).text("h1") == "When are you on stage?"
    client.post(f"{HERE}/journey", data=JOURNEY | {"stage": hours_from_now(72)})
    assert kept(client).preparation.journey.travel_s == 2700
    assert Page(client.get(HERE)).text("h1").endswith(": Syrup")


def test_minutes_that_the_rules_give_are_those_the_form_starts_with(client):
    keep(client, make_routine(), replace(RULES, set_up_s=300.0, waiting_s=1200.0))
    page = Page(client.get(HERE, params={"edit": "journey"}))
    assert page.typed("set_up") == "5 min"
    assert page.typed("waiting") == "20 min"
    assert "The rules give 20 min." in page.text("form.inline")


def test_being_behind_is_the_headline_and_says_what_gives(client):
    keep(client, stored(syrup(), hours=1))
    page = Page(client.get(HERE))
    assert page.text("h1") == "1 h behind"
    assert "It fits again without “Syrup”" in page.text(".kit-warning")
    assert "should have begun 1 h ago" in page.text(".prep-line")


def test_what_does_not_keep_until_the_stage_is_warned_of(client):
    keep(client, stored(syrup(keeps_s=HOUR_S), travel_s=3 * HOUR_S))
    assert "has to keep 2 h longer than it does" in Page(client.get(HERE)).text(".kit-warning")


def test_a_task_longer_than_what_is_left_is_told(client):
    keep(client, stored(syrup(alone_s=72 * HOUR_S)))
    # An hour by hand and three days by itself, with two days left.
    assert Page(client.get(HERE)).text("h1") == "25 h behind"


def test_what_is_ticked_moves_the_rest_and_can_be_taken_back(client):
    keep(client, stored(syrup(), Task("t2", "Batch", HOUR_S)))
    data = {"at": "made", "key": "t1", "packed": "yes"}
    assert client.post("/routines/r1/prepare/ticks", data=data).headers["location"] == HERE
    page = Page(client.get(HERE))
    assert page.texts(".prep-done bdi") == ["Syrup"]
    assert page.texts(".prep-day bdi") == ["Batch"]
    client.post("/routines/r1/prepare/ticks", data=data | {"packed": ""})
    assert Page(client.get(HERE)).all(".prep-done") == []


def test_when_the_stage_is_past_the_next_time_is_asked_for(client):
    keep(client, stored(syrup(), hours=-5))
    page = Page(client.get(HERE))
    assert page.text("h1").startswith("You were on stage")
    assert page.all(".kit-warning") == []


def test_a_proposal_opens_the_form_with_its_name(own_demo):
    client = own_demo
    here = "/routines/routine-demo/prep"
    links = Page(client.get(here)).all(".prep-proposals a")
    (link,) = [each for each in links if "tincture" in each.text_content()]
    page = Page(client.get(link.get("href")))
    assert page.typed("name", f"{here}/tasks/new") == "Make cardamom tincture"
    client.post(f"{here}/tasks/new", data=page.sent_by(f"{here}/tasks/new") | {"hands": "1 h"})
    assert "tincture" not in "".join(Page(client.get(here)).texts(".prep-proposals a"))


def test_what_comes_next_is_unfolded_and_later_days_are_named_in_a_line(client):
    first = syrup(name="Infusion", hands_s=HOUR_S, alone_s=30 * HOUR_S)
    keep(client, stored(first, Task("t2", "Ice", hands_s=HOUR_S)))
    page = Page(client.get(HERE))
    folds = page.all(".prep-day details")
    assert [fold.get("open") is not None for fold in folds] == [True] + [False] * (len(folds) - 1)
    assert len(folds) > 1
    assert page.texts(".prep-day summary b")[0] == "1 to do"
    assert "Ice" in page.texts(".prep-day summary .few")[-1]


def test_the_timetable_goes_out_as_a_calendar_file(client):
    keep(client, stored(syrup()))
    answer = client.get(f"{HERE}/timetable.ics")
    assert answer.headers["content-type"].startswith("text/calendar")
    assert "SUMMARY:Syrup" in answer.text
    assert Page(client.get(HERE)).one("#calendar").get("href") == f"{HERE}/timetable.ics"
    client.post("/routines/r1/prepare/ticks", data={"at": "made", "key": "t1", "packed": "yes"})
    assert "SUMMARY:Syrup" not in client.get(f"{HERE}/timetable.ics").text


def test_without_a_time_on_stage_there_is_no_calendar_file(client):
    keep(client)
    assert client.get(f"{HERE}/timetable.ics").status_code == 422


def test_the_page_counts_down_to_what_begins_next(client):
    # 48 h to the stage less an hour by hand and one by itself.
    keep(client, stored(syrup()))
    count = Page(client.get(HERE)).one(".prep-count")
    assert count.text == "In 46 h"
    due_ms, from_ms = int(count.get("data-due")), int(count.get("data-from"))
    assert due_ms - from_ms == pytest.approx(46 * HOUR_S * 1000, abs=60_000)


def test_a_tick_moves_what_is_counted_down_to(client):
    keep(client, stored(syrup(), Task("t2", "Peel", hands_s=600.0)))
    before = Page(client.get(HERE))
    client.post("/routines/r1/prepare/ticks", data={"at": "made", "key": "t1", "packed": "yes"})
    after = Page(client.get(HERE))
    assert ("Syrup" in before.text("h1"), "Peel" in after.text("h1")) == (True, True)
    assert after.one(".prep-count").get("data-due") > before.one(".prep-count").get("data-due")
