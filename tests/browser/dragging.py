"""Things dragged from one place to another, by mouse and by finger."""


def middle(locator):
    box = locator.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def way(page, start, end, steps=12):
    """Points on the way from one place to another, at the pace of a hand."""
    for step in range(steps + 1):
        yield tuple(a + (b - a) * step / steps for a, b in zip(start, end, strict=True))
        page.wait_for_timeout(25)


def drag_by_mouse(page, start, end):
    page.mouse.move(*start)
    page.mouse.down()
    for x, y in way(page, start, end):
        page.mouse.move(x, y)
    page.mouse.up()


def drag_by_finger(page, start, end):
    """What the screen tells the browser when a finger goes down, moves and is lifted."""
    screen = page.context.new_cdp_session(page)
    for x, y in way(page, start, end):
        kind = "touchStart" if (x, y) == start else "touchMove"
        touch = {"type": kind, "touchPoints": [{"x": x, "y": y}]}
        screen.send("Input.dispatchTouchEvent", touch)
    screen.send("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})
