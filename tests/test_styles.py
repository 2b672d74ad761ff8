"""Style sheets: what is meant for some pages changes no other page.

All pages load one list of sheets, because a click swaps the body and leaves the head. So a rule
for one page must name something that only this page has.
"""

import re
from pathlib import Path

import pytest

from server.web.frame.bundles import SHEETS
from tests.table import table

ROOT = Path(__file__).resolve().parent.parent
TEMPLATES = ROOT / "templates"
CSS = ROOT / "static" / "css"

SHARED_SHEETS = {
    "frame/tokens.css", "frame/base.css", "frame/layout.css", "frame/forms.css", "frame/tape.css",
    "frame/tables.css", "frame/print.css", "frame/places.css", "frame/parts.css",
    "frame/dark.css",
}  # fmt: skip
PAGE_SHEETS = {
    "plan/plan.css": {"plan", "risk", "what_if"},
    "plan/stage_sheet.css": {"stage_sheet"},
    "drinks/drinks.css": {"drinks", "batch", "versions"},
    "script/claims.css": {"script", "claims", "declaration", "words", "paste"},
    "learn/learn.css": {"learn", "say", "cards"},
    "prepare/prepare.css": {"prepare", "prep", "shopping", "station"},
    "runs/runs.css": {"runs", "review", "paper", "versus", "drift", "take"},
    "drift/drift.css": {"drift", "versus"},
    "today/today.css": {"today"},
    "heard/heard.css": {"heard", "takes", "take"},
    "frame/device.css": {
        "recovery_codes",
        "sign_in",
        "trust",
        "recordings",
        "deleted",
        "review",
        "device_list",
        "take",
    },
    "tasters/tasters.css": {
        "tastings",
        "tasting",
        "serving",
        "order",
        "taste_join",
        "taste_card",
        "tasters",
    },
}
"""Sheet -> the folders of templates it is meant for."""

ON_THEIR_OWN = {"stage", "watching"}
"""Pages that load none of these sheets."""


def selectors_in(css):
    """Every selector of a style sheet, the parts of a list one by one."""
    css = re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL)
    preludes = re.findall(r"([^{};]+)\{", css)
    lists = [each.strip() for each in preludes if not each.strip().startswith("@")]
    return [one.strip() for each in lists for one in re.split(r",(?![^(]*\))", each)]


def selectors_of(sheet):
    return selectors_in((CSS / sheet).read_text(encoding="utf-8"))


def classes_in(selector):
    return set(re.findall(r"\.([a-zA-Z][\w-]*)", selector))


def classes_of(sheet):
    return set().union(*map(classes_in, selectors_of(sheet)))


def words_of_classes(template):
    """Every word that may become a class in a template."""
    attributes = re.findall(r"class=\"((?:[^\"{]|\{\{.*?\}\}|\{%.*?%\}|\{)*)\"", template)
    return set(re.findall(r"[a-zA-Z][\w-]*", " ".join(attributes)))


def folders_of_templates():
    return sorted({path.parent for path in TEMPLATES.rglob("*.html")})


def classes_used_beside(folders):
    """What may stand as a class in the templates of all other pages."""
    others = [p for p in folders_of_templates() if p.name not in folders | ON_THEIR_OWN]
    files = [path for folder in others for path in folder.glob("*.html")]
    return set().union(*(words_of_classes(path.read_text(encoding="utf-8")) for path in files))


def foreign_rules(sheet):
    """Selectors of a page's sheet that no class of its own holds to its pages."""
    others = [each for each in SHARED_SHEETS | set(PAGE_SHEETS) if each != sheet]
    taken = set().union(*map(classes_of, others)) | classes_used_beside(PAGE_SHEETS[sheet])
    return [each for each in selectors_of(sheet) if not classes_in(each) - taken]


def test_every_sheet_is_either_for_all_pages_or_for_named_ones():
    base = (TEMPLATES / "frame/base.html").read_text("utf-8")
    linked = set(re.findall(r"/static/(css/[\w./]+)", base))
    loaded = [part for sheet in linked for part in SHEETS.get(sheet, (sheet,))]
    assert sorted(loaded) == sorted(f"css/{each}" for each in SHARED_SHEETS | set(PAGE_SHEETS))
    folders = {path.name for path in folders_of_templates()}
    assert set().union(*PAGE_SHEETS.values()) <= folders


