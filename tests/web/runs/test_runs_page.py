"""The page of all runs: strips, the run looked at, a time taken into the plan, sessions."""

from dataclasses import replace

import pytest

from server.domain.base.durations import HOUR_MS, parse_duration
from server.domain.runs.labels import Occasion
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import list_runs
from tests.factories import RULES
from tests.web.html import Page
from tests.web.practice import PLAN, practise
from tests.web.shelf import keep, kept

RUNS = "/routines/r1/runs"
RUN = [180, 200, 205]
GROWN = [[180, at, 205] for at in (200, 201, 200, 205, 206, 207)]


def page_of(client, query=""):
    return Page(client.get(RUNS + query))


# Strips


def test_what_runs_past_the_end_of_the_slot_falls_off_the_strip(client):
    practise(client, [180, 200, 230])
    blocks = page_of(client).all(".run-bed li .run-block")
    assert [block.get("y") for block in blocks] == ["9", "9", "9", "17"]
    # 610 s and 3 % more are drawn; 10 of them lie past 600 s.
    assert float(blocks[-1].get("width").rstrip("%")) == pytest.approx(1000 / 628.3, abs=0.01)


def test_the_segment_furthest_over_its_plan_is_pointed_at_from_four_seconds_on(client):
    practise(client, [180, 203.9, 205], [180, 209, 210])
    page = page_of(client)
    assert page.texts(".run-bed li .run-long") == ["2. Segment s2: 9 s over"]


def test_a_run_is_held_against_the_slot_of_today_and_names_the_one_it_was_made_for(client):
    (run_id,) = practise(client, RUN)
    with client.app.state.database.writing() as session:
        save_rule_sheet(session, replace(RULES, slot_s=480, target_s=470))
    page = page_of(client)
    assert page.texts(".run-bed li .run-finish")[-1] == "9:45 1:45 over"
    assert page.text(".chosen-head p") == "9:45 15 s inside, slot then 10:00"
    assert "9:45, 15 s inside, slot then 10:00" in Page(client.get(f"/runs/{run_id}")).text("h1")


def test_an_incident_is_flagged_where_the_clock_stood(client):
    practise(client, {"splits": RUN, "incident_s": 300})
    (flag,) = page_of(client).all(".run-bed li .run-flag")
    assert float(flag.get("x").rstrip("%")) == pytest.approx(300 / 618 * 100, abs=0.01)
    assert flag.text_content().strip() == "Spill, 5:00"


def test_a_run_that_is_not_counted_is_hatched_and_says_so(client):
    practise(client, RUN, {"splits": RUN, "excluded": True})
    latest, earlier = page_of(client).all(".run-bed li")
    assert len(latest.cssselect("[data-hatched]")) == 3
    assert earlier.cssselect("[data-hatched]") == []
    assert "not counted" in latest.text_content()


def test_a_stretch_that_nobody_marked_is_hatched_too(client):
    practise(client, {"splits": [180, None, 205], "total_s": 585})
    (hatched,) = page_of(client).all(".run-bed li [data-hatched]")
    assert hatched.text_content() == "not marked"


def test_a_part_of_a_routine_is_drawn_as_short_as_it_was(client):
    practise(client, RUN, {"splits": [180], "total_s": 200, "closing": "abandon"})
    torn = page_of(client).one(".run-bed li .run-torn").getparent()
    assert float(torn.get("x").rstrip("%")) == pytest.approx(200 / 618 * 100, abs=0.01)


# The run looked at


def test_the_last_run_is_looked_at_until_another_is_opened(client):
    first, last = practise(client, [180, 209, 205], RUN)
    whole = "#run .chosen-acts a:last-child"
    assert page_of(client).one(whole).get("href") == f"/runs/{last}"
    opened = page_of(client, f"?open=run-{first}")
    assert opened.one(whole).get("href") == f"/runs/{first}"
    assert opened.one(".run-row[aria-current]").get("id") == f"strip-{first}"
    assert opened.texts("#run .noted p") == ["Segment s2, 9 s over"]


def test_a_run_is_taken_out_where_it_is_looked_at_and_stays_open(client):
    (run_id, _) = practise(client, RUN, RUN)
    page = page_of(client, f"?open=run-{run_id}")
    answer = client.post(f"{RUNS}/counting", data=dict(page.form(f"{RUNS}/counting").form_values()))
    assert answer.headers["location"] == f"{RUNS}?open=run-{run_id}"
    assert Page(client.get(answer.headers["location"])).text("#counts") == "Count it"


def test_a_run_left_open_is_ended_from_the_list(client):
    (run_id,) = practise(client, {"splits": [180], "total_s": None})
    page = page_of(client)
    assert "Not finished:" in page.text(".run-unfinished")
    answer = client.post(page.one(".run-unfinished form").get("action"))
    after = Page(client.get(answer.headers["location"]))
    assert after.all(".run-unfinished") == []
    assert after.one(".notice form").get("action") == f"/runs/{run_id}/go-on"


# Against the plan


