"""Every page in every state that a person meets it in: how to get there, given what a page shows.

`{demo}` is the demo routine, `{set}` a small one with a run, `{run}` that run, `{bare}` a routine
with nothing in it; `{gone}` and `{lost}` are a routine and a run for being deleted. `{waiting}`,
`{started}` and `{over}` are runs of the demo as those who watch meet them.
"""

from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page

from tests.browser.desk import Desk

DEMO = "/routines/routine-demo"
LONG = "x" * 400


@dataclass(frozen=True)
class State:
    """A page in a state: where it is, and what to do there; `act` may be nothing."""

    path: str
    act: Callable[[Page], None] = lambda page: None

    def show(self, page: Page, places: dict[str, str]) -> None:
        """Go there."""
        page.goto(self.path.format(**places))
        self.act(page)


def laid_out(desk: Desk) -> dict[str, str]:
    """Routines and runs as the places that the addresses of states name."""
    routine_id = desk.routine("Evening set", {"Greet": "0:20", "Pour": "1:10"})
    run_id = desk.paper_run(routine_id, "0:22", "1:31", **{"what-1": "spill", "at-1": "0:30"})
    return {
        "demo": DEMO,
        "set": f"/routines/{routine_id}",
        "run": f"/runs/{run_id}",
        "bare": f"/routines/{desk.routine('Bare')}",
        "gone": f"/routines/{desk.routine('Gone')}",
        "lost": f"/runs/{desk.paper_run(routine_id, '0:20', '1:20')}",
        "waiting": watched_run(desk, 0),
        "started": watched_run(desk, 4),
        "over": watched_run(desk, 6),
    }


def watched_run(desk: Desk, number: int) -> str:
    """A run of the demo with so many of some marks and remarks."""
    path = desk.send_form(f"{DEMO}/rehearse").removesuffix("/stage")
    marks: list[dict[str, object]] = [
        {"kind": "start"},
        {"kind": "done", "segment_id": "seg-welcome", "mono_ms": 31_000},
        {"kind": "note", "text": "Look up.", "who": "Ada", "at_ms": 40_000.0},
        {"kind": "incident", "what": "spill", "who": "Ada", "at_ms": 41_000.0},
        {"kind": "finish", "mono_ms": 590_000},
        {"kind": "score", "criterion": "crit-flow", "points": 8, "who": "Ada", "at_ms": 590_000.0},
    ]
    common = {"device_id": "d", "boot_id": "b", "wall_ms": 0, "mono_ms": 0}
    events = [
        {**common, **mark, "seq": seq, "id": f"{path[-16:]}-{seq}"}
        for seq, mark in enumerate(marks[:number])
    ]
    if events:
        desk.post(f"/api{path}/events", json={"events": events}).raise_for_status()
    return path


def watch(page: Page) -> None:
    """Open the run to watchers, join it, and wait until it is followed."""
    page.get_by_role("button", name="Open to watchers").or_(page.locator("#code")).first.wait_for()
    if not page.locator("#code").count():
        page.get_by_role("button", name="Open to watchers").click()
    code = page.locator("#code").inner_text()
    page.goto(f"/join?code={code}")
    page.get_by_label("Your name").fill("Ada")
    page.get_by_role("button", name="Watch").click()
    page.locator("[data-part=link]", has_text="presenter").or_(
        page.locator("[data-part=link]", has_text="live")
    ).wait_for()


def watch_light(page: Page) -> None:
    """Watch on the light ground."""
    watch(page)
    page.get_by_role("button", name="Light").or_(page.get_by_role("button", name="Dark")).click()


def refuse_points(page: Page) -> None:
    """Watch, and give more points than there are."""
    watch(page)
    page.get_by_label("Flow of the work").fill("99")
    page.get_by_label("Flow of the work").press("Tab")
    page.locator(".fault:not([hidden])").wait_for()


def press(name: str, *, sign: str = ".fault", **fields: str) -> Callable[[Page], None]:
    """Fill fields by their labels, press a button, and wait for the sign that it was answered."""

    def act(page: Page) -> None:
        for label, text in fields.items():
            page.get_by_label(label.replace("_", " ")).first.fill(text)
        page.get_by_role("button", name=name, exact=True).first.click()
        page.locator(sign).first.wait_for()

    return act


