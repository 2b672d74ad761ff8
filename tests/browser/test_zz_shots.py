SIZES = [(1280, 800), (800, 1280), (360, 640)]


def shots(page, name):
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        page.wait_for_timeout(150)
        page.screenshot(path=f"/tmp/runs_shots/{name}-{width}.png")


def test_shots(page, base_url, desk):
    errors = []
    page.on("pageerror", lambda e: errors.append(str(e)))
    routine = desk.routine("Evening set", {"Welcome": "30", "Brew": "60", "Serve": "45"})
    for n, splits in enumerate((("0:31", "1:02", "0:44"), ("0:29", "1:00", "0:47"))):
        desk.paper_run(routine, *splits, when=f"2026-03-0{n + 1}T12:00")
    page.goto(f"{base_url}/routines/{routine}/try")
    page.wait_for_selector("[data-view=waiting]:not([hidden])")
    shots(page, "try-waiting")
    page.keyboard.press("PageDown")
    page.wait_for_selector("[data-view=running]:not([hidden])")
    page.wait_for_timeout(400)
    shots(page, "try-running")
    for _ in range(3):
        page.keyboard.press("PageDown")
        page.wait_for_timeout(400)
    shots(page, "try-closed")
    run_id = desk.send_form(f"/routines/{routine}/rehearse").split("/")[2]
    page.goto(f"{base_url}/runs/{run_id}/stage")
    page.wait_for_selector("[data-view=waiting]:not([hidden])")
    for _ in range(4):
        page.keyboard.press("PageDown")
        page.wait_for_timeout(400)
    page.wait_for_selector("[data-view=closed]:not([hidden])")
    shots(page, "closed")
    open_id = desk.send_form(f"/routines/{routine}/rehearse").split("/")[2]
    page.goto(f"{base_url}/runs/{open_id}/stage")
    page.wait_for_selector("[data-view=waiting]:not([hidden])")
    page.keyboard.press("PageDown")
    page.wait_for_timeout(500)
    for name, path in (
        ("runs", f"/routines/{routine}/runs"),
        ("rehearse", f"/routines/{routine}/rehearse"),
        ("review", f"/runs/{run_id}"),
        ("sessions", f"/routines/{routine}/drift/sessions"),
        ("plan", f"/routines/{routine}/plan"),
    ):
        page.goto(f"{base_url}{path}")
        shots(page, name)
    assert errors == []