def test_a_segment_that_has_grown_is_planned_as_long_as_it_takes_by_one_touch(client):
    practise(client, *GROWN)
    page = page_of(client)
    assert "growing" in page.text("#course-s2")
    answer = client.post(
        f"{RUNS}/plan-time", data=dict(page.form(f"{RUNS}/plan-time").form_values())
    )
    planned = page.text("#course-s2 button").removeprefix("Plan ")
    assert kept(client).segments[1].duration.likely_s == parse_duration(planned) > 202
    after = Page(client.get(answer.headers["location"]))
    assert f"“Segment s2” is planned {planned} now." in after.text(".notice")
    client.post(f"{RUNS}/plan-time/undo", data={"segment": "s2"})
    assert kept(client).segments[1].duration.likely_s == 200


def test_a_new_time_is_not_undone_over_a_later_change(client):
    practise(client, *GROWN)
    client.post(f"{RUNS}/plan-time", data={"segment": "s2", "seconds": "206"})
    client.post("/routines/r1/segments/s1", data={"name": "Hello", "likely": "3:00"})
    assert client.post(f"{RUNS}/plan-time/undo", data={"segment": "s2"}).status_code == 422
    assert page_of(client, "?planned=s2").all(".notice") == []
    assert kept(client).segments[0].name == "Hello"


def test_segments_close_to_their_plan_are_folded_with_the_most_they_were_off(client):
    practise(client, [180.4, 209, 204.9])
    page = page_of(client)
    assert [row.get("id") for row in page.all(".courses > ol > li")] == ["course-s2"]
    assert page.text(".courses summary") == "2 others within 0.4 s of plan"


# Sessions


def sessions(client, query=""):
    return page_of(client, f"?show=sessions{query}")


def occasions(client):
    with client.app.state.database.reading() as session:
        return [line.occasion for line in list_runs(session, "r1")]


@pytest.fixture
def run_ids(client):
    """Two runs of one day."""
    coached = Occasion(tags=("coach",))
    return practise(client, {"splits": RUN, "occasion": coached}, [180, 200, 230], every_ms=HOUR_MS)


def test_the_address_that_sessions_once_had_leads_to_the_runs_by_session(client, run_ids):
    answer = client.get("/routines/r1/drift/sessions")
    assert (answer.status_code, answer.headers["location"]) == (303, f"{RUNS}?show=sessions")


def test_runs_of_a_day_stand_together_under_what_they_came_to(client, run_ids):
    page = sessions(client)
    assert page.text(".run-session p") == (
        "coach 2 runs that count, 1 of 2 inside the slot, first 9:45, typical 9:58, shortest 9:45"
    )
    assert len(page.all(".run-bed li")) == 2


def test_runs_of_other_days_and_venues_stand_apart(client):
    practise(client, RUN, {"splits": RUN, "occasion": Occasion("Studio")}, RUN, every_ms=0)
    assert len(sessions(client).all(".run-session")) == 2


def test_a_session_is_labelled_at_once_and_no_label_is_lost(client, run_ids):
    form = f"{RUNS}/sessions/{run_ids[0]}"
    page = sessions(client, f"&edit=session-{run_ids[0]}")
    assert len(page.form(form).cssselect("input[type=checkbox]")) >= 4
    answer = client.post(form, data={"venue": "Cellar", "tag-2": "dress rehearsal"})
    assert occasions(client) == [
        Occasion("Cellar", ("coach", "dress rehearsal")),
        Occasion("Cellar", ("dress rehearsal",)),
    ]
    assert "2 runs labelled." in Page(client.get(answer.headers["location"])).text(".notice")


def test_of_very_many_sessions_the_latest_are_listed_unless_all_are_asked_for(client):
    practise(client, *[RUN] * 62)
    page = sessions(client)
    assert len(page.all(".run-session")) == 60
    everything = Page(client.get(page.one("a[href$=all-sessions]").get("href")))
    assert len(everything.all(".run-session")) == 62


def test_an_empty_venue_leaves_the_venue_as_it_is(client):
    run_ids = practise(client, {"splits": RUN, "occasion": Occasion("Studio")})
    client.post(f"{RUNS}/sessions/{run_ids[0]}", data={"venue": "", "tag-0": "alone"})
    assert occasions(client) == [Occasion("Studio", ("alone",))]


def test_a_label_that_is_too_long_is_refused_for_all(client, run_ids):
    form = f"{RUNS}/sessions/{run_ids[0]}"
    page = Page(client.post(form, data={"venue": "x" * 121, "more_tags": "late"}))
    assert page.status == 422
    assert page.fault("venue", form) == "Keep it to 120 characters; this has 121."
    assert page.typed("more_tags", form) == "late"
    assert occasions(client) == [Occasion(tags=("coach",)), Occasion()]


def test_more_tags_than_a_run_may_carry_are_refused(client, run_ids):
    form = f"{RUNS}/sessions/{run_ids[0]}"
    page = Page(client.post(form, data={"more_tags": ",".join(f"tag {n}" for n in range(12))}))
    assert page.fault("more_tags", form).startswith("A run of this session would carry more")
    assert occasions(client)[0] == Occasion(tags=("coach",))


def test_a_session_that_is_none_is_not_found(client, run_ids):
    assert client.post(f"{RUNS}/sessions/{run_ids[1]}", data={"venue": "x"}).status_code == 404
    assert client.post(f"{RUNS}/sessions/nobody", data={"venue": "x"}).status_code == 404


def test_without_a_run_there_is_no_session(client):
    keep(client, PLAN)
    assert "Rehearse once" in sessions(client).text(".empty")
