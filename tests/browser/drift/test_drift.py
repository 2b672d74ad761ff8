"""Pictures of drift by touch: a run is tapped, runs are chosen, and nothing breaks the policy."""

import json
import re
from dataclasses import replace

import pytest
from playwright.sync_api import expect

from server.demo import demo_file
from tests.browser.desk import Desk
from tests.exported import write_file

PICTURES = ("forecasts", "behind", "waterfall", "chart")


@pytest.fixture(scope="module")
def demo(server):
    """The drift of a copy of the demo: other tests practise the demo itself."""
    with Desk(server.url) as desk:
        file = demo_file()
        content = write_file(replace(file, routine=replace(file.routine, name="Copy")))
        answer = desk.post("/import", files={"file": ("demo.json", content)})
    return f"/routines/{answer.url.path.split('/')[2]}/drift?open=report"


@pytest.fixture
def tablet(new_context):
    """A page of a tablet that is touched."""
    return new_context(viewport={"width": 800, "height": 1280}, has_touch=True).new_page()


def picture(page, kind):
    """A picture, drawn."""
    figure = page.locator(f'[data-picture="{kind}"]').first
    figure.scroll_into_view_if_needed()
    figure.locator("svg").wait_for()
    return figure


def tap(figure, right, down):
    """Touch a picture at a part of its width and height."""
    box = figure.locator(".drawing").bounding_box()
    figure.page.touchscreen.tap(box["x"] + right * box["width"], box["y"] + down * box["height"])


def test_every_picture_is_drawn_within_the_policy(page, demo):
    # What a page complains of, a breach of its policy among it, fails the test by itself.
    page.goto(demo)
    drawn = {kind: picture(page, kind).locator("svg path").count() for kind in PICTURES}
    assert {kind: paths for kind, paths in drawn.items() if paths <= 5} == {}


@pytest.mark.thorough
def test_every_run_out_of_the_ordinary_is_drawn_as_a_square(page, desk):
    routine_id = desk.routine("Often", {"Greet": "0:20"})
    # Every second number falls between the labels of a narrow axis; no run may go with them.
    for n in range(1, 31):
        split = "0:40" if n in (11, 24) else f"0:{20 + n % 2}"
        desk.paper_run(routine_id, split, when=f"2026-03-{n:02}T12:00")
    page.goto(f"/routines/{routine_id}/drift?open=segments")
    figure = picture(page, "chart")
    told = json.loads(page.locator("#drift-data").text_content())["charts"][0]
    marked = len(told["signals"])
    assert marked >= 2
    assert figure.locator('svg path[fill="#7d5a10"]').count() == marked
    assert figure.locator('svg path[fill="#25221d"]').count() >= len(told["times_s"]) - marked


def test_a_tapped_run_is_read_out_and_can_be_opened(tablet, demo):
    tablet.goto(demo)
    figure = picture(tablet, "behind")
    tap(figure, 0.95, 0.1)
    readout = figure.locator(".readout")
    expect(readout).to_contain_text(re.compile(r"\d+:\d\d.* in all\. At the end of “.+”: .+ late"))
    readout.get_by_role("link", name="Open this run").tap()
    tablet.wait_for_url("**/runs/*")


@pytest.mark.thorough
def test_a_tapped_run_is_chosen_and_drawn_in_brass(tablet, demo):
    tablet.goto(demo)
    figure = picture(tablet, "behind")
    brass = figure.locator('svg path[stroke="#7d5a10"]')
    assert brass.count() == 0
    tap(figure, 0.95, 0.1)
    expect(brass).not_to_have_count(0)
    tap(figure, 0.95, 0.1)
    expect(brass).to_have_count(0)


@pytest.mark.thorough
def test_a_run_of_a_small_picture_is_read_out_beside_its_segment(tablet, demo):
    tablet.goto(demo)
    figure = picture(tablet, "chart")
    tap(figure, 0.95, 0.5)
    expect(tablet.locator("[data-readout]")).to_contain_text(
        re.compile(r"The whole routine, Dress run \(20 November\): 9:4\d")
    )


COLUMNS = {
    "forecasts": r"Before .+: between \d+:\d\d.* and .+It ended at \d+:\d\d",
    "waterfall": r"\d+\. .+: (.+ (over|under)|on plan)|Last run: 9:4",
}


