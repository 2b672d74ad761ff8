"""The run looked at beside the list, on a phone."""

from tests.browser.desk import Desk


def sheet_of(desk: Desk, slot: str, target: str) -> str:
    """The id of a new rule sheet with that slot."""
    fields = {"name": slot, "slot": slot, "target": target, "serves": "4", "penalty": "1"}
    answer = desk.post("/rules/new", data={**fields, "every": "0:01"})
    return answer.url.fragment.removeprefix("sheet-")


def test_the_day_of_a_run_stays_on_one_line_beside_the_slot_it_was_made_for(new_context, desk):
    routine = desk.routine("Cut", {"Greet": "9:00"})
    desk.paper_run(routine, "9:55")
    fields = {"name": "Cut", "language": "en", "rules": sheet_of(desk, "8:00", "7:50")}
    desk.post(f"/routines/{routine}/details", data=fields)
    page = new_context(viewport={"width": 360, "height": 640}).new_page()
    page.goto(f"/routines/{routine}/runs")
    page.locator("main a[href*='open=run-']").first.click()
    head = page.locator(".chosen-head")
    head.get_by_text("slot then 10:00").wait_for()
    # What opens is swapped in: until it is laid out it has no height.
    page.wait_for_function(
        "() => Math.round(document.querySelector('.chosen-head h2').getBoundingClientRect().height"
        " / 25.6) === 1"
    )
