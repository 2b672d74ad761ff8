from dataclasses import replace

import pytest

from server.domain.routine.rules import RuleSheet, TimeCall
from server.store.rule_sheets import list_rule_sheets
from tests.factories import RULES
from tests.web.html import Page
from tests.web.shelf import keep

SHEET = "/rules/rules"
TYPED = {
    "name": "Club night", "slot": "8:00", "target": "7:50", "serves": "3", "grace": "2",
    "penalty": "1,5", "cap": "30", "cutoff": "9:00", "notes": "Ours",
    "calls": "7:30 Thirty seconds\r\n\r\n4:00 Half way",
}  # fmt: skip


@pytest.fixture
def path(client):
    return keep(client)


def sheets(client):
    with client.app.state.database.reading() as session:
        return {sheet.id: sheet for sheet in list_rule_sheets(session)}


def test_every_field_of_a_sheet_is_kept(client, path):
    answer = client.post(SHEET, data=TYPED)
    assert (answer.status_code, answer.headers["location"]) == (303, "/rules#sheet-rules")
    assert sheets(client)["rules"] == RuleSheet(
        id="rules", name="Club night", slot_s=480, target_s=470, grace_s=2, penalty_per_s=1.5,
        penalty_cap=30, cutoff_s=540, serves_per_drink=3, notes="Ours",
        time_calls=(TimeCall(240, "Half way"), TimeCall(450, "Thirty seconds")),
    )  # fmt: skip


def test_a_sheet_shown_and_saved_again_is_the_same(client, path):
    client.post(SHEET, data=TYPED)
    before = sheets(client)["rules"]
    page = Page(client.get(SHEET))
    shown = {name: page.typed(name, SHEET) for name in TYPED}
    client.post(SHEET, data=shown)
    assert sheets(client)["rules"] == before


def test_a_sheet_can_demand_that_all_ingredients_are_declared(client, path):
    client.post(SHEET, data={**TYPED, "declare_all": "yes"})
    assert sheets(client)["rules"].declare_all
    assert Page(client.get(SHEET)).one("#f-declare_all").checked
    client.post(SHEET, data=TYPED)
    assert not sheets(client)["rules"].declare_all


def test_a_new_sheet_needs_a_name_alone(client):
    page = Page(client.get("/rules/new"))
    shown = {name: page.typed(name, "/rules/new") for name in TYPED}
    assert client.post("/rules/new", data={**shown, "name": "Fresh"}).status_code == 303
    assert "Fresh" in {sheet.name for sheet in sheets(client).values()}


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"name": ""}, "name", "Give it a name."),
        ({"slot": ""}, "slot", "Give a duration, for example 1:15 or 75."),
        ({"slot": "0", "target": "0", "cutoff": ""}, "slot", "The slot must be longer than zero."),
        ({"target": "8:01"}, "target", "The target lies after the slot of 8:00."),
        ({"cutoff": "7:00"}, "cutoff", "The cut-off cannot come before the end of the slot."),
        ({"grace": "-1"}, "grace", "A duration cannot be negative."),
        ({"penalty": "much"}, "penalty", "Give a number."),
        ({"penalty": "-1"}, "penalty", "A penalty lies between 0 and 1,000."),
        ({"penalty": "inf"}, "penalty", "Give a number."),
        ({"every": "0.05 s"}, "every", "A stretch lasts between 0.1 s and a day."),
        ({"cap": "-1"}, "cap", "A cap lies between 0 and 100,000."),
        ({"serves": "1.5"}, "serves", "Give a whole number."),
        (
            {"calls": "Half way"},
            "calls",
            "“Half way” does not start with a time. Write 5:00 Half way, or 2:00 left.",
        ),
        (
            {"calls": "5:00 " + "x" * 121},
            "calls",
            f"“5:00 {'x' * 35}…” is too long for a time call.",
        ),
        ({"calls": "1:00 x\n" * 61}, "calls", "A rule sheet holds at most 60 time calls."),
        ({"notes": "x" * 20_001}, "notes", "Keep it to 20,000 characters; this has 20,001."),
    ],
)
def test_a_wrong_sheet_is_told_beside_its_field_and_keeps_what_was_typed(
    client, path, typed, field, told
):
    typed = {**TYPED, "calls": "4:00 Half way", **typed}
    page = Page(client.post(SHEET, data=typed))
    assert (page.status, page.fault(field, SHEET)) == (422, told)
    assert {name: page.typed(name, SHEET) for name in typed} == typed
    assert sheets(client)["rules"] == RULES


