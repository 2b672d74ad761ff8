import json
import random
import re
from dataclasses import replace

import pytest

from server.domain.runs.labels import Occasion
from tests.factories import NOW_MS, make_segment
from tests.web.html import Page
from tests.web.practice import PATH, PLAN, practise, practise_once
from tests.web.shelf import keep


def wandering(runs, seed=1):
    """Splits about the plan, by chance alone."""
    chance = random.Random(seed)
    return [[chance.gauss(likely_s, 3) for likely_s in (180, 200, 205)] for _ in range(runs)]


def slower(runs, by_s, at, seed=1):
    """The same, but the second segment takes longer from run `at` on."""
    return [
        [a, b + (by_s if n >= at else 0), c] for n, (a, b, c) in enumerate(wandering(runs, seed))
    ]


def page_of(client, query="?open=report"):
    return Page(client.get(PATH + query))


def data(page):
    return json.loads(page.one("#drift-data").text)


def series(page):
    """Row of the table of segments -> its cells."""
    rows = page.all("table.series tbody tr")
    return {row.get("id"): [" ".join(cell.text_content().split()) for cell in row] for row in rows}


# With few runs


def test_without_a_run_the_page_says_how_to_get_one(client):
    keep(client, PLAN)
    page = page_of(client)
    assert "No run counts yet" in page.text(".empty")
    assert page.all("#forecast, table, [data-picture]") == []


def test_a_run_that_was_broken_off_alone_gives_no_figure(client):
    practise(client, {"splits": [180], "total_s": 200, "closing": "abandon"})
    page = page_of(client)
    assert "figures come from finished runs" in page.text(".empty")


@pytest.mark.parametrize("runs", [1, 2, 3, 8])
def test_from_the_first_run_on_the_next_one_is_told_of_with_what_that_rests_on(client, runs):
    practise(client, *wandering(runs))
    page = page_of(client)
    labels = dict(zip(page.texts("#forecast dt"), page.texts("#forecast dd"), strict=True))
    assert " and " in labels["Most runs finish between"]
    assert labels["Finish within 10:00"].endswith(" in 100")
    assert "your plan counts for" in page.text("#forecast")
    assert page.text("#short-title + .bullets li").startswith(
        labels["Finish within 10:00"].capitalize()
    )


def test_so_many_runs_are_said_to_tell_changes_of_such_a_size(client):
    practise(client, *wandering(7))
    assert "With eight runs or more" in page_of(client).text("#tellable")
    practise_once(client, wandering(8)[-1], started_ms=NOW_MS)
    assert "8 runs can tell a change" in page_of(client).text("#tellable")


# In words


def test_every_sentence_leads_to_its_evidence_on_the_page(client):
    practise(client, *slower(24, 9, 12))
    page = page_of(client)
    links = [link.get("href") for link in page.all(".findings a")]
    assert len(links) == 2
    for link in links:
        place = link.partition("#")[2]
        assert len(Page(client.get(link)).all(f"#{place}")) == 1


def test_a_segment_that_takes_longer_is_named_with_its_interval(client):
    practise(client, *slower(24, 9, 12))
    (text,) = [
        each for each in page_of(client).texts(".bullets li") if "“Segment s2” takes" in each
    ]
    assert "longer since" in text
    assert "95 % interval" in text


def test_a_steady_routine_is_called_steady(client):
    practise(client, *wandering(15))
    page = page_of(client)
    assert len(page.all("#short-title + .bullets li")) == 1
    assert "the routine is steady" in page.texts("#short-title ~ .hint")[0]


# In figures


def test_total_and_segments_stand_beside_their_plan(client):
    practise(client, [180, 210, 205], [182, 212, 205], [184, 214, 205])
    rows = series(page_of(client))
    assert list(rows) == ["total", "segment-s1", "segment-s2", "segment-s3"]
    assert rows["segment-s2"][:4] == ["2. Segment s2", "3:20.0", "3", "3:32.0"]
    assert rows["segment-s2"][4].startswith("+12.0 s")


def test_a_jump_is_told_with_the_run_it_began_at(client):
    practise(client, *slower(24, 9, 12))
    jumps = series(page_of(client))["segment-s2"][-2]
    # The place of a jump is known to a run or two; its size has an interval.
    assert re.search(r"^\+\d+\.\d s since run 1[234] .*\d to \d+\.\d s$", jumps)


def test_many_steady_segments_are_not_set_in_bold_by_chance(client):
    chance = random.Random(7)
    plan = replace(PLAN, segments=tuple(make_segment(f"s{n}", 20) for n in range(30)))
    runs = [[chance.gauss(20, 1.5) for _ in range(30)] for _ in range(20)]
    practise(client, *runs, routine=plan)
    rows = page_of(client).all("table.series tbody tr")
    bold = [row.get("id") for row in rows for cell in row[4:8] if cell.cssselect("b")]
    assert len(bold) <= 2