def test_a_tapped_column_is_read_out(tablet, demo):
    tablet.goto(demo)
    for kind, words in COLUMNS.items():
        figure = picture(tablet, kind)
        tap(figure, 0.9, 0.4)
        expect(figure.locator(".readout")).to_contain_text(re.compile(words))


def test_chosen_runs_are_compared_with_the_others(page, demo):
    page.goto(demo)
    figure = picture(page, "behind")
    page.get_by_text("Highlight runs").click()
    page.get_by_label("Slow evening (12 October)").check()
    page.get_by_label("Slow evening again").check()
    expect(figure.locator('svg path[stroke="#7d5a10"]')).not_to_have_count(0)
    page.get_by_role("button", name="Compare them with the others").click()
    expect(page.locator("#result-title")).to_contain_text("(2 runs) against all others (9 runs)")
    assert page.locator("table.differences tbody tr").count() == 18


def test_a_sentence_leads_to_its_evidence(page, demo):
    page.goto(demo)
    link = page.locator(".findings a").nth(1)
    target = link.get_attribute("href").partition("#")[2]
    link.click()
    expect(page.locator(f"#{target}")).to_be_in_viewport()


@pytest.mark.thorough
def test_a_goal_is_set_taken_away_and_brought_back(page, desk):
    routine_id = desk.routine("Goal set", {"Greet": "0:20", "Pour": "1:10"})
    for n in range(6):
        desk.paper_run(routine_id, f"0:2{n}", "1:10", when=f"2026-03-0{n + 1}T12:00")
    page.goto(f"/routines/{routine_id}/drift")
    page.get_by_role("link", name="Set a goal").click()
    page.get_by_label("Not before").fill("1:00")
    page.get_by_label("Not after").fill("1:40")
    page.get_by_role("button", name="Save the goal").click()
    expect(page.locator("#goal")).to_contain_text("Reached")
    page.get_by_role("button", name="Remove the goal").click()
    page.get_by_role("button", name="Undo").click()
    expect(page.locator("#goal")).to_contain_text("3 runs in a row between 1:00 and 1:40")


@pytest.mark.thorough
def test_a_session_is_labelled_from_its_card(page, desk):
    routine_id = desk.routine("Sessions", {"Greet": "0:20"})
    desk.paper_run(routine_id, "0:21")
    page.goto(f"/routines/{routine_id}/drift/sessions")
    page.get_by_role("link", name="Label these runs").click()
    page.get_by_label("Venue").fill("Cellar bar")
    page.get_by_label("coach").check()
    page.get_by_role("button", name="Label 1 run").click()
    expect(page.locator(".run-session h2")).to_have_text("1 Mar 2026, Cellar bar")
    expect(page.locator(".run-tag")).to_have_text("coach")


@pytest.mark.thorough
def test_the_figures_are_read_without_script_too(new_context, demo):
    page = new_context(java_script_enabled=False).new_page()
    page.goto(demo)
    page.get_by_text("Ahead and behind as a table").click()
    assert page.locator("table.splits tbody tr").first.is_visible()
    assert page.get_by_role("button", name="Print this report").count() == 0


CLAIMS = """
async () => {
  const { claims } = await import("/static/js/drift/claims.js");
  const { look } = await import("/static/js/drift/look.js");
  const told = { day: "4 May", name: "run 4", heard: 5, wrong: 1, missed: 2 };
  const data = { claims: [told, { ...told, day: "5 May", name: "run 5", missed: 0 }] };
  const place = document.querySelector(".drawing");
  globalThis.echarts.dispose(place);
  const options = { animation: false, ...claims.options(data, 0, look()) };
  globalThis.echarts.init(place, null, { renderer: "svg" }).setOption(options);
  return claims.read(data, 0, 0.2).text;
}
"""


def test_claims_are_drawn_with_their_kinds_named(page, demo):
    page.goto(demo)
    figure = picture(page, "behind")
    assert page.evaluate(CLAIMS) == "run 4: 5 said, 1 said wrong, 2 missed."
    for kind in ("said", "said wrong", "missed"):
        expect(figure.locator("svg text", has_text=re.compile(f"^{kind}$"))).to_have_count(1)
