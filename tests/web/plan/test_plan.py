import pytest

from server.domain.base.durations import parse_duration
from server.domain.routine.routine import Spread
from tests.factories import NOW_MS, make_events, make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.practice import DAY_MS, practise_once
from tests.web.shelf import keep, keep_run, kept

NEW_SEGMENT = "/routines/r1/segments/new"
SEGMENT = "/routines/r1/segments/s2"
NEW_PROCESS = "/routines/r1/processes/new"
PROCESS = {"name": "Drip", "likely": "1:20", "after": "s1", "before": "s3"}


@pytest.fixture
def path(client):
    return keep(client)


def looked_at(client, path, part):
    """The plan with a part open beside it."""
    return Page(client.get(f"{path}/plan?open={part}"))


def segment_names(client):
    return [segment.name for segment in kept(client).segments]


# Segments


@pytest.mark.parametrize("typed", ["1:15", "75", "1m15", "1 min 15 s", " 75 "])
def test_a_name_and_a_duration_make_a_segment_however_it_is_typed(client, path, typed):
    answer = client.post(NEW_SEGMENT, data={"name": " Pour ", "likely": typed})
    added = kept(client).segments[-1]
    assert (answer.status_code, answer.headers["location"]) == (
        303,
        f"{path}/plan?edit=segment-new&saved=segment-{added.id}",
    )
    assert (added.name, added.duration.likely_s) == ("Pour", 75.0)


def test_a_highest_of_more_than_ten_times_the_likely_is_asked_about(client, path):
    typed = {"name": "Pour", "low": "0:01", "likely": "0:30", "high": "10:00"}
    page = Page(client.post(SEGMENT, data=typed))
    assert page.status == 422
    assert "10:00, is more than ten times the likely 0:30" in page.fault("wide", SEGMENT)
    assert page.typed("high", SEGMENT) == "10:00"
    assert kept(client).segments[1].duration.high_s is None
    client.post(SEGMENT, data=typed | {"wide": "yes"})
    assert kept(client).segments[1].duration.high_s == 600


def test_what_was_confirmed_as_wide_is_not_asked_again(client, path):
    client.post(SEGMENT, data={"name": "Pour", "likely": "0:30", "high": "10:00", "wide": "yes"})
    form = Page(client.get(f"{path}/plan?edit=segment-s2"))
    assert form.all("#f-wide[checked]")
    assert not Page(client.get(f"{path}/plan?edit=segment-s1")).all("#f-wide")


def test_a_highest_of_ten_times_the_likely_is_kept_without_a_question(client, path):
    client.post(SEGMENT, data={"name": "Pour", "likely": "0:30", "high": "5:00"})
    assert kept(client).segments[1].duration.high_s == 300


def test_a_segment_is_changed_in_its_place_with_everything_on_its_form(client, path):
    typed = {
        "name": "Shake", "lane": "voice", "low": "1:00", "likely": "1:15", "high": "1:40",
        "hands": "Shake hard.", "said": "Twelve\r\nseconds.",
    }  # fmt: skip
    assert client.post(SEGMENT, data=typed).status_code == 303
    changed = kept(client).segments[1]
    assert (changed.id, changed.name, changed.lane) == ("s2", "Shake", "voice")
    assert (changed.hands, changed.said) == ("Shake hard.", "Twelve\nseconds.")
    assert (changed.duration.low_s, changed.duration.high_s) == (60, 100)


def test_a_segment_goes_on_by_itself_only_where_that_is_ticked(client, path):
    typed = {"name": "Drain", "likely": "0:30", "lane": "hands"}
    client.post(SEGMENT, data=typed | {"auto_advance": "yes"})
    assert kept(client).segments[1].auto_advance is True
    told = [looked_at(client, path, f"segment-{each}") for each in ("s1", "s2", "s3")]
    assert ["ends by itself" in each.text("[data-panel]") for each in told] == [False, True, False]
    (box,) = Page(client.get(f"{path}/plan?edit=segment-s2")).all("#f-auto_advance[checked]")
    assert box.get("name") == "auto_advance"
    client.post(SEGMENT, data=typed)
    assert kept(client).segments[1].auto_advance is False


