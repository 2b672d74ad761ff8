"""The forms of the plan: what runs beside what, fallbacks, and times worked out from readings."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.filter_reading import FiltrationReading
from server.domain.routine.routine import Spread
from tests.factories import make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, kept

SEGMENT = "/routines/r1/segments/s2"
PROCESS = "/routines/r1/processes/p1"
TYPED = {"name": "Tell", "likely": "1:00", "lane": "voice"}
DRIP = {"name": "Drip", "likely": "1:20", "after": "s1", "before": "s3"}


@pytest.fixture
def path(client):
    return keep(client, make_routine(processes=(make_process(),)))


def test_a_segment_is_woven_among_the_others_by_its_form(client, path):
    typed = {**TYPED, "lane": "hands", "alongside": "yes", "helper": "yes", "movable": "yes"}
    assert client.post(SEGMENT, data={**typed, "after": "s1"}).status_code == 303
    changed = kept(client).segments[1]
    assert (changed.alongside, changed.helper, changed.movable) == (True, True, True)
    assert changed.after_segment_ids == ("s1",)


def test_the_form_shows_every_link_and_room_for_one_more(client):
    linked = make_segment("s3", after_segment_ids=("s1", "s2"))
    path = keep(client, make_routine(segments=("s1", "s2", linked)))
    page = Page(client.get(f"{path}/plan?edit=segment-s3"))
    shown = [page.typed(name, "/routines/r1/segments/s3") for name in ("after", "after-2")]
    assert shown == ["s1", "s2"]
    assert page.typed("after-3", "/routines/r1/segments/s3") == ""


def test_a_link_that_closes_a_circle_is_told_beside_it_with_its_members(client, path):
    page = Page(client.post(SEGMENT, data={**TYPED, "after": "s3"}))
    told = page.fault("after", SEGMENT)
    assert page.status == 422
    assert all(name in told for name in ("“Tell”", "“Segment s3”", "→", "circle"))
    assert page.typed("after", SEGMENT) == "s3"


def test_a_helper_who_should_talk_is_told(client, path):
    page = Page(client.post(SEGMENT, data={**TYPED, "helper": "yes"}))
    assert "hands only" in page.fault("helper", SEGMENT)


def test_links_and_lanes_are_told_in_the_list(client):
    woven = (
        "s1",
        make_segment("s2", 30, lane="voice", alongside=True),
        make_segment("s3", helper=True, lane="hands", after_segment_ids=("s1",)),
        "s4",
    )
    path = keep(client, make_routine(segments=woven))
    page = Page(client.get(f"{path}/plan?open=segment-s3"))
    assert page.text("#segment-s2 .note") == "voice only, alongside"
    assert page.text("#segment-s3 .note") == "a helper"
    assert "a helper’s hands, at 1:30; waits for Segment s1" in page.text("[data-panel]")


def test_a_fallback_is_kept_with_its_times(client, path):
    typed = {**DRIP, "fallback": "The reserve.", "patience": "0:10", "by": "7:30", "cost": "8"}
    assert client.post(PROCESS, data=typed).status_code == 303
    (process,) = kept(client).processes
    times_s = (process.patience_s, process.fallback_by_s, process.fallback_cost_s)
    assert times_s == (10, 450, 8)
    shown = Page(client.get(f"{path}/plan?open=process-p1")).text("[data-panel]")
    assert "after waiting 0:10, earliest 7:30, takes 0:08 longer: The reserve." in shown


READ = {"read-at": "0:28", "read-ml": "40", "read-at-2": "1:12", "read-ml-2": "80"}


def test_readings_are_kept_and_the_time_they_give_is_taken_over_in_one_step(client, path):
    client.post(PROCESS, data={**DRIP, **READ, "batch": "200", "head": "held"})
    (process,) = kept(client).processes
    assert process.readings == (FiltrationReading(28, 40), FiltrationReading(72, 80))
    assert not process.falling_head
    page = Page(client.get(f"{path}/plan?open=process-p1"))
    # 0.005 s/ml² and 0.5 s/ml, as in the law's own check: 300 s for 200 ml.
    assert "200 ml take 5:00" in page.text(".worked-out")
    assert page.text(".worked-out button") == "Use 5:00"
    assert client.post(page.form(f"{PROCESS}/take-time").get("action")).status_code == 303
    assert kept(client).processes[0].duration.likely_s == 300
    assert not Page(client.get(f"{path}/plan?open=process-p1")).all(".worked-out button")


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"read-at": "soon", "read-ml": "40"}, "read-at", "no duration"),
        ({"read-at": "1:00"}, "read-ml", "Give a number."),
        ({"read-ml": "40"}, "read-at", "Give a duration"),
        ({**READ, "batch": "none"}, "batch", "Give a number."),
        ({"from": "200"}, "from", "between −80 and 110 °C"),
        ({"read-at": "1:00", "read-ml": "2000000"}, "read-ml", "from 0 to 1,000,000 ml"),
        ({"product": "gone"}, "product", "makes no ingredient of this"),
        ({"patience": "-4"}, "patience", "cannot be negative"),
        ({"vessel": "gone"}, "vessel", "a drink not here"),
    ],
)
def test_a_wrong_reading_or_time_is_told_beside_its_field(client, path, typed, field, told):
    page = Page(client.post(PROCESS, data={**DRIP, **typed}))
    assert page.status == 422
    assert told in page.fault(field, PROCESS)
    # An option that is gone cannot be chosen again.
    assert page.typed(field, PROCESS) == (
        "" if field in ("vessel", "product") else typed.get(field, "")
    )


def test_readings_that_contradict_themselves_are_kept_and_told_beside_the_process(client, path):
    faster = {**READ, "read-at": "1:00", "batch": "200"}
    assert client.post(PROCESS, data={**DRIP, **faster}).status_code == 303
    page = Page(client.get(f"{path}/plan?open=process-p1"))
    assert "faster and faster" in page.text("[data-panel] .fault")
    assert Page(client.post(f"{PROCESS}/take-time")).status == 422


def test_a_process_says_how_warm_what_it_makes_goes_in(client):
    infusion = Ingredient("i1", "Plum infusion", Amount(180, "ml"))
    drink = Drink("d1", "Orchard", 1, (infusion,))
    path = keep(client, make_routine(drinks=(drink,), processes=(make_process(),)))
    typed = {**DRIP, "likely": "0:30", "vessel": "d1", "from": "90", "to": "80"}
    client.post(PROCESS, data={**typed, "product": "i1"})
    assert kept(client).processes[0].product_id == "i1"
    told = Page(client.get(f"{path}/plan?open=process-p1")).text("[data-panel]")
    # Half a minute from 80 towards 21 °C at 0.04 a minute: 78.8 °C.
    assert "It makes Plum infusion (Orchard), which waits 0:30" in told
    assert "goes in at 79 °C" in told


def test_there_is_no_time_to_take_over_without_readings(client, path):
    page = Page(client.post(f"{PROCESS}/take-time"))
    assert page.status == 422
    assert "no readings" in page.text(".fault")


def test_a_process_says_when_it_must_be_started_and_how_long_its_product_stands(client):
    drip = make_process(before="s3", duration=Spread(40, 35, 50))
    path = keep(client, make_routine(processes=(drip,)))
    told = Page(client.get(f"{path}/plan?open=process-p1")).text("[data-panel]")
    # Needed at 2:00 and started at 1:00: 40 s likely, 50 s at its slowest.
    assert "Start it by 1:20 at the latest, by 1:10 to be safe" in told
    assert "If it takes its likely time it then waits ready for 0:20" in told


def test_no_start_is_asked_for_before_the_clock(client):
    # Needed at 2:00: at its slowest, or likely, each takes longer than that.
    slow = make_process(process_id="p1", before="s3", duration=Spread(100, 90, 130))
    slower = make_process(process_id="p2", before="s3", duration=Spread(150, 140, 160))
    path = keep(client, make_routine(processes=(slow, slower)))
    pages = [Page(client.get(f"{path}/plan?open=process-{each}")) for each in ("p1", "p2")]
    unsafe, hopeless = (page.text("[data-panel]") for page in pages)
    assert "Start it by 0:20 at the latest; no start within the slot is safe." in unsafe
    assert "Started with the clock it is still too late." in hopeless
    assert "waits ready" not in hopeless
