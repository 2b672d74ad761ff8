"""The page of the station: surfaces, things moved and set out, a proposal taken and undone."""

from dataclasses import replace
from itertools import accumulate

import pytest

from server.domain.routine.preparing import Preparation, Thing
from server.domain.routine.station import Spot, Station, Surface
from server.store.runs import append_events
from tests.factories import NOW_MS, RULES, make_events, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, kept

KETTLE = Spot("kettle", "tool:kettle", None, 20.0, 30.0)
STATION = Station((Surface("bar", "Front bar", 180.0, 60.0),), (KETTLE,))
ROUTINE = make_routine(
    segments=(make_segment("s1", hands="Kettle, then the jug. Kettle again, the jug again."),),
    preparation=Preparation(things=(Thing("t1", "Lamp"),), station=STATION),
)
HERE = "/routines/r1/station"


@pytest.fixture
def bar(client):
    keep(client, ROUTINE)
    return client


def station_of(client):
    return kept(client).preparation.station


def where(client):
    return {spot.key: (spot.x_cm, spot.y_cm) for spot in station_of(client).spots}


def test_the_demo_tells_ways_reaches_and_what_hides_a_pour(demo):
    page = Page(demo.get("/routines/routine-demo/station"))
    assert page.text("h1").startswith("Hands go")
    assert "beyond reach" in page.text(".headline .about")
    assert any("hides" in each for each in page.texts(".station-findings a"))
    assert len(page.all(".station-tile")) >= 18


def test_a_bar_is_measured_before_anything_stands_on_it(client):
    keep(client, replace(ROUTINE, preparation=Preparation()))
    assert Page(client.get(HERE)).text("h1") == "How large is your bar?"
    refused = client.post(f"{HERE}/place", data={"key": "tool:kettle"})
    assert refused.status_code == 422
    assert "Say how large the bar is first." in Page(refused).text("main")
    form = {"name": "Bar", "width": "180", "depth": "60", "x": "0", "y": "0"}
    assert client.post(f"{HERE}/surfaces/new", data=form).status_code == 303
    assert [each.width_cm for each in station_of(client).surfaces] == [180]


def test_a_thing_that_is_let_go_beside_the_bar_lies_on_it(bar):
    assert (
        bar.post(f"{HERE}/move", data={"spot": "kettle", "x": "500", "y": "-20"}).status_code == 303
    )
    assert where(bar) == {"tool:kettle": (175, 5)}
    bar.post("/routines/r1/undo", data={"back": "station"})
    assert where(bar) == {"tool:kettle": (20, 30)}


@pytest.mark.parametrize("typed", [{"x": "far"}, {"x": "nan"}, {"spot": "gone"}, {"x": ""}])
def test_a_move_that_cannot_be_read_moves_nothing(bar, typed):
    answer = bar.post(f"{HERE}/move", data={"spot": "kettle", "x": "1", "y": "1"} | typed)
    assert answer.status_code in (404, 422)
    assert where(bar) == {"tool:kettle": (20, 30)}


def test_everything_is_set_out_in_one_edit(bar):
    assert bar.post(f"{HERE}/place").status_code == 303
    assert set(where(bar)) == {"tool:kettle", "glass:jug", "own:t1"}
    bar.post("/routines/r1/undo", data={"back": "station"})
    assert set(where(bar)) == {"tool:kettle"}


def test_a_thing_larger_than_the_bar_is_refused_with_what_was_typed(bar):
    form = Page(bar.get(HERE, params={"edit": "spot-kettle"})).sent_by(f"{HERE}/spots/kettle")
    answer = bar.post(f"{HERE}/spots/kettle", data=form | {"width": "181"})
    assert answer.status_code == 422
    page = Page(answer)
    assert "No surface of your bar is that large." in page.text("form.inline")
    assert page.typed("width", f"{HERE}/spots/kettle") == "181"


def test_what_stands_on_a_surface_goes_with_it(bar):
    form = Page(bar.get(HERE, params={"edit": "surface-bar"})).sent_by(f"{HERE}/surfaces/bar")
    bar.post(f"{HERE}/surfaces/bar", data=form | {"x": "100"})
    assert where(bar) == {"tool:kettle": (120, 30)}


def test_a_proposal_is_one_edit_and_only_of_the_bar_that_was_seen(bar):
    bar.post(f"{HERE}/place", data={"key": "glass:jug"})
    page = Page(bar.get(HERE, params={"look": "few"}))
    assert "less in a run" in page.text("#better-title")
    form = page.sent_by(f"{HERE}/better")
    was = where(bar)
    assert bar.post(f"{HERE}/better", data=form | {"mark": "old"}).status_code == 422
    assert where(bar) == was
    assert bar.post(f"{HERE}/better", data=form).status_code == 303
    assert where(bar) != was
    bar.post("/routines/r1/undo", data={"back": "station"})
    assert where(bar) == was


