"""What holds for every page, whatever it shows."""

import re
from dataclasses import replace
from functools import cache
from urllib.parse import urlsplit

import pytest

from server.demo import demo_file
from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from server.web.frame.layers.security import HEADERS
from tests import factories
from tests.table import table
from tests.web.html import Page, text_of
from tests.web.shelf import keep, keep_run

DEMO = demo_file()
ROUTINE = f"/routines/{DEMO.routine.id}"
RUN = f"/runs/{DEMO.runs[-1].id}"
SEGMENT, PROCESS = DEMO.routine.segments[3], DEMO.routine.processes[0]
DRINK = DEMO.routine.drinks[0]

PAGES = (
    "/",
    "/deleted",
    "/rules",
    "/rules/new",
    f"/rules/{DEMO.rules.id}",
    f"{ROUTINE}/details",
    f"{ROUTINE}/drinks",
    f"{ROUTINE}/drinks?edit=drink-new",
    f"{ROUTINE}/drinks?edit=drink-{DRINK.id}",
    f"{ROUTINE}/drinks?edit=ingredient-{DRINK.ingredients[0].id}",
    f"{ROUTINE}/declaration",
    f"{ROUTINE}/script",
    f"{ROUTINE}/claims",
    f"{ROUTINE}/claims?show=settle",
    f"{ROUTINE}/words",
    f"{ROUTINE}/words?find=ripe+pear",
    f"{ROUTINE}/plan",
    f"{ROUTINE}/plan?edit=segment-{SEGMENT.id}",
    f"{ROUTINE}/plan?edit=process-new",
    f"{ROUTINE}/plan?edit=process-{PROCESS.id}",
    f"{ROUTINE}/plan/risk",
    f"{ROUTINE}/plan/risk?order=yes",
    f"{ROUTINE}/plan/what-if",
    f"{ROUTINE}/plan/what-if?longer={SEGMENT.id}&seconds=-5",
    f"{ROUTINE}/plan/sheet",
    f"{ROUTINE}/rehearse",
    f"{ROUTINE}/runs",
    f"{ROUTINE}/runs?show=all",
    f"{ROUTINE}/runs/by-hand",
    f"{ROUTINE}/drift",
    f"{ROUTINE}/drift?edit=goal",
    f"{ROUTINE}/drift/compare",
    f"{ROUTINE}/drift/compare?first=tag:coach&second=rest",
    f"{ROUTINE}/runs?show=sessions",
    f"{ROUTINE}/runs?show=sessions&edit=session-{DEMO.runs[-1].id}",
    RUN,
    "/trust",
    "/offline",
    "/recordings",
    f"{RUN}/watchers",
    "/join",
)
STAGE = f"{RUN}/stage"
ERRORS = ("/nowhere", "/routines/nobody/plan", "/static/nothing.css")
FILES = (
    f"{ROUTINE}/export.json",
    f"{ROUTINE}/splits.csv",
    f"{ROUTINE}/drift/report.json",
    f"{ROUTINE}/drift/segments.csv",
    "/schema/routine-1.json",
)
ASSETS = (
    "/static/css/frame/tokens.css",
    "/static/js/frame/main.js",
    "/static/vendor/htmx-4.0.1.js",
)
OTHERS = ("/healthz", f"/api{RUN}/events", f"/api{RUN}/live", f"{RUN}/watchers/code.svg")

EMPTY_PAGES = (
    "details",
    "drinks",
    "drinks?edit=drink-new",
    "declaration",
    "script",
    "claims",
    "words",
    "plan",
    "plan/risk",
    "plan/what-if",
    "plan/sheet",
    "rehearse",
    "runs",
    "runs/by-hand",
    "drift",
    "drift?edit=goal",
    "drift/compare",
    "runs?show=sessions",
)


@cache
def answered(demo, path):
    """What the demo answers, asked for once: nobody changes it."""
    return demo.get(path)


@cache
def shown(demo, path):
    """The same, as a page."""
    return Page(answered(demo, path))


@table("path", [*PAGES, STAGE])
def test_every_page_of_the_demo_is_answered(demo, path):
    answer, page = answered(demo, path), shown(demo, path)
    assert answer.status_code == 200
    assert answer.headers["content-type"] == "text/html; charset=utf-8"
    assert len(page.all("h1")) == len(page.all("main")) == len(page.all("head > title")) == 1


