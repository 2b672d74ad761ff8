"""The readings of the time calls follow the typing, in the browser."""

from playwright.sync_api import expect


def test_typing_a_call_shows_both_readings_and_its_doubt(page):
    page.goto("/rules/new")
    page.get_by_label("Slot length").fill("12:00")
    page.locator("#f-calls").fill("0:30 Thirty seconds left")
    readings = page.locator("#call-readings")
    expect(readings.locator("tbody td").nth(1)).to_have_text("11:30")
    expect(readings.locator(".fault")).to_contain_text("belongs at 11:30 on the clock")
    page.get_by_label("Slot length").fill("10:00")
    expect(readings.locator("tbody td").nth(1)).to_have_text("9:30")
    # On a phone, too, the words stand in view beside their times.
    page.set_viewport_size({"width": 360, "height": 640})
    frame = readings.locator(".table-frame")
    assert frame.evaluate("frame => frame.scrollWidth <= frame.clientWidth")