def test_a_station_survives_copying_with_its_own_things(bar):
    bar.post(f"{HERE}/place")
    copied = bar.post("/routines/r1/copy").headers["location"].split("/")[2].partition("?")[0]
    found = kept(bar, copied).preparation
    own = [spot.thing_id for spot in found.station.spots if spot.thing_id]
    assert copied != "r1"
    assert own == [thing.id for thing in found.things]


PARTS = {"set_up": "1:00 Machine on\n0:30 Cups out\n", "clear": ""}


def chores(client):
    return [(each.name, each.planned_s) for each in kept(client).preparation.setting_up]


def test_parts_of_setting_up_are_typed_a_line_each_and_keep_their_ids(bar):
    assert bar.post(f"{HERE}/outside", data=PARTS).status_code == 303
    assert chores(bar) == [("Machine on", 60), ("Cups out", 30)]
    before = kept(bar).preparation.setting_up[1].id
    bar.post(f"{HERE}/outside", data=PARTS | {"set_up": "0:45 Cups out"})
    assert [each.id for each in kept(bar).preparation.setting_up] == [before]


@pytest.mark.parametrize("line", ["soon Machine on", "1:30", "1:75 Cups out"])
def test_a_line_that_cannot_be_read_is_refused_with_all_that_was_typed(bar, line):
    typed = PARTS | {"set_up": f"1:00 Machine on\n{line}"}
    answer = bar.post(f"{HERE}/outside", data=typed)
    assert answer.status_code == 422
    assert Page(answer).typed("set_up", f"{HERE}/outside").strip() == typed["set_up"]
    assert chores(bar) == []


def run_of_setting_up(client, *splits_s, day=0):
    location = client.post("/routines/r1/rehearse", data={"phase": "set_up"}).headers["location"]
    run_id = location.split("/")[2]
    ids = [each.id for each in kept(client).preparation.setting_up]
    ends = dict(zip(ids, accumulate(splits_s), strict=True))
    events = make_events(ends, total_s=sum(splits_s), prefix=run_id,
                         started_ms=NOW_MS + (day - 9) * 86_400_000)  # fmt: skip
    with client.app.state.database.writing() as session:
        append_events(session, run_id, events, NOW_MS)
    return run_id


def test_setting_up_has_its_own_clock_runs_and_times(client):
    keep(client, ROUTINE, replace(RULES, set_up_s=90.0))
    client.post(f"{HERE}/outside", data=PARTS)
    for day, cups_s in enumerate((28, 34, 40, 46, 50)):
        run_of_setting_up(client, 66, cups_s, day=day)
    told = Page(client.get(HERE)).text(".station-outside")
    assert (
        "planned 1:30 of 1:30 allowed · takes 1:46, last 1:56, from 5 runs, 6 s slower a run"
        in told
    )
    cups = Page(client.get(HERE)).texts(".station-outside tbody tr:last-child > *")
    assert cups == ["Cups out", "0:30", "0:40", "0:50", "6 s slower a run"]


def test_a_run_of_setting_up_counts_for_nothing_of_the_slot(bar):
    bar.post(f"{HERE}/outside", data=PARTS)
    before = bar.get("/routines/r1/plan").text.count("data-figure")
    run_id = run_of_setting_up(bar, 60, 30)
    listed = Page(bar.get("/routines/r1/runs")).text("main")
    assert "setting up" in listed
    assert bar.get("/routines/r1/plan").text.count("data-figure") == before
    for path in (f"/runs/{run_id}", f"/runs/{run_id}/stage", "/routines/r1", "/routines/r1/drift"):
        assert bar.get(path).status_code == 200
    stage = bar.get(f"/runs/{run_id}/stage").text
    assert '"name": "Setting up"' in stage.replace('"name":"', '"name": "')


def test_what_is_not_planned_cannot_be_rehearsed(bar):
    answer = bar.post("/routines/r1/rehearse", data={"phase": "clear"})
    assert answer.status_code == 422
    assert "Say first what clearing away consists of." in answer.text


def test_a_thing_is_turned_by_a_quarter_and_stays_on_the_bar(bar):
    form = Page(bar.get(HERE, params={"edit": "spot-kettle"})).sent_by(f"{HERE}/spots/kettle")
    bar.post(f"{HERE}/spots/kettle", data=form | {"width": "24"})
    bar.post(f"{HERE}/move", data={"spot": "kettle", "x": "0", "y": "0"})
    assert bar.post(f"{HERE}/spots/kettle/turn").status_code == 303
    turned = kept(bar).preparation.station.spots[0]
    assert (turned.width_cm, turned.depth_cm) == (10, 24)
    assert (turned.x_cm, turned.y_cm) == (12, 12)