def test_alone_and_before_a_coach_are_held_against_each_other(client):
    alone, coached = Occasion(tags=("alone",)), Occasion(tags=("coach",))
    runs = wandering(12)
    practise(
        client,
        *({"splits": run, "occasion": (alone, coached)[n % 2]} for n, run in enumerate(runs)),
    )
    page = page_of(client)
    assert "6 / 6" in page.text("#pair-alone-coach")


def test_first_runs_of_a_day_are_held_against_later_ones(client):
    practise(client, *wandering(12), every_ms=12 * 3_600_000)
    assert "The first run of a day against later ones" in page_of(client).text("#pair-first-of-day")


def test_how_earlier_forecasts_did_is_counted(client):
    practise(client, *wandering(20))
    rows = page_of(client).all("#earlier table")[-1].cssselect("tbody tr")
    said = [[cell.text_content() for cell in row][1] for row in rows]
    assert said == ["20", "20"]


# Pictures


def test_the_data_of_the_pictures_are_those_of_the_runs(client):
    run_ids = practise(client, [180, 210, 205], [182, 212, 205])
    told = data(page_of(client))
    assert [run["id"] for run in told["runs"]] == run_ids
    assert told["runs"][1]["behind_s"] == [2, 14, 14]
    assert [step["longer_s"] for step in told["waterfall"]["steps"]] == [2, 12, 0]
    assert [chart["id"] for chart in told["charts"]] == ["total", "s1", "s2", "s3"]


def test_every_picture_has_its_figures_in_a_table(client):
    practise(client, *wandering(8))
    page = page_of(client)
    pictures = {each.get("data-picture") for each in page.all("[data-picture]")}
    assert pictures == {"forecasts", "behind", "waterfall", "chart"}
    assert all(each.get("aria-label") for each in page.all(".drawing"))
    assert len(page.all("details:not(.trend-drawn) table")) == 3
    behind = page.all(".trend-drawn:has(> summary > .trend-picture) > table")
    assert len(behind) == len(page.all(".trend-picture")) == 2


def test_of_very_many_runs_the_latest_are_drawn_and_all_are_counted(client):
    practise(client, *wandering(70))
    page = page_of(client)
    told = data(page)
    assert (len(told["runs"]), told["runs"][-1]["number"]) == (60, 70)
    assert series(page)["total"][2] == "70"


def test_claims_are_drawn_only_where_somebody_noted_them(client):
    practise(client, *wandering(3))
    page = page_of(client)
    assert data(page)["claims"] == []
    assert "Nobody ticked claims" in page.text("#claims-title")


# Runs as they come


def test_runs_that_are_all_equal_are_shown_without_a_spread(client):
    practise(client, *[[180, 200, 205]] * 12)
    page = page_of(client)
    assert page.status == 200
    assert series(page)["total"][5:7] == ["0.0 s", "0.0 s"]


def test_a_run_with_missing_marks_counts_where_it_was_marked(client):
    practise(client, *wandering(6), {"splits": [181, None, 206], "total_s": 588})
    page = page_of(client)
    assert [cells[2] for cells in series(page).values()] == ["7", "7", "6", "6"]
    # s3 ended with the run, but when it began nobody knows.
    assert data(page)["runs"][-1]["behind_s"][1] is None


def test_an_outlier_of_ten_minutes_moves_neither_median_nor_robust_spread(client):
    runs = wandering(15)
    practise(client, *runs)
    before = series(page_of(client))["total"]
    practise_once(client, [180, 800, 205], started_ms=1_789_999_000_000)
    after = series(page_of(client))["total"]
    assert abs(seconds(before[3]) - seconds(after[3])) < 3
    assert seconds(after[5]) < 10 < seconds(after[6])


def test_an_outlier_leads_out_of_the_picture_and_is_named(client):
    practise(client, *wandering(5), [180, 800, 205], *wandering(5, seed=2))
    page = page_of(client)
    assert data(page)["reach_s"][1] < 60
    assert "Leads out of the picture: run 6 (" in page.text('[data-picture="behind"]')


def seconds(text):
    """ "9:45.2" or "3.4 s" as seconds."""
    minutes, _, rest = text.removesuffix(" s").rpartition(":")
    return 60 * int(minutes or 0) + float(rest)