STATES = {
    "routines": State("/"),
    "routine refused": State("/", press("Create routine", Name=" ")),
    "routine deleted": State("{gone}/details", press("Delete this routine", sign=".notice")),
    "import refused": State("/", press("Import")),
    "details": State("{demo}/details"),
    "details refused": State("{set}/details", press("Save", Name="")),
    "drinks": State("{demo}/drinks"),
    "no drinks": State("{bare}/drinks"),
    "drink edited": State("{demo}/drinks?edit=drink-drink-lamp"),
    "drink added": State("{bare}/drinks?edit=drink-new"),
    "drink refused": State("{bare}/drinks?edit=drink-new", press("Save", Serves="0")),
    "ingredient edited": State("{demo}/drinks?edit=ingredient-in-pear"),
    "ingredient refused": State("{demo}/drinks", press("Add", Amount="some")),
    "ingredient made of too much": State(
        "{demo}/drinks?edit=ingredient-in-pear", press("Save", **{"Strength, % vol": "140"})
    ),
    "step edited": State("{demo}/drinks?edit=step-step-stir"),
    "step refused": State("{demo}/drinks?edit=step-new-drink-lamp", press("Save")),
    "batch": State("{demo}/drinks/drink-lamp/batch"),
    "batch refused": State("{demo}/drinks/drink-lamp/batch", press("Work out", Spare_serves="-1")),
    "versions": State("{demo}/drinks/compare"),
    "no versions": State("{bare}/drinks/compare"),
    "plan": State("{demo}/plan"),
    "no segments": State("{bare}/plan"),
    "segment edited": State("{demo}/plan?edit=segment-seg-drip"),
    "segment refused": State("{demo}/plan?edit=segment-seg-drip", press("Save", Lowest="9:00")),
    "quick segment refused": State("{set}/plan", press("Add segment", Duration="soon")),
    "process edited": State("{demo}/plan?edit=process-proc-drip"),
    "process refused": State("{set}/plan?edit=process-new", press("Save", Likely="1")),
    "plan over the slot": State(
        "{set}/plan", press("Add segment", sign=".overrun", New_segment="Wait", Duration="20m")
    ),
    "rehearse": State("{demo}/rehearse"),
    "nothing to rehearse": State("{bare}/rehearse"),
    "runs": State("{demo}/runs"),
    "no runs": State("{bare}/runs"),
    "run": State("/runs/run-demo-06"),
    "run with incident": State("{run}"),
    "run refused": State("{run}", press("Save", Name_of_this_run=LONG)),
    "run deleted": State("{lost}", press("Delete this run", sign=".notice")),
    "run with remarks": State("{over}"),
    "remark deleted": State("{over}", press("Delete: Look up.", sign=".notice")),
    "points refused": State("{over}", press("Save your points", Your_points_for_Tidy_bench="6")),
    "watchers": State("{waiting}/watchers"),
    "open to watchers": State("{started}/watchers", press("Open to watchers", sign="#code")),
    "join": State("/join"),
    "join refused": State("/join", press("Watch", Code="AAAAAA")),
    "watch before the start": State("{waiting}/watchers", watch),
    "watch": State("{started}/watchers", watch),
    "watch on the other ground": State("{started}/watchers", watch_light),
    "watch after the end": State("{over}/watchers", watch),
    "watch with points refused": State("{over}/watchers", refuse_points),
    "by hand": State("{demo}/runs/by-hand"),
    "by hand refused": State("{set}/runs/by-hand", press("Save the run", Total="late")),
    "nothing to enter": State("{bare}/runs/by-hand"),
    "rule sheets": State("/rules"),
    "rule sheet": State("/rules/rules-house"),
    "rule sheet refused": State(
        "/rules/new", press("Save", Slot_length="never", Points_a_second="-1")
    ),
    "criterion refused": State("/rules/rules-house", press("Save", Most_points="0")),
    "rule sheet in use": State(
        "/rules", press("Delete House rehearsal rules (invented)", sign="text=is used by")
    ),
    "not found": State("/routines/nobody/plan"),
}  # fmt: skip
"""State in words -> how to get there."""