@pytest.mark.parametrize("place", EMPTY_PAGES)
def test_every_page_of_an_empty_routine_is_answered(client, place):
    path = keep(client, factories.make_routine(segments=()))
    page = Page(client.get(f"{path}/{place}"))
    assert page.status == 200
    assert page.text(".menu summary") == "Low tide"


@pytest.mark.parametrize("path", ["/", "/rules"])
def test_lists_are_answered_where_nothing_is_kept(client, path):
    assert client.get(path).status_code == 200


@table("path", [*PAGES, STAGE, *ERRORS, *FILES, *ASSETS, *OTHERS])
def test_every_answer_carries_the_security_headers(demo, path):
    headers = answered(demo, path).headers
    assert {name: headers.get(name) for name in HEADERS} == HEADERS


def test_the_policy_lets_a_page_load_nothing_from_elsewhere_and_nothing_inline():
    rules = {
        name: rest for name, *rest in map(str.split, HEADERS["Content-Security-Policy"].split(";"))
    }
    assert rules["default-src"] == rules["script-src"] == rules["style-src"] == ["'self'"]
    assert rules["connect-src"] == rules["form-action"] == ["'self'"]
    assert rules["frame-ancestors"] == rules["object-src"] == rules["base-uri"] == ["'none'"]


ADDRESSES = ("href", "src", "action", "srcset", "poster", "data", "formaction", "hx-get", "hx-post")


@table("path", [*PAGES, STAGE, *ERRORS[:2]])
def test_no_page_names_another_host(demo, path):
    page = shown(demo, path)
    named = [value for each in page.all("*") for key, value in each.items() if key in ADDRESSES]
    assert [
        url for url in named if urlsplit(url).netloc or urlsplit(url).scheme not in ("", "data")
    ] == []


@table("path", [*PAGES, STAGE, *ERRORS[:2]])
def test_no_page_holds_a_script_or_style_of_its_own(demo, path):
    page = shown(demo, path)
    scripts = [each for each in page.all("script") if each.get("type") != "application/json"]
    assert all(each.get("src") and not each.text for each in scripts)
    assert page.all("style, [style]") == []
    handlers = re.compile(r"on[a-z]+|hx-on.*")
    assert [key for each in page.all("*") for key in each.keys() if handlers.fullmatch(key)] == []  # noqa: SIM118


ID = re.compile(r"-[\w.%-]+")


def test_every_page_finds_all_that_it_loads_and_links_to(demo):
    wanted = set()
    for page in (shown(demo, path) for path in PAGES):
        wanted |= {each.get("src") for each in page.all("script[src]")}
        wanted |= {each.get("href") for each in page.all("link[href], a[href]")}
    wanted = {url for url in wanted if not url.startswith("#")}
    # Of links that differ in an id alone (a segment's form, a claim's panel) one is followed.
    alike = {url if "/static/" in url else ID.sub("-", url): url for url in sorted(wanted)}
    answers = {url: answered(demo, url).status_code for url in alike.values()}
    assert {url: status for url, status in answers.items() if status not in (200, 303)} == {}


@table("path", [*PAGES, STAGE])
def test_every_id_on_a_page_is_there_once(demo, path):
    ids = [each.get("id") for each in shown(demo, path).all("[id]")]
    assert sorted(ids) == sorted(set(ids))


@table("path", [*PAGES, STAGE])
def test_every_field_has_a_label_and_every_button_a_name(demo, path):
    page = shown(demo, path)
    labelled = {each.get("for") for each in page.all("label[for]")}
    inside = {each for label in page.all("label") for each in label.iterdescendants()}
    fields = page.all("input:not([type=hidden]), select, textarea")
    assert [f for f in fields if f.get("id") not in labelled and f not in inside] == []
    buttons = [each for each in page.all("button") if not each.get("data-part")]
    assert all(each.text_content().strip() or each.get("aria-label") for each in buttons)


@table("path", PAGES)
def test_a_control_can_be_called_by_the_words_it_shows(demo, path):
    named = shown(demo, path).all("a[aria-label], button[aria-label]")
    labels = {each.get("aria-label"): text_of(each) for each in named}
    words = {name: text for name, text in labels.items() if re.search(r"\w", text)}
    assert [name for name, text in words.items() if text.lower() not in name.lower()] == []