def test_a_routine_whose_segments_were_all_replaced_keeps_the_old_ones_apart(client):
    practise(client, *wandering(6))
    for key in ("s1", "s2", "s3"):
        client.post(f"/routines/r1/segments/{key}/delete")
    client.post("/routines/r1/segments/new", data={"name": "All new", "likely": "9:40"})
    page = page_of(client)
    rows = series(page)
    assert page.status == 200
    assert len(rows) == 5
    assert "no longer in the plan" in rows["segment-s1"][0]
    assert rows["total"][2] == "0"
    # The runs themselves still count, and the forecast says what it rests on.
    assert page.text("h1").startswith("Last finish ")
    assert "none measured these segments" in page.text("[data-figure^='why:']")


def test_what_was_measured_is_not_called_as_the_forecast_on_other_pages_is(client):
    practise(client, *wandering(8))
    assert page_of(client).text("h1").startswith("Finish of late ")


def test_a_broken_off_run_is_told_of_and_not_counted(client):
    practise(client, *wandering(6), {"splits": [180], "total_s": 200, "closing": "abandon"})
    page = page_of(client)
    assert "one was broken off" in page.text(".bullets li:first-child")
    assert series(page)["total"][2] == "6"


def test_a_run_whose_clock_lies_beyond_the_calendar_is_still_shown(client):
    practise(client, *wandering(3))
    practise_once(client, [180, 200, 205], started_ms=9_000_000_000_000_000)
    assert page_of(client).status == 200


# Kept and refreshed


def test_the_page_stands_still_until_something_changes(client):
    run_ids = practise(client, *wandering(3))
    tag = client.get(PATH).headers["etag"]
    assert client.get(PATH, headers={"If-None-Match": tag}).status_code == 304
    client.post(f"/runs/{run_ids[0]}/counting", data={"leave_out": "yes"})
    assert client.get(PATH, headers={"If-None-Match": tag}).status_code == 200


def test_a_kept_page_does_not_stand_in_for_one_with_a_form_open(client):
    practise(client, [180, 200, 205])
    plain, editing = client.get(PATH), client.get(f"{PATH}?edit=goal")
    assert Page(plain).all("#goal form.inline") == []
    assert len(Page(editing).all("#goal form.inline")) == 1


def test_earlier_forecasts_are_listed_latest_first_beside_what_came(client):
    run_ids = practise(client, *wandering(6), [180, 300, 205])
    rows = page_of(client).all("#earlier details tbody tr")
    assert [row.get("id") for row in rows] == [f"run-{key}" for key in reversed(run_ids)]
    last = [cell.text_content() for cell in rows[0]]
    assert last[-2:] == ["11:25", "no"]


def test_an_unknown_routine_has_no_drift(client):
    assert client.get("/routines/nobody/drift").status_code == 404


# Three sentences


def titles(page, kind):
    return [each.text_content() for each in page.all(f".trend-picture.{kind} title")]


def test_three_sentences_stand_first_each_with_its_own_picture(client):
    practise(client, *slower(24, 9, 12))
    page = page_of(client, "")
    # The figures of each lie folded behind its picture; all else stands on pages of its own.
    assert [each for each in page.all("table") if each not in page.all("details table")] == []
    assert page.all("[data-picture]") == []
    assert len(page.all(".findings .trend-picture")) == len(page.all(".findings li")) == 2
    assert "95 % interval" not in page.text(".findings")
    assert len(titles(page, "finish")) == 24


def test_the_picture_of_a_segment_hangs_longer_runs_from_its_plan(client):
    practise(client, [180, 205, 205], [180, 198, 205])
    page = page_of(client, "")
    assert "“Segment s2”, 2 s under" in page.text(".findings li:nth-child(2)")
    assert [each.rpartition(": ")[2] for each in titles(page, "segment")] == [
        "5 s over",
        "2 s under",
    ]
    over, under = page.all(".trend-picture.segment rect")
    line = float(page.one(".trend-picture.segment .trend-line").get("y1"))
    assert float(over.get("y")) == pytest.approx(line)
    assert float(under.get("y")) + float(under.get("height")) == pytest.approx(line)


def test_a_span_of_days_feeds_every_figure_but_the_next_run(client):
    practise(client, *wandering(12))
    page = page_of(client)
    some = page_of(client, "?open=report&since=2026-07-29")
    counted = int(series(some)["total"][2])
    assert 0 < counted < 12
    assert len(data(some)["forecasts"]) == len(titles(some, "finish")) == counted
    assert some.texts("#forecast dd") == page.texts("#forecast dd")


def test_a_day_that_is_none_is_refused_beside_its_field(client):
    practise(client, *wandering(3))
    page = page_of(client, "?since=soon")
    assert page.status == 422
    assert page.fault("since", PATH) == "Give a day, for example 2026-11-20."