def test_a_form_starts_with_what_is_kept(client):
    keep(client, make_routine(segments=(make_segment("s1", 75, name="Pour", said="Here"),)))
    page = Page(client.get("/routines/r1/plan?edit=segment-s1"))
    shown = {
        name: page.typed(name, "/routines/r1/segments/s1") for name in ("name", "likely", "said")
    }
    assert shown == {"name": "Pour", "likely": "1:15", "said": "Here"}


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"name": ""}, "name", "Give it a name."),
        ({"name": "   "}, "name", "Give it a name."),
        ({"name": "x" * 121}, "name", "Keep it to 120 characters; this has 121."),
        ({"likely": ""}, "likely", "Give a duration, for example 1:15 or 75."),
        ({"likely": "-5"}, "likely", "A duration cannot be negative."),
        ({"likely": "99:00:00"}, "likely", "That is longer than a day. Type minutes as 1:15."),
        ({"likely": "soon"}, "likely", "“soon” is no duration. Type 1:15, 75 or 1m15."),
        ({"likely": "<b>"}, "likely", "“<b>” is no duration. Type 1:15, 75 or 1m15."),
        ({"low": "1:01"}, "low", "The lowest duration cannot be above the likely one, 1:00."),
        ({"high": "0:59"}, "high", "The highest duration cannot be below the likely one, 1:00."),
        ({"low": "x"}, "low", "“x” is no duration. Type 1:15, 75 or 1m15."),
    ],
)
def test_a_wrong_segment_is_told_beside_its_field_and_keeps_what_was_typed(
    client, path, typed, field, told
):
    typed = {"name": "Pour", "likely": "1:00", "hands": "Both", **typed}
    page = Page(client.post(SEGMENT, data=typed))
    assert (page.status, page.fault(field, SEGMENT)) == (422, told)
    assert {name: page.typed(name, SEGMENT) for name in typed} == typed
    assert kept(client) == make_routine()


def test_every_fault_of_a_form_is_told_at_once(client, path):
    page = Page(client.post(SEGMENT, data={"name": "", "likely": "soon", "low": "-1"}))
    assert {each.get("name") for each in page.all("[aria-invalid]")} == {"name", "likely", "low"}


def test_a_duration_that_cannot_be_read_is_not_held_against_the_others(client, path):
    page = Page(client.post(SEGMENT, data={"name": "x", "low": "1:00", "likely": "soon"}))
    assert [each.get("name") for each in page.all("[aria-invalid]")] == ["likely"]


def test_low_likely_and_high_the_wrong_way_round_are_both_told(client, path):
    page = Page(client.post(SEGMENT, data={"name": "x", "low": "9", "likely": "5", "high": "1"}))
    assert "above the likely" in page.fault("low")
    assert "below the likely" in page.fault("high")


def test_the_quick_form_is_told_too_and_keeps_what_was_typed(client, path):
    page = Page(client.post(NEW_SEGMENT, data={"name": "Pour", "likely": "soon"}))
    assert "no duration" in page.fault("likely", NEW_SEGMENT)
    assert page.typed("name", NEW_SEGMENT) == "Pour"


def test_a_drink_that_is_no_longer_here_is_told_beside_its_field(client, path):
    page = Page(client.post(SEGMENT, data={"name": "x", "likely": "5", "drink": "gone"}))
    assert "names a drink that is not here" in page.fault("drink", SEGMENT)


def test_a_segment_too_many_is_told(client):
    many = tuple(f"s{number}" for number in range(200))
    keep(client, make_routine(segments=many))
    page = Page(client.post(NEW_SEGMENT, data={"name": "One more", "likely": "5"}))
    assert page.fault("name", NEW_SEGMENT) == "A routine holds at most 200 segments."


@pytest.mark.parametrize(
    ("to", "order"), [("0", "s2 s1 s3"), ("2", "s1 s3 s2"), ("99", "s1 s3 s2")]
)
def test_a_segment_is_moved(client, path, to, order):
    assert client.post(f"{SEGMENT}/move", data={"to": to}).status_code == 303
    assert [segment.id for segment in kept(client).segments] == order.split()


def test_a_deleted_segment_can_be_brought_back(client, path):
    client.post(f"{SEGMENT}/delete")
    assert segment_names(client) == ["Segment s1", "Segment s3"]
    page = Page(client.get(f"{path}/plan"))
    assert "deleted “Segment s2”" in page.text(".history")
    assert client.post(page.form(f"{path}/undo").get("action")).status_code == 303
    assert kept(client) == make_routine()


# Parallel processes


