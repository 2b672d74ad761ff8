"""A part practised on the stage: again from a segment, and from there to its end."""

from tests.browser.stage_page import StagePage, new_run


def test_from_a_finished_run_one_goes_on_with_a_part(page, base_url, desk, server):
    stage = StagePage(page, base_url, new_run(desk)).open()
    for seconds in (0, 30, 60, 90, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    stage.wait_until_sent()
    page.get_by_role("button", name="Again from here: Build").click()
    page.locator("body[data-status=waiting]").wait_for()
    assert stage.text("plan-words") == "Segments 3 to 4 of 4, planned 2:15"
    stage.run_id, stage._data = page.url.split("/")[-2], None
    for seconds in (0, 95, 45):
        stage.wait(seconds)
        stage.press("PageDown")
    assert stage.view == "closed"
    assert stage.text("closed-slot").startswith("Segments 3 to 4 of 4: 5.")
    assert "never as a whole run" in stage.text("asked-why")
    stage.wait_until_sent()
    assert [split is None for split in stage.server_state(server.url).splits_ms] == [False, False]
