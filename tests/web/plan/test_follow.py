"""The tape that is taken hold of, the quick figures, and the full ones beside it."""

import re

import pytest

from server.domain.routine.routine import Spread
from tests.factories import make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

HELD = "/routines/r1/plan/held"
ROUTINE = make_routine(processes=(make_process(duration=Spread(40)),))


@pytest.fixture
def path(client):
    return keep(client, ROUTINE)


def held(client, **query):
    return client.get(HELD, params={"segment": "s2", "span": 618, **query})


def test_a_figure_that_fails_while_a_block_is_held_is_told(client, path, monkeypatch):
    def fails(*_args, **_more):
        raise ZeroDivisionError

    monkeypatch.setattr("server.web.plan.outlook.Outlook.quick", fails)
    answer = held(client, seconds=5)
    assert answer.status_code == 200
    assert answer.json() == {
        "told": "The chance to finish in time cannot be told: "
        "the app failed at it, and its log says how."
    }


def test_every_segment_is_a_block_to_scale_that_says_what_it_is(client, path):
    page = Page(client.get(f"{path}/plan"))
    blocks = page.all(".band[data-held] .block")
    assert [block.get("id") for block in blocks] == ["block-s1", "block-s2", "block-s3"]
    first = blocks[0]
    assert float(first.get("width").rstrip("%")) == pytest.approx(100 * 60 / 618, abs=0.01)
    assert (first.get("role"), first.get("tabindex")) == ("slider", "0")
    assert "1:00, from 0:00, hands and voice, holds up the finish" in first.get("aria-valuetext")


def test_what_does_not_hold_up_the_finish_says_how_much_longer_it_may_take(client):
    talk = make_segment("s2", 20, lane="voice", alongside=True)
    segments = (make_segment("s1", 60, lane="hands"), talk, "s3")
    path = keep(client, make_routine(segments=segments))
    page = Page(client.get(f"{path}/plan?open=segment-s2"))
    assert "may take 0:40 longer" in page.one("#block-s2").get("aria-valuetext")
    assert "may take 0:40 longer before it holds up the finish" in page.text("[data-panel]")
    assert len(page.all("#block-s2 .seam")) == 0
    assert len(page.all("#block-s1 .seam")) == 1


def test_hands_that_talk_starts_with_may_last_longer_but_not_start_later(client):
    talk = make_segment("s2", 60, lane="voice", alongside=True)
    segments = (make_segment("s1", 20, lane="hands"), talk, "s3")
    page = Page(client.get(f"{keep(client, make_routine(segments=segments))}/plan"))
    assert page.all("#block-s1 .seam")


def test_the_tracks_of_the_band_are_voice_above_and_hands_beneath(client):
    lanes = (make_segment("s1", lane="voice"), make_segment("s2", lane="hands"), "s3")
    page = Page(client.get(f"{keep(client, make_routine(segments=lanes))}/plan"))
    bodies = [page.one(f"#block-{each} .body") for each in ("s1", "s2", "s3")]
    assert [each.get("y") for each in bodies] == ["0", "36", "0"]
    assert [each.get("height") for each in bodies] == ["34", "34", "70"]


def test_how_it_is_run_lies_beneath_the_band_once_it_is_worked_out(client, path):
    assert not Page(client.get(f"{path}/plan")).all(".ran-piece")
    beneath = Page(client.get(f"{path}/plan/chance"))
    assert beneath.one("#tape-under").get("hx-swap-oob") == "true"
    assert [each.get("id") for each in beneath.all(".ran-piece")] == ["you-s1", "you-s2", "you-s3"]
    assert beneath.text(".finish-label").startswith("mostly ")
    assert "in time" in beneath.text(".due-label")


def test_a_held_block_moves_everything_behind_it_and_the_figures(client, path):
    before, after = held(client).json(), held(client, seconds=30).json()
    shift = after["places"]["block-s3"][0] - before["places"]["block-s3"][0]
    assert shift == pytest.approx(100 * 30 / 618, abs=0.01)
    assert after["seconds"] == 90
    assert after["figures"]["finish:r1"] != before["figures"]["finish:r1"]
    assert re.fullmatch(r"2\. Segment s2, 1:30\. .* in 100 finish within 10:00\.", after["told"])


def test_a_block_held_over_another_place_is_drawn_there(client, path):
    places = held(client, to=0).json()["places"]
    assert places["block-s2"][0] == 0
    assert places["block-s1"][0] > 0


def test_nothing_is_saved_while_a_block_is_held(client, path):
    held(client, seconds=30, to=0)
    assert kept(client) == ROUTINE