def test_a_process_is_hung_between_two_segments(client, path):
    typed = {**PROCESS, "low": "1:00", "high": "2:00", "fallback": "Serve the reserve."}
    assert client.post(NEW_PROCESS, data=typed).status_code == 303
    (process,) = kept(client).processes
    assert (process.after_segment_id, process.before_segment_id) == ("s1", "s3")
    assert (process.duration.likely_s, process.fallback) == (80, "Serve the reserve.")


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"name": ""}, "name", "Give it a name."),
        ({"likely": "-1"}, "likely", "A duration cannot be negative."),
        ({"after": ""}, "after", "Choose the segment at whose end it starts."),
        ({"before": ""}, "before", "Choose the segment that needs it ready."),
        ({"after": "gone"}, "after", "“Drip” starts after no segment of this."),
        ({"before": "gone"}, "before", "“Drip” is needed by no segment of this."),
    ],
)
def test_a_wrong_process_is_told_beside_its_field_and_keeps_what_was_typed(
    client, path, typed, field, told
):
    typed = {**PROCESS, **typed}
    page = Page(client.post(NEW_PROCESS, data=typed))
    assert (page.status, page.fault(field, NEW_PROCESS)) == (422, told)
    assert all(page.typed(name, NEW_PROCESS) == typed[name] for name in ("name", "likely"))
    assert kept(client).processes == ()


@pytest.mark.parametrize(("after", "before"), [("s3", "s1"), ("s2", "s2"), ("s3", "s2")])
def test_a_process_that_must_be_ready_before_it_starts_is_told_with_who_waits_for_whom(
    client, path, after, before
):
    page = Page(client.post(NEW_PROCESS, data={**PROCESS, "after": after, "before": before}))
    told = page.fault("before", NEW_PROCESS)
    assert "“Drip” would have to be ready before it starts" in told
    assert all(f"“Segment {each}”" in told for each in (after, before))
    assert page.typed("after", NEW_PROCESS) == after


def test_a_move_that_closes_a_circle_is_told_with_its_members_and_changes_nothing(client):
    keep(client, make_routine(processes=(make_process(),)))
    page = Page(client.post("/routines/r1/segments/s3/move", data={"to": "0"}))
    (told,) = page.texts(".fault")
    assert page.status == 422
    assert all(name in told for name in ("“Drip”", "“Segment s1”", "“Segment s3”", "→"))
    assert [segment.id for segment in kept(client).segments] == ["s1", "s2", "s3"]


@pytest.mark.parametrize("to", ["", "up", "-1", "1.5", "nan"])
def test_a_move_to_no_place_is_told_and_changes_nothing(client, path, to):
    page = Page(client.post(f"{SEGMENT}/move", data={"to": to}))
    assert page.status == 422
    assert page.texts(".fault")
    assert kept(client) == make_routine()


def test_a_process_that_lost_its_segment_asks_for_a_new_one(client):
    path = keep(client, make_routine(processes=(make_process(),)))
    client.post("/routines/r1/segments/s1/delete")
    assert Page(client.get(f"{path}/plan")).text("#process-p1 .need") == "starts after no segment"
    page = looked_at(client, path, "process-p1")
    assert page.texts("[data-panel] strong") == ["starts after no segment: choose one"]


def test_a_process_is_deleted_and_brought_back(client):
    path = keep(client, make_routine(processes=(make_process(),)))
    client.post("/routines/r1/processes/p1/delete")
    assert kept(client).processes == ()
    client.post(f"{path}/undo")
    assert kept(client).processes == (make_process(),)


# What the page says


def beneath(client, path):
    """The line beneath the headline, the forecast there."""
    client.get(f"{path}/plan/chance")
    return Page(client.get(f"{path}/plan")).text(".headline .about")


def test_the_first_line_answers_with_the_chance_the_plan_and_what_to_cut(client):
    path = keep(client, make_routine(segments=(make_segment("s1", 300), make_segment("s2", 285))))
    client.get(f"{path}/plan/chance")
    page = Page(client.get(f"{path}/plan"))
    assert page.text("h1").endswith(" in 100 finish within 10:00")
    assert "planned 9:45, 0:15 to spare; as it will run " in page.text(".headline .about")
    assert page.text(".plan-sure p").startswith("Cut ")


def test_before_the_chance_is_worked_out_the_first_line_tells_of_the_plan(client, path):
    page = Page(client.get(f"{path}/plan"))
    assert page.text("h1") == "Planned 3:00 in a slot of 10:00"
    assert page.one("#plan-head").get("hx-get") == f"{path}/plan/chance"
    client.get(f"{path}/plan/chance")
    assert Page(client.get(f"{path}/plan")).one("#plan-head").get("hx-get") is None


def test_a_plan_longer_than_its_slot_says_by_how_much(client):
    path = keep(client, make_routine(segments=(make_segment("s1", 615),)))
    page = Page(client.get(f"{path}/plan"))
    assert "0:15 too long" in page.text(".headline .about")
    assert page.all("svg.tape .overrun")


