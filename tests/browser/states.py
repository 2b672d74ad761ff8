"""Every page in every state that a person meets it in: how to get there, given what a page shows.

`{demo}` is the demo routine, `{set}` a small one with a run, `{run}` that run, `{bare}` a routine
with nothing in it; `{heard}` is a run with a recording, `{gone}` and `{lost}` are
a routine and a run for being deleted.
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
    heard_id = desk.paper_run(routine_id, "0:01", "0:02")
    recording_id = desk.recording(heard_id)
    return {
        "heard": f"/runs/{heard_id}",
        "recording": f"recording-{recording_id}",
        "demo": DEMO,
        "set": f"/routines/{routine_id}",
        "run": f"/runs/{run_id}",
        "bare": f"/routines/{desk.routine('Bare')}",
        "gone": f"/routines/{desk.routine('Gone')}",
        "lost": f"/runs/{desk.paper_run(routine_id, '0:20', '1:20')}",
    }


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
    "run with recording": State("{heard}"),
    "recording about to be deleted": State("{heard}?edit={recording}"),
    "recordings": State("/recordings"),
    "recordings, one about to be deleted": State("/recordings?edit={recording}"),
    "run refused": State("{run}", press("Save", Name_of_this_run=LONG)),
    "run deleted": State("{lost}", press("Delete this run", sign=".notice")),
    "by hand": State("{demo}/runs/by-hand"),
    "by hand refused": State("{set}/runs/by-hand", press("Save the run", Total="late")),
    "nothing to enter": State("{bare}/runs/by-hand"),
    "rule sheets": State("/rules"),
    "rule sheet": State("/rules/rules-house"),
    "rule sheet refused": State(
        "/rules/new", press("Save", Slot_length="never", Points_a_second="-1")
    ),
    "rule sheet in use": State(
        "/rules", press("Delete House rehearsal rules (invented)", sign="text=is used by")
    ),
    "trust without https": State("/trust"),
    "server away": State("/offline"),
    "not found": State("/routines/nobody/plan"),
}  # fmt: skip
"""State in words -> how to get there."""