def test_a_slot_that_cannot_be_read_is_the_only_fault_told(client, path):
    page = Page(client.post(SHEET, data={**TYPED, "slot": "long"}))
    assert [each.get("name") for each in page.all("[aria-invalid]")] == ["slot"]


def test_a_sheet_in_use_is_not_deleted_and_says_who_uses_it(client, path):
    page = Page(client.post(f"{SHEET}/delete"))
    assert page.status == 409
    assert "“House rules” is used by “Low tide”." in page.text(".lead")
    assert "rules" in sheets(client)


def test_a_copy_of_a_sheet_is_ready_to_be_changed(client, path):
    answer = client.post(f"{SHEET}/copy")
    copy_id = answer.headers["location"].removeprefix("/rules/")
    assert sheets(client)[copy_id] == replace(RULES, id=copy_id, name="House rules (copy)")


def test_a_deleted_sheet_can_be_brought_back(client, path):
    copy = client.post(f"{SHEET}/copy").headers["location"]
    answer = client.post(f"{copy}/delete")
    page = Page(client.get(answer.headers["location"]))
    assert "Deleted “House rules (copy)”" in page.text(".notice")
    assert client.post(f"{copy}/restore").status_code == 303
    assert copy.removeprefix("/rules/") in sheets(client)


def test_a_sheet_that_was_brought_back_is_no_longer_called_deleted(client, path):
    copy = client.post(f"{SHEET}/copy").headers["location"]
    deleted = client.post(f"{copy}/delete").headers["location"]
    client.post(f"{copy}/restore")
    assert Page(client.get(deleted)).all(".notice") == []


def test_a_changed_sheet_shows_on_the_plan_at_once(client, path):
    client.post(SHEET, data=TYPED)
    assert "Club night: slot 8:00, target 7:50" in Page(client.get(f"{path}/plan")).text(
        ".menu .about"
    )


def test_the_shipped_sheet_says_that_it_is_invented(demo):
    assert "invented" in Page(demo.get("/rules")).text(".card h2")


def test_the_shipped_sheet_speaks_of_no_demo_where_there_is_none(client):
    shown = Page(client.get("/rules")).text("main")
    assert "Invented: no real event" in shown
    assert "demo" not in shown


# Criteria


def criteria(client):
    return [(each.name, each.most_points) for each in sheets(client)["rules"].criteria]


def send_criteria(client, *rows, **more):
    typed = {
        f"criterion-{field}-{place}": text
        for place, row in enumerate(rows)
        for field, text in zip(("name", "points", "id"), row, strict=False)
    }
    return client.post(SHEET, data={**TYPED, **typed, **more})


def test_criteria_are_kept_in_order_and_an_empty_row_is_none(client, path):
    send_criteria(client, ("Flow", "10"), ("", ""), ("Care", ""), ("Bench", "2,5"))
    assert criteria(client) == [("Flow", 10), ("Care", 10), ("Bench", 2.5)]


def test_a_criterion_that_is_renamed_or_moved_keeps_its_id(client, path):
    send_criteria(client, ("Flow", "10"), ("Care", "5"))
    before = [each.id for each in sheets(client)["rules"].criteria]
    page = Page(client.get(SHEET))
    ids = [page.typed(f"criterion-id-{place}", SHEET) for place in range(2)]
    send_criteria(client, ("Care for guests", "5", ids[1]), ("Flow", "10", ids[0]))
    assert ids == before
    assert [each.id for each in sheets(client)["rules"].criteria] == before[::-1]


def test_there_is_always_room_for_more_criteria_until_there_are_enough(client, path):
    send_criteria(client, ("Flow", "10"))
    rows = Page(client.get(SHEET)).all(".criterion")
    assert len(rows) == 4
    send_criteria(client, *((f"Criterion {n}", "1") for n in range(20)))
    assert len(Page(client.get(SHEET)).all(".criterion")) == len(criteria(client)) == 20


@pytest.mark.parametrize(
    ("row", "field", "told"),
    [
        (("", "5"), "criterion-name-1", "Name the criterion, or clear its points."),
        (("FLOW", "5"), "criterion-name-1", "This criterion stands there already."),
        (("x" * 121, "5"), "criterion-name-1", "Keep it to 120 characters; this has 121."),
        (("Care", "many"), "criterion-points-1", "Give a number."),
        (("Care", "0"), "criterion-points-1", "Points lie above 0, up to 1,000."),
        (("Care", "1001"), "criterion-points-1", "Points lie above 0, up to 1,000."),
    ],
)
def test_a_wrong_criterion_is_told_beside_its_field_and_stays_typed(client, path, row, field, told):
    page = Page(send_criteria(client, ("Flow", "10"), row))
    assert (page.status, page.fault(field, SHEET)) == (422, told)
    assert page.typed("criterion-name-1", SHEET) == row[0]
    assert criteria(client) == []