@table("sheet", sorted(PAGE_SHEETS))
def test_a_rule_for_some_pages_changes_no_other_page(sheet):
    assert foreign_rules(sheet) == []


ALIKE_IN_EVERY_FRAME = {"button", "notice", "plain"}
"""Classes that stage and watchers rule for themselves and that mean what they mean elsewhere."""


def begun_by(sheet):
    """The classes that a rule of a sheet begins with, unless one of its own stands beside them."""
    firsts = (re.split(r"[\s>+~]+(?![^(]*\))", each)[0] for each in selectors_of(sheet))
    return {next(iter(classes_in(each))) for each in firsts if len(classes_in(each)) == 1}


def begun_twice(sheets):
    """Class -> those of the sheets that begin a rule with it, where there are several."""
    begun = {sheet: begun_by(sheet) for sheet in sorted(sheets)}
    every = set().union(*begun.values())
    found = {name: [sheet for sheet in begun if name in begun[sheet]] for name in sorted(every)}
    return {name: where for name, where in found.items() if len(where) > 1}


def test_a_box_that_scrolls_holds_what_is_placed_in_it():
    # Else a label for screen readers far down in it makes the page as long as what it scrolls.
    loose = [
        f"{sheet.relative_to(CSS)}: {rule.split('{')[0].strip()}"
        for sheet in sorted(CSS.rglob("*.css"))
        for rule in re.findall(r"[^{}]+\{[^{}]*\}", sheet.read_text())
        if re.search(r"overflow(-y)?: auto", rule)
        and (".panel" not in rule or "position: static" in rule)
        and not re.search(r"position: (relative|sticky|fixed|absolute)", rule)
    ]
    assert loose == []


def test_a_class_is_ruled_in_one_place():
    shared = SHARED_SHEETS - {"frame/print.css"}
    assert begun_twice(shared) == {}
    own_frames = {each for room in OWN_FRAMES for each in sheets_in(room)}
    of_shared = set().union(*map(begun_by, shared))
    twice = begun_twice(set(PAGE_SHEETS) | own_frames)
    assert {name: where for name, where in twice.items() if name not in of_shared} == {}
    again = {each: begun_by(each) & of_shared - ALIKE_IN_EVERY_FRAME for each in own_frames}
    assert {sheet: names for sheet, names in again.items() if names} == {}


OWN_FRAMES = {
    "stage": {"run/ground.css"},
    "watching": {"run/ground.css", "stage/stage_tape.css"},
}
"""Room of a page with sheets of its own -> what it shares with another on purpose."""


def sheets_in(room):
    return {path.relative_to(CSS).as_posix() for path in (CSS / room).glob("*.css")}


@pytest.mark.parametrize("room", OWN_FRAMES)
def test_a_page_of_its_own_frame_loads_the_sheets_of_its_room_and_no_other(room):
    page = (TEMPLATES / room / "page.html").read_text("utf-8")
    (linked,) = re.findall(r"/static/(css/[\w./]+)", page)
    allowed = {"frame/tokens.css"} | sheets_in(room) | OWN_FRAMES[room]
    assert sorted(SHEETS[linked]) == sorted(f"css/{each}" for each in allowed)


def test_no_class_is_ruled_by_two_sheets_of_the_stage_and_of_those_who_watch():
    ruled = {sheet: classes_of(sheet) for room in OWN_FRAMES for sheet in sorted(sheets_in(room))}
    twice = {
        name: [sheet for sheet, names in ruled.items() if name in names]
        for name in set().union(*ruled.values())
        if sum(name in names for names in ruled.values()) > 1
    }
    assert twice == {}


def test_the_sign_of_a_notice_stands_in_its_sentence_and_not_on_a_line_of_its_own():
    # What stands in a notice wraps part by part, and a narrow screen would part the two.
    alone = re.compile(r'class="notice"[^>]*><span aria-hidden')
    templates = TEMPLATES.rglob("*.html")
    assert [path.name for path in templates if alone.search(path.read_text("utf-8"))] == []
