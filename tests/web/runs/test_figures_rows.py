"""The table of splits where there are many runs: kept rows, and the latest ones first."""

import asyncio
from dataclasses import replace

import httpx
from hypothesis import given, settings
from hypothesis import strategies as st

from server.domain.runs.compare import compare
from server.domain.runs.labels import Occasion
from server.web.runs import listing, pages, split_rows
from server.web.runs.split_rows import run_rows
from tests.factories import RULES, make_line
from tests.owner import COOKIES
from tests.web.conftest import ORIGIN
from tests.web.html import Page
from tests.web.practice import PLAN, practise

RUN = [180, 200, 205]
MORE = "a[href$='#splits-title']"
LINES = [
    make_line(585.0 + n, {"s1": 180.0 + n, "s2": 200.0, "s3": 205.0}, id=f"row-{n}")
    for n in range(4)
]
OUT = Occasion(left_out=("s2",))


def other_split(line):
    splits = line.summary.splits_ms | {"s1": 181_500}
    return replace(line, summary=replace(line.summary, splits_ms=splits))


OF_A_RUN = {
    "a name": lambda line: replace(line, label=f"{line.label}<x>"),
    "taken out": lambda line: replace(line, excluded=not line.excluded),
    "another total": lambda line: replace(line, total_ms=line.total_ms + 60_000),
    "another split": other_split,
    "a split left out": lambda line: replace(
        line, occasion=OUT, summary=line.summary.without(OUT.left_out)
    ),
    "a miss": lambda line: replace(line, summary=replace(line.summary, missed=("gone",))),
}


def other_plan(routine):
    first, *others = routine.segments
    longer = replace(first.duration, likely_s=first.duration.likely_s + 1)
    return replace(routine, segments=(*others, replace(first, duration=longer)))


CHANGES = st.lists(
    st.one_of(
        st.tuples(st.sampled_from(sorted(OF_A_RUN)), st.integers(0, 3)),
        st.sampled_from(["another plan", "another slot"]),
    ),
    max_size=8,
)


@settings(max_examples=60, deadline=None)
@given(CHANGES)
def test_after_any_change_the_rows_are_those_of_a_fresh_drawing(changes):
    routine, rules, lines = PLAN, RULES, list(LINES)
    for change in changes:
        if change == "another plan":
            routine = other_plan(routine)
        elif change == "another slot":
            rules = replace(rules, slot_s=rules.slot_s + 30)
        else:
            name, place = change
            lines[place] = OF_A_RUN[name](lines[place])
        compared = compare(routine, rules, lines, {})
        columns = tuple((each.id, each.planned_ms) for each in compared.segments)
        fresh = [split_rows._row(run, columns) for run in reversed(compared.runs)]
        assert run_rows(compared, len(lines)) == "".join(fresh)


def test_after_a_change_of_one_run_only_its_row_is_drawn(monkeypatch):
    drawn = []
    row = split_rows._row
    monkeypatch.setattr(
        split_rows, "_row", lambda run, columns: drawn.append(run.line.id) or row(run, columns)
    )
    run_rows(compare(PLAN, RULES, LINES, {}), 4)
    drawn.clear()
    run_rows(compare(PLAN, RULES, [OF_A_RUN["taken out"](LINES[0]), *LINES[1:]], {}), 4)
    assert drawn == ["row-0"]


def test_of_many_runs_the_latest_are_rows_unless_all_are_asked_for(client, monkeypatch):
    monkeypatch.setattr(listing, "TABLED", 2)
    run_ids = practise(client, RUN, RUN, RUN, RUN)
    page = Page(client.get("/routines/r1/runs?show=figures"))
    rows = page.all("table.splits tbody a")
    assert [row.get("href") for row in rows] == [f"/runs/{each}" for each in run_ids[:1:-1]]
    assert page.text("[data-figure^=runs-counted]") == "4"
    assert page.text(MORE) == "List 2 earlier runs"
    everything = Page(client.get(page.one(MORE).get("href")))
    assert len(everything.all("table.splits tbody tr")) == 4
    assert everything.all(MORE) == []


def test_who_takes_a_run_out_among_all_stays_among_all(client):
    (run_id,) = practise(client, RUN)
    form = {"show": "all-figures", "leave_out": run_id}
    answer = client.post("/routines/r1/runs/counting", data=form)
    assert answer.headers["location"] == "/routines/r1/runs?show=all-figures"


def test_a_page_that_many_ask_for_at_once_is_made_once(client, monkeypatch):
    practise(client, RUN)
    made = []
    make = pages.runs_page_of
    monkeypatch.setattr(pages, "runs_page_of", lambda *given: made.append(1) or make(*given))

    async def asked():
        transport = httpx.ASGITransport(client.app)
        async with httpx.AsyncClient(
            transport=transport, base_url=ORIGIN, cookies=COOKIES
        ) as others:
            asking = (others.get("/routines/r1/runs?show=figures") for _ in range(8))
            return await asyncio.gather(*asking)

    answers = asyncio.run(asked())
    assert {answer.status_code for answer in answers} == {200}
    assert len({answer.content for answer in answers}) == 1
    assert made == [1]