@pytest.mark.parametrize("bad_id", ["a b", "", "<x>", "flow"])
def test_an_id_that_cannot_stand_is_made_anew(client, path, bad_id):
    send_criteria(client, ("Flow", "10", "flow"), ("Care", "5", bad_id))
    first, second = sheets(client)["rules"].criteria
    assert first.id == "flow"
    assert second.id not in (bad_id, "flow")


# Time calls


def test_a_call_may_be_typed_by_what_is_left(client, path):
    client.post(SHEET, data={**TYPED, "calls": "2:00 left Two minutes left\n1:00 left"})
    calls = sheets(client)["rules"].time_calls
    assert calls == (TimeCall(360, "Two minutes left"), TimeCall(420, "1:00 left"))


def test_a_call_whose_words_and_clock_disagree_is_not_kept_unasked(client, path):
    typed = {**TYPED, "calls": "0:30 Thirty seconds left"}
    page = Page(client.post(SHEET, data=typed))
    assert page.status == 422
    assert "called at 0:30, when 7:30 are left" in page.fault("calls_meant", SHEET)
    assert "belongs at 7:30 on the clock" in page.fault("calls_meant", SHEET)
    assert sheets(client)["rules"] == RULES
    client.post(SHEET, data={**typed, "calls_meant": "yes"})
    assert sheets(client)["rules"].time_calls == (TimeCall(30, "Thirty seconds left"),)


def test_calls_of_what_is_left_stay_true_in_another_slot(client, path):
    client.post(SHEET, data={**TYPED, "calls": "6:00 Two minutes left\n4:00 Half way"})
    page = Page(client.get(SHEET))
    assert page.typed("calls", SHEET) == "4:00 Half way\n2:00 left Two minutes left"
    shown = {name: page.typed(name, SHEET) for name in TYPED}
    client.post(SHEET, data={**shown, "slot": "7:00", "target": "6:50"})
    calls = sheets(client)["rules"].time_calls
    assert calls == (TimeCall(240, "Half way"), TimeCall(300, "Two minutes left"))


def test_a_call_in_doubt_is_told_once_and_of_no_time_below_zero(client, path):
    page = Page(client.post(SHEET, data={**TYPED, "slot": "1:00", "calls": "6:00 One minute left"}))
    assert page.texts(".calls-pair .fault") == [
        "▲ “One minute left” is called at 6:00, when nothing is left. By its words it belongs "
        "at 0:00 on the clock."
    ]


def test_a_call_that_cannot_be_read_is_told_once(client, path):
    page = Page(client.post(SHEET, data={**TYPED, "calls": "soon\n9:00 left"}))
    assert len(page.texts(".calls-pair .fault")) == 2


def test_a_small_bare_number_of_a_slot_is_asked_about(client, path):
    typed = {**TYPED, "slot": "10", "target": "9", "cutoff": "11"}
    page = Page(client.post(SHEET, data=typed))
    assert page.fault("slot", SHEET) == ("“10” could be minutes or seconds. Type 10:00 or 10 s.")
    assert "9:00 or 9 s" in page.fault("target", SHEET)
    assert "11:00 or 11 s" in page.fault("cutoff", SHEET)
    assert sheets(client)["rules"] == RULES


def test_more_than_the_slot_is_never_left(client, path):
    page = Page(client.post(SHEET, data={**TYPED, "calls": "9:00 left"}))
    assert "so much is never left" in page.fault("calls", SHEET)


def test_both_readings_of_a_call_are_shown_while_it_is_typed(client, path):
    typed = {"slot": "12:00", "calls": "0:30 Thirty seconds left\n2:00 left\n12:30 Stop"}
    page = Page(client.post(f"{SHEET}/calls", data=typed))
    rows = [[cell.text_content() for cell in row] for row in page.all("tbody tr")]
    assert rows == [
        ["0:30", "11:30", "Thirty seconds left"],
        ["10:00", "2:00", "2:00 left"],
        ["12:30", "0:30 over", "Stop"],
    ]
    assert "belongs at 11:30 on the clock" in page.text(".fault")


def test_a_line_that_cannot_be_read_is_told_while_it_is_typed(client, path):
    page = Page(client.post(f"{SHEET}/calls", data={"slot": "soon", "calls": "later"}))
    assert (page.status, page.all("tbody")) == (200, [])
    assert "does not start with a time" in page.text(".fault")
