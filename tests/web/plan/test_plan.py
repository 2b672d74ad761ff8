import pytest

from server.domain.base.durations import parse_duration
from tests.factories import make_events, make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

NEW_SEGMENT = "/routines/r1/segments/new"
SEGMENT = "/routines/r1/segments/s2"
NEW_PROCESS = "/routines/r1/processes/new"
PROCESS = {"name": "Drip", "likely": "1:20", "after": "s1", "before": "s3"}


@pytest.fixture
def path(client):
    return keep(client)


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
    page = Page(client.get(f"{path}/plan"))
    assert ["goes on by itself" in text for text in page.texts("li.row .about")] == [
        False, True, False,
    ]  # fmt: skip
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
        ({"low": "1:01"}, "low", "The lowest duration cannot be above the likely one."),
        ({"high": "0:59"}, "high", "The highest duration cannot be below the likely one."),
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
    page = Page(client.get(f"{path}/plan"))
    assert page.texts("#process-p1 strong") == ["starts after no segment: choose one"]


def test_a_process_is_deleted_and_brought_back(client):
    path = keep(client, make_routine(processes=(make_process(),)))
    client.post("/routines/r1/processes/p1/delete")
    assert kept(client).processes == ()
    client.post(f"{path}/undo")
    assert kept(client).processes == (make_process(),)


# What the page says


def figures(page):
    return dict(zip(page.texts(".figures.wide dt"), page.texts(".figures.wide dd"), strict=True))


def test_the_plan_is_held_against_slot_and_target(client):
    path = keep(client, make_routine(segments=(make_segment("s1", 300), make_segment("s2", 285))))
    shown = figures(Page(client.get(f"{path}/plan")))
    assert (shown["Planned"], shown["Slot"], shown["Left in the slot"]) == ("9:45", "10:00", "0:15")
    assert shown["Against target 9:50"] == "−5.0 s"


def test_a_plan_longer_than_its_slot_says_by_how_much(client):
    path = keep(client, make_routine(segments=(make_segment("s1", 615),)))
    page = Page(client.get(f"{path}/plan"))
    assert figures(page)["Over the slot"] == "0:15"
    assert page.all("svg.tape .overrun")


def test_a_late_process_is_told_in_words(client):
    slow = make_process(after="s1", before="s2")
    path = keep(client, make_routine(processes=(slow,)))
    page = Page(client.get(f"{path}/plan"))
    assert page.texts("#process-p1 strong") == ["likely ready 1:20 too late."]


# Words against the plan

TALK = make_segment("s1", 550, name="Talk", said="Please settle in now, dear judges. " * 260)


def plan_figures(page):
    return dict(zip(page.texts(".figures dt"), page.texts(".figures dd"), strict=True))


def test_what_is_left_in_the_slot_counts_words_and_waiting(client):
    figures = plan_figures(Page(client.get(f"{keep(client, make_routine(segments=(TALK,)))}/plan")))
    total_s = parse_duration(figures["With words and waiting"])
    assert total_s > 600
    assert parse_duration(figures["Over the slot"]) == pytest.approx(total_s - 600, abs=0.11)
    low, high = map(parse_duration, figures["From lowest to highest"].split(" – "))
    assert low - 1 <= total_s <= high + 1


def test_a_measured_segment_overrules_what_its_words_would_take(client):
    welcome = make_segment(
        "s1", 40, name="Welcome", said="Please settle in now, dear judges. " * 19
    )
    routine = make_routine(segments=(welcome, "s2"))
    path = keep(client, routine)
    assert "With words and waiting" in plan_figures(Page(client.get(f"{path}/plan")))
    for took_s in (36, 38, 37):
        keep_run(client, routine, make_events({"s1": took_s}, total_s=took_s + 60))
    assert "With words and waiting" not in plan_figures(Page(client.get(f"{path}/plan")))
    script = Page(client.get(f"{path}/script"))
    assert script.text("#reading-s1 .reading-sum b") == "0:37"
    believed = Page(client.get(f"{path}/plan/risk")).text('div[aria-labelledby="share-title"]')
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
