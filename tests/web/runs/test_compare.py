import pytest

from server.domain.base.durations import DAY_MS
from server.domain.runs.events import event_document
from tests.factories import (
    NOW_MS,
    make_event,
    make_events,
    make_process,
    make_routine,
    make_segment,
)
from tests.web.html import Page
from tests.web.shelf import keep, keep_run

ROUTINE = make_routine(
    segments=(make_segment("s1", 100), make_segment("s2", 200), make_segment("s3", 280)),
    processes=(make_process(),),
)


def run_of(client, label, ends, total_s, day, closing="finish", ready_s=190, **more):
    log = make_events(
        ends, total_s=total_s, closing=closing, ready_s={"p1": ready_s},
        started_ms=NOW_MS + (day - 9) * DAY_MS, prefix=f"d{day}-",
    )  # fmt: skip
    run_id = keep_run(client, ROUTINE, log, **more)
    client.post(f"/runs/{run_id}", data={"label": label})
    return run_id


@pytest.fixture
def path(client):
    path = keep(client, ROUTINE)
    run_of(client, "First", {"s1": 120, "s2": 330}, 612, day=1)
    run_of(client, "Second", {"s1": 110, "s2": 310}, 590, day=2, ready_s=350)
    run_of(client, "Third", {"s1": 100, "s2": 305}, 600, day=3)
    return path


def figures(client, path):
    return Page(client.get(f"{path}/runs?show=figures"))


def table(page, title):
    rows = page.all(f"section[aria-labelledby={title}] tbody tr")
    return {
        cells[0]: [cell for cell in cells[1:] if cell not in ("Don’t count", "Count it")]
        for cells in ([" ".join(c.text_content().split()) for c in row] for row in rows)
    }


def test_runs_stand_beneath_each_other_latest_first_with_their_verdicts(client, path):
    splits = table(figures(client, path), "splits-title")
    assert list(splits) == ["Third", "Second Drip late", "First"]
    assert splits["First"][:3] == ["10:12", "12 s over", "12"]
    assert splits["Third"][:3] == ["10:00", "just inside", "0"]


def test_splits_are_shown_with_their_distance_from_the_plan(client, path):
    splits = table(figures(client, path), "splits-title")
    assert splits["First"][3:] == ["2:00.0 +20.0", "3:30.0 +10.0", "4:42.0 +2.0"]


def test_each_segment_has_its_level_over_all_runs(client, path):
    # Splits of the first segment: 120, 110 and 100 s; their sample deviation is 10 s.
    levels = table(figures(client, path), "levels-title")
    assert levels["1. Segment s1"] == [
        "1:40.0", "1:50.0mean 1:50.0", "10.0 s", "1:40.0", "2:00.0", "1:40.0", "on plan",
        "15 s shorter",
    ]  # fmt: skip


def test_the_first_line_says_how_many_ended_inside_and_whether_the_last_did(client, path):
    page = Page(client.get(f"{path}/runs"))
    assert page.text("h1") == "2 of 3 runs inside the slot: the last two"
    assert page.texts(".run-bed .run-finish")[1:] == [
        "10:00 just inside", "9:50 on target", "10:12 12 s over",
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("closing", "more", "told"),
    [("finish", {"excluded": True}, "not counted"), ("abandon", {}, "broken off")],
)
def test_a_run_that_does_not_count_is_shown_says_why_and_changes_no_figure(
    client, path, closing, more, told
):
    before = table(figures(client, path), "levels-title")
    run_of(client, "Fourth", {"s1": 300}, 400, day=4, closing=closing, **more)
    page = figures(client, path)
    splits = table(page, "splits-title")
    assert any(name.startswith("Fourth") and told in name for name in splits)
    assert table(page, "levels-title") == before


def test_a_run_still_on_the_clock_says_so(client, path):
    run_of(client, "Fourth", {"s1": 101}, None, day=4)
    splits = table(figures(client, path), "splits-title")
    assert next(iter(splits)) == "Fourth still running"


def test_a_run_that_never_began_is_not_shown(client, path):
    client.post(f"{path}/rehearse")
    assert len(table(figures(client, path), "splits-title")) == 3