def test_a_place_that_closes_a_circle_is_told_without_figures(client, path):
    answer = client.get(HELD, params={"segment": "s3", "span": 618, "to": 0})
    assert answer.status_code == 422
    assert "“Drip”" in answer.json()["told"]


@pytest.mark.parametrize(
    "query", [{"seconds": "nan"}, {"seconds": "1e9"}, {"span": "0"}, {"to": "-1"}, {"span": "inf"}]
)
def test_an_impossible_question_is_refused(client, path, query):
    assert held(client, **query).status_code == 422


def test_a_block_of_a_segment_that_is_gone_is_not_found(client, path):
    assert held(client, segment="gone").status_code == 404


def test_letting_go_saves_duration_and_place_as_one_edit(client, path):
    answer = client.post(f"{path}/plan/block", data={"segment": "s2", "seconds": "-15", "to": "0"})
    assert (answer.status_code, answer.headers["location"]) == (
        303,
        f"{path}/plan?touched=segment-s2",
    )
    assert [each.id for each in kept(client).segments] == ["s2", "s1", "s3"]
    assert kept(client).segments[0].duration.likely_s == 45
    page = Page(client.get(f"{path}/plan"))
    assert "“Segment s2” 0:15 shorter, moved “Segment s2”" in page.text(".history")


@pytest.mark.parametrize("typed", [{"seconds": "soon", "to": "0"}, {"seconds": "1", "to": "up"}])
def test_letting_go_with_nonsense_is_refused_and_saves_nothing(client, path, typed):
    answer = client.post(f"{path}/plan/block", data={"segment": "s2", **typed})
    assert answer.status_code == 422
    assert kept(client) == ROUTINE


def test_letting_go_where_a_circle_would_close_is_told_and_saves_nothing(client, path):
    page = Page(
        client.post(f"{path}/plan/block", data={"segment": "s3", "seconds": "0", "to": "0"})
    )
    assert page.status == 422
    assert "“Drip” would have to be ready before it starts" in page.text(".fault")
    assert [each.id for each in kept(client).segments] == ["s1", "s2", "s3"]


def test_figures_that_are_followed_are_told_by_the_quick_answer(client, path):
    client.get(f"{path}/plan/chance")
    page = Page(client.get(f"{path}/plan"))
    places = ("#plan-head", ".plan-row:not(.of-process)", ".due-label")
    shown = {
        each.get("data-figure") for place in places for each in page.all(f"{place} [data-figure]")
    }
    assert len(shown) == 3 + 6 + 1
    assert shown <= set(held(client).json()["figures"])


def test_letting_go_answers_what_follows_where_the_page_stays_as_it_is(client, path):
    sent = {"segment": "s2", "seconds": "30", "to": "1", "span": "618"}
    answer = client.post(f"{path}/plan/block", data=sent)
    assert answer.status_code == 200
    assert answer.json()["figures"]["planned:r1"] == "3:30"
    assert answer.json()["figures"]["segment-start:s3"] == "2:30"
    assert kept(client).segments[1].duration.likely_s == 90
    assert answer.json()["figures"] == held(client).json()["figures"]


@pytest.mark.parametrize("span", ["0", "wide", "-1"])
def test_what_follows_on_no_scale_is_refused_and_nothing_is_saved(client, path, span):
    sent = {"segment": "s2", "seconds": "30", "to": "1", "span": span}
    assert client.post(f"{path}/plan/block", data=sent).status_code == 422
    assert kept(client) == ROUTINE


def test_runs_take_the_place_of_assumption(client, path):
    first = client.get(f"{path}/plan/risk").text
    assert "Rests on your plan alone: no run counts yet." in first
    for _ in range(2):
        keep_run(client, ROUTINE)
    text = client.get(f"{path}/plan/risk").text
    assert re.search(r"Rests on two runs; your plan counts for \d+ %\.", text)


@pytest.mark.parametrize(
    "segments",
    [
        (),
        (make_segment("s1", 0),),
        ("s1",),
        (make_segment("s1", 900),),
        tuple(f"s{n}" for n in range(100)),
    ],
    ids=["none", "of no length", "one", "over the slot", "a hundred"],
)
@pytest.mark.parametrize(
    "place", ["plan", "plan/chance", "plan/risk", "plan/what-if", "plan/sheet"]
)
def test_every_page_of_the_plan_stands_any_number_of_segments(client, segments, place):
    path = keep(client, make_routine(segments=segments))
    assert client.get(f"{path}/{place}").status_code == 200
