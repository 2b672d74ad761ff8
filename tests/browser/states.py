"""Every page in every state that a person meets it in: how to get there, given what a page shows.

`{demo}` is the demo routine, `{set}` a small one with a run, `{run}` that run, `{bare}` a routine
with nothing in it; `{heard}` is a run with a recording, `{gone}` and `{lost}` are
a routine and a run for being deleted. `{waiting}`, `{started}` and `{over}` are runs of the demo
as those who watch meet them.
"""

from collections.abc import Callable
from dataclasses import dataclass

from playwright.sync_api import Page

from tests.browser.desk import Desk
from tests.domain.base.test_audio import wav

DEMO = "/routines/routine-demo"
LONG = "x" * 400
MARK = '{"id": "e0", "seq": 0, "kind": "start", "wall_ms": 0}'

TAKE = "WEBVTT\n\n00:01.000 --> 00:09.000\nGood evening and welcome to the counter\n"


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
    desk.post(f"/music/{routine_id}", files={"music": ("Tide.wav", wav(2))})
    run_id = desk.paper_run(routine_id, "0:22", "1:31", **{"what-1": "spill", "at-1": "0:30"})
    heard_id = desk.paper_run(routine_id, "0:01", "0:02")
    recording_id = desk.recording(heard_id)
    captions = {"captions": ("take.vtt", TAKE)}
    take = desk.post(f"/takes/of/{routine_id}", files=captions, follow_redirects=False)
    return {
        "heard": f"/runs/{heard_id}",
        "recording": f"recording-{recording_id}",
        "demo": DEMO,
        "set": f"/routines/{routine_id}",
        "run": f"/runs/{run_id}",
        "bare": f"/routines/{desk.routine('Bare')}",
        "gone": f"/routines/{desk.routine('Gone')}",
        "lost": f"/runs/{desk.paper_run(routine_id, '0:20', '1:20')}",
        "waiting": watched_run(desk, 0),
        "started": watched_run(desk, 4),
        "over": watched_run(desk, 6),
        "take": take.headers["location"],
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
    page.goto(f"/join#{code}")
    page.get_by_label("Your name").fill("Ada")
    page.get_by_role("button", name="Watch").click()
    # Where no presenter is there, it takes a while until the page says so.
    page.locator("body:is([data-link=good], [data-link=bad])").wait_for(timeout=15_000)


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


def follow(name: str) -> Callable[[Page], None]:
    """Click a link, and wait for the form that it opens."""

    def act(page: Page) -> None:
        page.get_by_role("link", name=name, exact=True).first.click()
        page.locator("form.inline").wait_for()

    return act


def misread(page: Page) -> None:
    """Open a claim and the form that says it was misread."""
    page.locator(".line-open", has_text="30 ml of Lemon juice").click()
    page.get_by_text("Misread?").click()


def correct_without_a_word(page: Page) -> None:
    """Say that a find means another flavour, and leave that empty."""
    misread(page)
    page.get_by_label("It means this flavour").check()
    page.get_by_role("button", name="Correct it").click()
    page.locator(".fault").first.wait_for()


def write_too_much(page: Page) -> None:
    """Write more into a segment than one may hold."""
    page.locator("[data-writing] textarea").fill("x" * 20_001)
    page.get_by_role("button", name="Done").click()
    page.locator(".said .fault").first.wait_for()


def paste_a_talk(page: Page) -> None:
    """Have a talk cut into segments."""
    page.get_by_label("The talk").fill("Good evening. I am Runa.\n\nThis is plum. Thank you.")
    page.get_by_role("button", name="Cut it into segments").click()
    page.locator(".part-said").first.wait_for()


def figures(page: Page) -> None:
    """Wait until the figures beside the tape are there."""
    page.locator("[data-figure^='inside:']").wait_for()


def refuse_step(page: Page) -> None:
    """Ask for a step that is no number."""
    page.locator("summary", has_text="Make a segment longer").click()
    page.get_by_label("Segment", exact=True).select_option(index=1)
    press("Compare", By_seconds="soon")(page)


def edit_first(page: Page) -> None:
    """Open the first segment and let it wait for the last."""
    page.locator(".plan-row a").first.click()
    page.get_by_role("link", name="More of").click()
    choice = page.get_by_label("Waits for", exact=True)
    choice.select_option(choice.locator("option").last.inner_text())


def drawn(page: Page) -> None:
    """Wait until the first picture is there, if there is one to come."""
    if page.locator("[data-picture]").count():
        page.locator("[data-picture]").first.scroll_into_view_if_needed()
        page.locator("[data-picture] svg").first.wait_for()


def opened(page: Page) -> None:
    """Open whatever is folded away."""
    page.locator("details").evaluate_all("all => all.forEach(one => (one.open = true))")


def leave_marks_behind(page: Page) -> None:
    """Leave a mark on the device that the server cannot be told of, and come again."""
    page.route("**/api/runs/*/events*", lambda route: route.abort())
    page.evaluate(f"localStorage.setItem('ninefifty.event.lost.e0', '{MARK}')")
    page.reload()
    page.get_by_text("not yet on the server").wait_for()


def next_sentence(page: Page) -> None:
    """Say a sentence of a segment that is learnt, and go on."""
    page.get_by_role("button", name="Next").click()


STATES = {
    "routines": State("/"),
    "routine refused": State("/", press("Create routine", Name=" ")),
    "routine deleted": State("{gone}/details", press("Delete this routine", sign=".notice")),
    "import refused": State(
        "/", lambda page: (page.get_by_text("Import a routine").click(), press("Import")(page))
    ),
    "today": State("{demo}"),
    "today without a segment": State("{bare}"),
    "details": State("{demo}/details"),
    "details refused": State("{set}/details", press("Save", Name="")),
    "drinks": State("{demo}/drinks"),
    "no drinks": State("{bare}/drinks"),
    "drink edited": State("{demo}/drinks?edit=drink-drink-lamp"),
    "drink added": State("{bare}/drinks?edit=drink-new"),
    "drink refused": State("{bare}/drinks?edit=drink-new", press("Save", Serves="0")),
    "ingredient edited": State("{demo}/drinks?edit=ingredient-in-pear"),
    "ingredient refused": State(
        "{demo}/drinks?edit=ingredient-drink-lamp", press("Add", Amount="some")
    ),
    "ingredient made of too much": State(
        "{demo}/drinks?edit=ingredient-in-pear", press("Save", **{"Strength, % vol": "140"})
    ),
    "step edited": State("{demo}/drinks?edit=step-step-stir"),
    "step refused": State("{demo}/drinks?edit=step-new-drink-lamp", press("Save")),
    "one drink": State("{demo}/drinks?show=drink-lamp"),
    "all figures": State("{demo}/drinks?open=figures"),
    "temperatures": State("{demo}/drinks?open=temperature"),
    "pasted recipe": State("{demo}/drinks?open=lines-drink-lamp&text=45 ml gin, 2 dashes bitters"),
    "batch": State("{demo}/drinks/drink-lamp/batch"),
    "batch refused": State("{demo}/drinks/drink-lamp/batch", press("Scale", Spare_serves="-1")),
    "calculators": State("/calculators"),
    "calculator refused": State("/calculators?of=thin-syrup&to_brix=80"),
    "versions": State("{demo}/drinks/compare"),
    "no versions": State("{bare}/drinks/compare"),
    "declaration": State("{demo}/declaration"),
    "nothing to declare": State("{bare}/declaration"),
    "script": State("{demo}/script"),
    "nothing to say": State("{bare}/script"),
    "script without words": State("{set}/script"),
    "script refused": State("{set}/script?write=yes", write_too_much),
    "sentence looked at": State("{demo}/script?open=sentence-seg-drip-1"),
    "talk to paste": State("{demo}/script/paste"),
    "talk pasted": State("{demo}/script/paste", paste_a_talk),
    "claims": State("{demo}/claims"),
    "no claims": State("{bare}/claims"),
    "claims being narrowed": State(
        "{demo}/claims", lambda page: page.locator(".narrow-menu > summary").click()
    ),
    "claims narrowed to none": State("{demo}/claims?show=settle&kind=serves"),
    "claim being corrected": State("{demo}/claims", misread),
    "correction refused": State("{demo}/claims", correct_without_a_word),
    "missed claim refused": State("{demo}/claims?open=missed", press("Add the claim")),
    "words": State("{demo}/words?find=ripe+pear", opened),
    "word refused": State("{set}/words", press("Add the word", A_kind_of="gravel")),
    "learning": State("{demo}/learn"),
    "learning aimed": State("{demo}/learn?edit=aim"),
    "nothing to learn": State("{bare}/learn"),
    "said by heart": State("{demo}/learn/say?segment=seg-welcome&step=4", next_sentence),
    "the day's sayings": State("{demo}/learn/say"),
    "cue cards": State("{demo}/learn/cards"),
    "plan": State("{demo}/plan", figures),
    "plan with a segment open": State("{demo}/plan?open=segment-seg-espresso", figures),
    "plan with a process open": State("{demo}/plan?open=process-proc-drip", figures),
    "plan explained": State("{demo}/plan", lambda page: page.locator(".legend > summary").click()),
    "segment woven among others": State("{demo}/plan?edit=segment-seg-cups"),
    "circle of links refused": State(
        "{set}/plan", lambda page: (edit_first(page), press("Save")(page))
    ),
    "readings refused": State(
        "{demo}/plan?edit=process-proc-drip", press("Save", The_batch="none")
    ),
    "risk": State("{demo}/plan/risk"),
    "risk with an order": State("{demo}/plan/risk?order=yes"),
    "no risk": State("{bare}/plan/risk"),
    "risk refused": State("{set}/plan/risk?level=100"),
    "what if": State("{demo}/plan/what-if"),
    "what if, before and after": State(
        "{demo}/plan/what-if?longer=seg-drip&seconds=-5&help=seg-cups"
    ),
    "what if refused": State("{demo}/plan/what-if", refuse_step),
    "nothing to try": State("{bare}/plan/what-if"),
    "stage sheet": State("{demo}/plan/sheet"),
    "no stage sheet": State("{bare}/plan/sheet"),
    "no segments": State("{bare}/plan"),
    "segment edited": State("{demo}/plan?edit=segment-seg-drip"),
    "segment refused": State("{demo}/plan?edit=segment-seg-drip", press("Save", Lowest="9:00")),
    "quick segment refused": State("{set}/plan", press("Add segment", Duration="soon")),
    "process edited": State("{demo}/plan?edit=process-proc-drip"),
    "process refused": State("{set}/plan?edit=process-new", press("Save", Likely="1")),
    "kit": State("{demo}/prepare"),
    "kit with a thing open": State("{demo}/prepare?open=tool:thermometer"),
    "kit with a form": State("{demo}/prepare?edit=thing-new"),
    "made ahead": State("{demo}/prep"),
    "made ahead with a task open": State("{demo}/prep?edit=task-task-cordial"),
    "shopping": State("{demo}/shopping"),
    "station": State("{demo}/station"),
    "station with a thing open": State("{demo}/station?edit=spot-spot-wine"),
    "tastings": State("{demo}/tastings"),
    "blind list to be set up": State("{demo}/tastings?edit=list"),
    "difference to be set up": State("{demo}/tastings?edit=pairs"),
    "serving order": State("{demo}/tastings/order"),
    "plan over the slot": State(
        "{set}/plan", press("Add segment", sign=".overrun", New_segment="Wait", Duration="20m")
    ),
    "rehearse": State("{demo}/rehearse"),
    "marks not yet sent": State("{demo}/rehearse", leave_marks_behind),
    "rehearse with music": State("{set}/rehearse"),
    "music refused": State("{demo}/rehearse", press("Upload", sign="#music-fault1")),
    "nothing to rehearse": State("{bare}/rehearse"),
    "runs": State("{demo}/runs"),
    "no runs": State("{bare}/runs"),
    "run": State("/runs/run-demo-06"),
    "run with incident": State("{run}"),
    "run with recording": State("{heard}"),
    "recording about to be deleted": State("{heard}?edit={recording}"),
    "deleted things": State("/deleted"),
    "devices": State("/devices"),
    "recordings": State("/recordings"),
    "recordings, one about to be deleted": State("/recordings?edit={recording}"),
    "run refused": State("{run}?edit=about", press("Save", Name_of_this_run=LONG)),
    "run deleted": State("{lost}?edit=about", press("Delete this run", sign=".notice")),
    "run with remarks": State("{over}"),
    "remark deleted": State("{over}?open=remarks", press("Delete: Look up.", sign=".notice")),
    "points refused": State(
        "{over}?open=points", press("Save your points", Your_points_for_Tidy_bench="6")
    ),
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
    "run with a tag refused": State("{run}?edit=about", press("Save", Other_tags=LONG)),
    "drift": State("{demo}/drift", drawn),
    "drift after one run": State("{set}/drift", drawn),
    "drift without runs": State("{bare}/drift"),
    "drift with its tables open": State("{demo}/drift?open=report", opened),
    "goal edited": State("{demo}/drift?edit=goal"),
    "goal refused": State("{demo}/drift?edit=goal", press("Save the goal", Not_after="9:00")),
    "goal removed": State("{set}/drift?goal=removed"),
    "two groups": State("{demo}/drift/compare?first=tag:coach&second=tag:alone"),
    "two groups of which one is empty": State("{demo}/drift/compare?first=run:x&second=rest"),
    "two groups refused": State("{demo}/drift/compare?first_since=soon"),
    "nothing to compare": State("{bare}/drift/compare"),
    "sessions": State("{demo}/runs?show=sessions"),
    "no sessions": State("{bare}/runs?show=sessions"),
    "session labelled": State("{demo}/runs?show=sessions&edit=session-run-demo-06"),
    "session refused": State(
        "{demo}/runs?show=sessions&edit=session-run-demo-06", press("Label 1 run", Venue=LONG)
    ),
    "rule sheets": State("/rules"),
    "rule sheet": State("/rules/rules-house"),
    "rule sheet refused": State(
        "/rules/new", press("Save", Slot_length="never", Points_lost="-1")
    ),
    "criterion refused": State(
        "/rules/rules-house",
        lambda page: (page.get_by_text("Criteria").first.click(), press("Save", Out_of="0")(page)),
    ),
    "rule sheet in use": State(
        "/rules", press("Delete House rehearsal rules (invented)", sign="text=is used by")
    ),
    "trust without https": State("/trust"),
    "server away": State("/offline"),
    "not found": State("/routines/nobody/plan"),
    "from a recording": State("{demo}/takes"),
    "take": State("{take}"),
    "take about to be deleted": State("{take}?edit=delete"),
}  # fmt: skip
"""State in words -> how to get there."""