def test_a_page_about_a_routine_says_so_in_its_title(demo):
    titles = {path: shown(demo, path).text("head > title") for path in PAGES if ROUTINE in path}
    assert all(DEMO.routine.name in title for title in titles.values())


# Text that looks like HTML

PLACES = (
    "details", "drinks", "declaration", "script", "claims", "words", "plan", "rehearse", "runs",
    "drift", "runs?show=sessions",
)  # fmt: skip

MARKUP = '<b onclick="x()">&amp;"\'</b><script>alert(1)</script>'


def written_everywhere(client, text, tag):
    """A routine and a run whose every text is this one; the paths that show them."""
    drink = Drink(
        "d1", text, ingredients=(Ingredient("i1", text, Amount(1, "ml"), (text,)),),
        descriptors=(text,),
    )  # fmt: skip
    segments = tuple(
        factories.make_segment(key, name=text, hands=text, said=text, drink_id="d1")
        for key in ("s1", "s2", "s3")
    )
    routine = factories.make_routine(
        name=text, presenter=text, notes=text, drinks=(drink,), segments=segments,
        processes=(factories.make_process(name=text, fallback=text),),
    )  # fmt: skip
    rules = replace(factories.RULES, name=text, notes=text)
    path = keep(client, routine, rules)
    log = factories.make_events({"s1": 60, "s2": 120}, total_s=650)
    notes = (
        factories.make_event("n1", "note", seq=20, at_s=30, text=text),
        factories.make_event("i1", "incident", seq=2, at_s=70, what="spill", segment_id="s2"),
        factories.make_event("n2", "note", seq=21, at_s=80, text=text, target_id="i1"),
    )
    run_id = keep_run(client, routine, (*log, *notes), rules)
    said = {"venue": text, "more_tags": tag}
    client.post(f"/runs/{run_id}", data={"label": text, "notes": text, **said})
    pages = [f"{path}/{place}" for place in PLACES]
    pages += [
        f"{path}/plan?edit=segment-s1",
        f"{path}/drinks?edit=drink-d1",
        f"{path}/runs/by-hand",
    ]
    return ["/", "/rules", "/rules/rules", *pages, f"/runs/{run_id}", f"/runs/{run_id}/stage"]


@pytest.fixture
def marked_up(client):
    """The paths of a routine and a run whose every text looks like HTML."""
    return written_everywhere(client, MARKUP, "<i onclick=x()>")


def test_text_that_looks_like_html_is_shown_as_text(client, marked_up):
    for path in marked_up:
        page = Page(client.get(path))
        assert page.status == 200
        assert page.all("b[onclick], [onclick]") == []
        assert all(
            each.get("src") or each.get("type") == "application/json" for each in page.all("script")
        )
        shown = page.root.text_content() + " ".join(page.root.xpath("//@value"))
        assert MARKUP in shown or "\\u003cb onclick" in shown


def test_text_that_looks_like_html_stays_as_it_was_typed(client, marked_up):
    page = Page(client.get("/routines/r1/plan?edit=segment-s1"))
    assert page.typed("name", "/routines/r1/segments/s1") == MARKUP
    assert page.typed("said", "/routines/r1/segments/s1") == MARKUP


# Words written from right to left

RIGHT_TO_LEFT = "\u05e7\u05e4\u05d4 \u05d8\u05d5\u05d1"
DRAWN_OR_TOLD = {"title", "script", "text", "tspan"}
"""What no direction can be given to: drawings say it another way, a title has none."""


def without_direction(page):
    """Elements that hold words of a person and do not take their direction from them."""
    shown = [
        each
        for each in page.root.iter("*")
        if each.tag not in DRAWN_OR_TOLD and RIGHT_TO_LEFT in "".join(each.xpath("text()"))
    ]
    typed = page.root.xpath("//input[not(@type='hidden' or @type='checkbox')]")
    shown += [each for each in typed if each.get("value") == RIGHT_TO_LEFT]
    return [each for each in shown if each.tag != "bdi" and each.get("dir") != "auto"]


def test_words_of_people_run_in_their_own_direction(client):
    lost = set()
    for path in written_everywhere(client, RIGHT_TO_LEFT, RIGHT_TO_LEFT):
        elements = without_direction(Page(client.get(path)))
        lost |= {f"{path}: <{each.tag}> {text_of(each)[:60]}" for each in elements}
    assert lost == set()