def test_incidents_are_counted_beside_the_run(client, path):
    run_id = run_of(client, "Fourth", {"s1": 101, "s2": 300}, 595, day=4)
    spills = [make_event(f"i{n}", "incident", seq=2, at_s=150, what="spill") for n in (1, 2)]
    keep_more(client, run_id, spills)
    assert "Fourth 2 incidents" in table(figures(client, path), "splits-title")


def keep_more(client, run_id, events):
    sent = {"events": [event_document(event) for event in events]}
    assert client.post(f"/api/runs/{run_id}/events", json=sent).status_code == 200


def test_runs_of_an_edited_routine_still_compare_by_segment(client, path):
    client.post(f"{path}/segments/s2", data={"name": "Shake", "likely": "3:00"})
    client.post(f"{path}/segments/s2/move", data={"to": "0"})
    client.post(f"{path}/segments/s3/delete")
    levels = table(figures(client, path), "levels-title")
    assert list(levels) == ["1. Shake", "2. Segment s1", "Segment s3 no longer in the plan"]
    assert levels["1. Shake"][:2] == ["3:00.0", "3:25.0mean 3:25.0"]
    assert levels["Segment s3 no longer in the plan"][0] == "–"


def test_the_latest_six_runs_have_a_row_each_and_the_others_are_folded_into_one(client, path):
    for day in range(4, 14):
        run_of(client, f"Run {day}", {"s1": 100}, 595, day=day)
    page = Page(client.get(f"{path}/runs"))
    assert len(page.all(".run-bed li")) == 6
    assert page.text(".run-earlier .run-name b") == "Seven earlier"
    everything = Page(client.get(page.one(".run-earlier").get("href")))
    assert len(everything.all(".run-bed li")) == 13


def test_without_runs_the_page_says_how_to_get_one(client):
    path = keep(client, ROUTINE)
    page = Page(client.get(f"{path}/runs"))
    assert {each.get("href") for each in page.all(".empty a")} == {
        f"{path}/rehearse",
        f"{path}/runs/by-hand",
        f"{path}/takes",
    }


def test_runs_of_which_none_counts_have_no_figures(client):
    path = keep(client, ROUTINE)
    run_of(client, "Only", {"s1": 100}, 300, day=1, closing="abandon")
    page = figures(client, path)
    assert page.text("h1") == "No run counts yet"
    assert table(page, "levels-title")["1. Segment s1"][1:] == ["not marked in a counted run"]


def test_a_run_that_was_brought_back_is_no_longer_called_deleted(client, path):
    run_id = run_of(client, "Fourth", {"s1": 100}, 595, day=4)
    deleted = client.post(f"/runs/{run_id}/delete").headers["location"]
    assert Page(client.get(deleted)).all(".notice")
    client.post(f"/runs/{run_id}/restore")
    assert Page(client.get(deleted)).all(".notice") == []


def ticked(client, path, day, ticks):
    """A finished run in which these claims were ticked."""
    log = make_events(total_s=600, started_ms=NOW_MS + (day - 9) * DAY_MS, prefix=f"t{day}-")
    marks = [
        make_event(f"t{day}-c{n}", "claim", seq=50 + n, at_s=20, started_ms=log[0].wall_ms,
                   claim=f"d1:descriptor:{word}", verdict=verdict)
        for n, (word, verdict) in enumerate(ticks.items())
    ]  # fmt: skip
    return keep_run(client, ROUTINE, [*log, *marks])


def test_claims_are_counted_over_the_runs_in_which_they_were_ticked(client, path):
    for day, pear, tea in ((4, "heard", "missed"), (5, "heard", "wrong"), (6, "heard", "heard")):
        ticked(client, path, day, {"pear": pear, "black tea": tea})
    rows = table(figures(client, path), "heard-title")
    # Wilson's interval of 1 in 3 and 3 in 3, by statsmodels.stats.proportion.proportion_confint.
    assert list(rows.items()) == [
        ("black tea", ["–", "1 of 3", "6–79 %", "1"]),
        ("pear", ["–", "3 of 3", "44–100 %", "–"]),
    ]


def test_ticks_of_a_run_that_does_not_count_are_left_out(client, path):
    run_id = ticked(client, path, 4, {"pear": "heard"})
    client.post(f"/runs/{run_id}/counting", data={"leave_out": "yes"})
    assert not figures(client, path).all("#heard-title")


def test_nothing_is_said_of_claims_that_nobody_ticked(client, path):
    assert not figures(client, path).all("#heard-title")