def test_a_late_process_is_told_in_words(client):
    slow = make_process(after="s1", before="s2")
    path = keep(client, make_routine(processes=(slow,)))
    page = looked_at(client, path, "process-p1")
    assert page.texts("[data-panel] strong") == ["likely ready 1:20 too late."]
    assert page.text("#process-p1 .need") == "1:20 too late by the plan"


def test_a_process_that_comes_too_late_is_told_wherever_the_chance_to_finish_is(client):
    slow = make_process(after="s1", before="s2")
    path = keep(client, make_routine(processes=(slow,)))
    keep_run(client, kept(client), make_events({"s1": 60, "s2": 120}, total_s=180))
    places = (f"{path}/plan/chance", f"{path}/plan/risk", path, f"{path}/plan/next")
    told = {place: Page(client.get(place)).texts(".but") for place in places}
    assert told == {each: ["But “Drip” comes 1:20 too late by the plan."] for each in places}


def test_of_several_that_come_too_late_the_latest_is_named(client):
    slow, slower = (
        make_process(process_id=f"p{likely}", name=f"Drip {likely}", after="s1", before="s2",
                     duration=Spread(likely))
        for likely in (80, 95)
    )  # fmt: skip
    path = keep(client, make_routine(processes=(slow, slower)))
    told = Page(client.get(f"{path}/plan/risk")).text(".but")
    assert told == "But “Drip 95” comes 1:35 too late by the plan, and 1 other too."


def test_a_process_that_is_often_too_late_is_told_though_the_plan_has_time_for_it(client):
    tight = make_process(after="s1", before="s3", duration=Spread(59, 40, 90))
    path = keep(client, make_routine(processes=(tight,)))
    told = Page(client.get(f"{path}/plan/risk")).text(".but")
    assert told.startswith("But “Drip” is ready in time only ")


def test_beside_a_chance_with_everything_ready_stands_no_but(client):
    path = keep(client, make_routine(processes=(make_process(duration=Spread(20)),)))
    assert Page(client.get(f"{path}/plan/risk")).all(".but") == []


def test_an_empty_plan_starts_with_its_first_segment_in_focus(client):
    page = Page(client.get(f"{keep(client, make_routine(segments=()))}/plan"))
    assert page.text("h1") == "Nothing is planned yet"
    assert page.one("#quick-name").get("autofocus") is not None


# Beside the tape


def test_what_is_open_is_marked_on_the_tape_and_in_the_list(client, path):
    page = looked_at(client, path, "segment-s2")
    assert page.text("[data-panel] h2") == "2 Segment s2"
    assert page.one(".plan-row a[aria-current]").get("id") == "look-segment-s2"
    assert page.one(".band .chosen").get("id") == "block-s2"


@pytest.mark.parametrize("part", ["segment-gone", "process-gone", "segment-", "nonsense"])
def test_what_is_no_longer_here_opens_nothing(client, path, part):
    page = looked_at(client, path, part)
    assert (page.status, page.all("[data-panel]")) == (200, [])
    assert page.all("#quick-name")


@pytest.mark.parametrize(("step", "lasts_s"), [("-5", 55), ("-1", 59), ("1", 61), ("5", 65)])
def test_a_button_of_seconds_is_one_edit_that_can_be_undone(client, path, step, lasts_s):
    page = looked_at(client, path, "segment-s2")
    assert page.all(f'.nudge button[name="seconds"][value="{step}"]')
    sent = {"segment": "s2", "to": "1", "seconds": step}
    assert client.post(f"{path}/plan/block", data=sent).status_code == 303
    assert kept(client).segments[1].duration.likely_s == lasts_s
    client.post(f"{path}/undo")
    assert kept(client) == make_routine()


GREET = make_segment("s1", 40, name="Greet")
LONGER = make_routine(segments=(GREET, "s2"))


def practised(client, *times_s):
    """A routine whose first segment took these times, one run after the other."""
    path = keep(client, LONGER)
    for number, took_s in enumerate(times_s):
        log = make_events({"s1": took_s}, total_s=took_s + 60, prefix=f"n{number}")
        keep_run(client, LONGER, log)
    return path


def test_a_segment_that_takes_longer_run_after_run_is_the_first_thing_to_do(client):
    path = practised(client, 46, 47, 46)
    page = Page(client.get(f"{path}/plan"))
    assert page.text("#first-title") == "1 Greet"
    assert "s longer for 3 runs." in page.text(".first-need .need")
    assert page.text("#segment-s1 .note.need").endswith("s longer")
    client.post(f"{path}/plan/block", data=dict(page.one(".first-need form").form_values()))
    planned = f"Plan 0:{kept(client).segments[0].duration.likely_s:.0f}"
    assert page.text(".first-need button") == planned


