"""The risk page: chances, processes, cuts, starts and another order."""

import pytest

from tests.factories import make_process, make_routine, make_segment
from tests.web.html import Page, text_of
from tests.web.practice import practise
from tests.web.shelf import keep, kept

LATE = make_routine(
    segments=(
        make_segment("s1", 60, name="Greet"),
        make_segment("s2", 100, name="Wait for it"),
        make_segment("s3", 60, name="Start", movable=True),
        make_segment("s4", 380, name="Talk"),
        make_segment("s5", 40, name="Close"),
    ),
    processes=(make_process(after="s3", before="s5"),),
)


@pytest.fixture
def path(client):
    return keep(client, LATE)


def test_the_seconds_to_cut_are_told_for_the_usual_level_and_for_ones_own(client, path):
    usual = Page(client.get(f"{path}/plan/risk"))
    own = Page(client.get(f"{path}/plan/risk?level=60"))
    assert "to be sure 95 times in 100" in usual.text("#cut-title")
    assert "60 times in 100" in own.text("#cut-title")
    assert own.typed("level") == "60"
    assert usual.texts("#cut .line-main bdi")[0] == "Talk"


def test_a_plan_with_room_is_told_that_nothing_needs_to_be_cut(client):
    page = Page(client.get(f"{keep(client, make_routine())}/plan/risk"))
    assert page.text("#cut-title").startswith("Nothing to cut")


HELD_BY_WORDS = make_routine(
    segments=(
        make_segment("s1", 250, name="Talk", said="Please settle in now, dear judges. " * 110),
        make_segment("s2", 200, name="Build", lane="hands"),
        make_segment("s3", 170, name="Close", lane="hands"),
    )
)
LESS_THAN_PLANNED = {"splits": [150, 240, 235]}


def cuts(page):
    """Name -> what is told of each advised cut, and the address to try it."""
    return {
        row.cssselect("bdi")[0].text_content(): (
            text_of(row.cssselect(".detail")[0]),
            row.cssselect("a")[0].get("href"),
        )
        for row in page.all(".chance-folds .cut-lines > li")
    }


def inside_after(page):
    return page.text("h1").rpartition("→ ")[2]


@pytest.mark.parametrize("runs", [0, 3], ids=["as planned", "after runs quicker than the plan"])
def test_an_advised_cut_brings_what_what_if_answers_for_it(client, runs):
    practise(client, *[LESS_THAN_PLANNED] * runs)
    advised = cuts(Page(client.get("/routines/r1/plan/risk")))
    assert advised
    for told, address in advised.values():
        assert f"then {inside_after(Page(client.get(address)))} within 10:00" in told


def test_a_cut_that_words_hold_says_how_many_must_go_and_so_does_what_if(client):
    path = keep(client, HELD_BY_WORDS)
    advised = cuts(Page(client.get(f"{path}/plan/risk")))
    told, address = advised["Talk"]
    assert "about 330 words must go" in told
    assert "words" not in advised["Build"][0]
    tried = Page(client.get(address))
    assert f"then {inside_after(tried)} within" in told
    assert "once about 330 of its words are cut too" in tried.text(".headline .about")


@pytest.mark.parametrize("level", ["100", "0", "sure", "", "nan"])
def test_a_level_that_cannot_be_is_told_beside_its_field(client, path, level):
    page = Page(client.get(f"{path}/plan/risk", params={"level": level}))
    assert page.status == 422
    assert page.fault("level").startswith("Give a number")
    assert page.typed("level") == level


def test_each_process_says_when_it_must_start_and_what_an_earlier_start_is_worth(client, path):
    page = Page(client.get(f"{path}/plan/risk"))
    assert page.texts("#ready-table tbody th") == ["Drip"]
    options = page.texts('[aria-label="What an earlier start is worth"] tbody th')
    assert options == ["Start as it is", "Wait for it", "Greet"]


def test_every_segment_says_what_of_the_doubt_is_its_own_and_what_that_rests_on(client, path):
    page = Page(client.get(f"{path}/plan/risk"))
    names = page.texts("#share-table tbody th")
    assert (names[0], len(names)) == ("4. Talk", 5)
    assert page.texts("#share-table tbody tr:first-child td:last-child") == ["the plan"]
    assert [each.rpartition("4 Talk")[1] for each in page.texts(".share-lines b")][:1] == ["4 Talk"]
    assert len(page.all(".share-lines > li")) == 3


def test_no_part_of_the_doubt_is_told_below_nought(client, path):
    page = Page(client.get(f"{path}/plan/risk"))
    assert not any("−" in each or "-" in each for each in page.texts("#share-table td"))


def test_an_order_is_proposed_only_where_something_may_be_moved(client):
    page = Page(client.get(f"{keep(client, make_routine())}/plan/risk"))
    assert "No segment may be moved" in page.text("#order")


SLOW = make_routine(
    segments=(
        make_segment("s1", 30),
        make_segment("s2", 200, movable=True),
        make_segment("s3", 60),
        make_segment("s4", 100),
        make_segment("s5", 60),
    ),
    processes=(make_process(after="s3", before="s5", duration=make_segment("x", 280).duration),),
)


def test_a_better_order_is_shown_with_its_gain_and_taken_over_as_one_edit(client):
    path = keep(client, SLOW)
    page = Page(client.get(f"{path}/plan/risk?order=yes"))
    assert page.texts(".order .moved") == ["Segment s2 moved"]
    order = page.typed("order", f"{path}/plan/order")
    assert client.post(f"{path}/plan/order", data={"order": order}).status_code == 303
    assert ",".join(each.id for each in kept(client).segments) == order != "s1,s2,s3,s4,s5"
    assert "used the proposed order" in Page(client.get(f"{path}/plan")).text(".history")


@pytest.mark.parametrize("order", ["s1,s2", "s1,s2,s3,s4,gone", ""])
def test_an_order_of_a_plan_that_has_changed_meanwhile_is_refused(client, path, order):
    page = Page(client.post(f"{path}/plan/order", data={"order": order}))
    assert page.status == 422
    assert page.texts(".fault")
    assert kept(client) == LATE


def test_the_picture_of_the_finish_has_its_table(client, path):
    page = Page(client.get(f"{path}/plan/risk"))
    table = dict(zip(page.texts(".plain-table td:first-child"), page.texts(".plain-table td + td"),
                     strict=True))  # fmt: skip
    assert table["10:00"] == page.text("[data-figure='inside:r1']")
    assert table["9:50"] == page.text("[data-figure='target:r1']")


@pytest.mark.parametrize(
    ("plan_s", "lower", "anchor"), [(660, "slot", "start"), (400, "target", "end")]
)
def test_no_label_of_the_picture_lies_across_the_line_of_another(client, plan_s, lower, anchor):
    path = keep(client, make_routine(segments=(make_segment("s1", plan_s),)))
    labels = Page(client.get(f"{path}/plan/risk")).all(".finish-picture .post-label")
    (label,) = [each for each in labels if each.get("y") == "36"]
    assert lower in label.get("class")
    assert label.get("text-anchor") == anchor


def test_the_plan_is_held_against_slot_and_target(client):
    path = keep(client, make_routine(segments=(make_segment("s1", 300), make_segment("s2", 285))))
    page = Page(client.get(f"{path}/plan/risk"))
    figures = dict(zip(page.texts(".plan-figures dt"), page.texts(".plan-figures dd"), strict=True))
    assert (figures["Planned"], figures["Spare"]) == ("9:45", "0:15")
    assert figures["Target 9:50"] == "5 s before the target"