def test_words_that_were_always_too_long_are_no_cut(demo):
    told = Page(demo.get("/routines/routine-demo/plan")).text(".first-need .takes")
    assert "s longer for 5 runs. You take 0:46" in told


def test_a_segment_that_was_cut_is_told_by_runs_from_before_until_it_is_run(client):
    path = practised(client, 46, 47, 46)
    cut = {"segment": "s1", "seconds": "-20", "to": "0"}
    client.post(f"{path}/plan/block", data=cut)

    def told():
        page = Page(client.get(f"{path}/plan", params={"open": "segment-s1"}))
        return page.text(".takes"), page.texts(".need")

    takes, need = told()
    assert takes.startswith("Going by runs before the cut it will take 0:2")
    assert takes.endswith("No run has measured it since.")
    assert not any("longer for" in each for each in need)
    practise_once(client, (45, 60), kept(client), NOW_MS + DAY_MS)
    assert told()[0].startswith("You take 0:")


@pytest.mark.parametrize("times_s", [(46, 47), (46, 47, 40), (41, 41, 41)])
def test_few_runs_or_small_differences_ask_for_nothing(client, times_s):
    page = Page(client.get(f"{practised(client, *times_s)}/plan"))
    assert not page.all(".first-need, .note.need")


def test_what_a_longer_plan_would_bring_is_told_beside_it(client):
    path = practised(client, 46, 47, 46)
    told = client.get(f"{path}/plan/effect/s1").text
    assert told.startswith("Planned at 0:4")
    assert "Done in 0:40 it would be" in told


# Words against the plan

TALK = make_segment("s1", 550, name="Talk", said="Please settle in now, dear judges. " * 260)


def test_what_is_planned_and_what_is_to_spare_come_to_the_slot(client):
    path = keep(client, make_routine(segments=(make_segment("s1", 392.5),)))
    assert "planned 6:33, 3:27 to spare" in beneath(client, path)


def test_as_it_will_run_counts_the_words(client):
    path = keep(client, make_routine(segments=(TALK,)))
    told = beneath(client, path)
    assert "planned 9:10, 0:50 to spare" in told
    assert parse_duration(told.rpartition("as it will run ")[2]) > 600
    page = Page(client.get(f"{path}/plan"))
    assert "s of words over" in page.text("#segment-s1 .note.need")
    assert " s of words over. The words take " in page.text(".first-need .takes")


def test_a_measured_segment_overrules_what_its_words_would_take(client):
    welcome = make_segment(
        "s1", 40, name="Welcome", said="Please settle in now, dear judges. " * 19
    )
    routine = make_routine(segments=(welcome, "s2"))
    path = keep(client, routine)
    assert "words over" in Page(client.get(f"{path}/plan")).text("#segment-s1")
    for took_s in (36, 38, 37):
        keep_run(client, routine, make_events({"s1": took_s}, total_s=took_s + 60))
    assert "words over" not in Page(client.get(f"{path}/plan")).text("#segment-s1")
    script = Page(client.get(f"{path}/script"))
    assert "0:37 of 0:40" in script.text("main")
    believed = Page(client.get(f"{path}/plan/risk")).text("#share-table")
    assert "– 0:37 –" in believed


# The place is kept


def test_a_save_leads_to_the_row_that_was_saved(client, path):
    answer = client.post(SEGMENT, data={"name": "Pour", "likely": "1:00"})
    name = SEGMENT.rpartition("/")[2]
    assert answer.headers["location"] == f"{path}/plan?saved=segment-{name}#segment-{name}"
    assert Page(client.get(answer.headers["location"])).one(f"#segment-{name}") is not None


def test_undo_names_what_it_brought_back_and_stays_where_it_is(client, path):
    name = SEGMENT.rpartition("/")[2]
    client.post(f"{SEGMENT}/delete")
    answer = client.post(f"{path}/undo", data={"back": "plan"})
    assert answer.headers["location"] == f"{path}/plan?touched=segment-{name}"


def test_a_refused_form_says_at_its_button_how_many_fields_need_a_look(client, path):
    page = Page(client.post(SEGMENT, data={"name": "", "likely": "soon"}))
    assert page.texts(".look") == ["▲ 2 fields need a look"]
    page = Page(client.post(NEW_SEGMENT, data={"name": "Pour", "likely": "soon"}))
    assert page.texts(".look") == ["▲ 1 field needs a look"]
