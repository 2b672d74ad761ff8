import pytest

from server.domain.routine.routine import LANGUAGES
from server.store.routines import list_routines
from server.web.routines.pages import LISTED
from tests.factories import RULES, make_events, make_routine
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept


def listed(client):
    return [each.get("data-id") for each in Page(client.get("/")).all("ol.cards > li")]


def routines(client):
    with client.app.state.database.reading() as session:
        return list_routines(session)


@pytest.fixture
def many(client):
    """More routines than are listed at a time, the last called as no other."""
    for number in range(LISTED + 2):
        name = "Slack “water”" if number == 0 else f"Routine {number}"
        keep(client, make_routine(routine_id=f"r{number}", name=name))


@pytest.fixture
def three(client):
    for routine_id in ("c", "b", "a"):
        keep(client, make_routine(routine_id=routine_id, name=f"Routine {routine_id}"))


def test_a_name_is_enough_to_make_a_routine(client):
    rules = Page(client.get("/")).typed("rules", "/routines")
    answer = client.post("/routines", data={"name": " First try ", "rules": rules})
    (routine,) = routines(client)
    assert (answer.status_code, answer.headers["location"]) == (303, f"/routines/{routine.id}")
    assert (routine.name, routine.language) == ("First try", "en")
    assert client.get(answer.headers["location"]).status_code == 200


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"name": ""}, "name", "Give it a name."),
        ({"name": "x" * 121}, "name", "Keep it to 120 characters; this has 121."),
        ({"presenter": "x" * 121}, "presenter", "Keep it to 120 characters; this has 121."),
        ({"language": "xx"}, "language", "Choose a language from the list."),
        ({"rules": "gone"}, "rules", "Choose a rule sheet from the list."),
        ({"rules": ""}, "rules", "Choose a rule sheet from the list."),
    ],
)
def test_a_wrong_routine_is_told_beside_its_field_and_keeps_what_was_typed(
    client, typed, field, told
):
    rules = Page(client.get("/")).typed("rules", "/routines")
    typed = {"name": "Mine", "presenter": "Ada", "language": "de", "rules": rules, **typed}
    page = Page(client.post("/routines", data=typed))
    assert (page.status, page.fault(field, "/routines")) == (422, told)
    assert page.typed("name", "/routines") == typed["name"]
    assert page.typed("presenter", "/routines") == typed["presenter"]
    assert routines(client) == []


def test_every_language_can_be_chosen(client):
    options = Page(client.get("/")).form("/routines").cssselect("[name=language] option")
    assert [each.get("value") for each in options] == list(LANGUAGES)


def test_a_routine_is_shown_with_its_plan_and_its_runs(client):
    keep(client)
    keep_run(client, events=make_events(total_s=594.6))
    keep_run(client, events=())
    page = Page(client.get("/"))
    shown = dict(zip(page.texts(".figures dt"), page.texts(".figures dd"), strict=True))
    assert shown == {"Planned": "3:00", "Slot": "10:00", "Runs that count": "1", "Last run": "9:55"}


def test_routines_are_moved_by_their_buttons(client, three):
    page = Page(client.get("/"))
    down = page.one("#routine-a form[action$='/move']")
    to = down.cssselect("[name=to]")[0].get("value")
    assert client.post(down.get("action"), data={"to": to}).status_code == 303
    assert listed(client) == ["b", "a", "c"]


def test_a_deleted_routine_can_be_brought_back_at_once_and_later(client, three):
    answer = client.post("/routines/b/delete")
    page = Page(client.get(answer.headers["location"]))
    assert "Deleted “Routine b”" in page.text(".notice")
    undo = "form[action='/routines/b/restore']"
    assert len(page.all(undo)) == 1
    assert page.text("a[href='/deleted']") == "Deleted (1)"
    assert len(Page(client.get("/deleted")).all(undo)) == 1
    client.post("/routines/b/restore")
    assert listed(client) == ["a", "b", "c"]


def test_a_routine_deleted_elsewhere_cannot_be_moved(client, three):
    client.post("/routines/b/delete")
    page = Page(client.post("/routines/b/move", data={"to": "0"}))
    assert (page.status, page.text("h1")) == (409, "Not possible as things stand")


def test_a_move_to_no_place_is_told(client, three):
    page = Page(client.post("/routines/b/move", data={"to": "up"}))
    assert (page.status, page.text(".lead")) == (422, "Give a number.")
    assert listed(client) == ["a", "b", "c"]


def test_a_copy_opens_on_its_details(client):
    keep(client)
    answer = client.post("/routines/r1/copy")
    page = Page(client.get(answer.headers["location"]))
    assert page.text("h1") == "Low tide (copy)"
    assert kept(client).rule_sheet_id == RULES.id


def test_a_backup_that_could_not_be_made_is_told_on_the_first_page(client):
    client.app.state.nightly.trouble = "the disk is too full."
    told = Page(client.get("/")).text("#backup-trouble")
    assert told == "The nightly backup could not be made: the disk is too full."


def test_of_many_routines_the_first_are_listed_and_more_on_demand(client, many):
    page = Page(client.get("/"))
    assert len(page.all("ol.cards > li")) == LISTED
    (more,) = page.all("#more-routines")
    all_of_them = Page(client.get(more.get("href")))
    assert len(all_of_them.all("ol.cards > li")) == LISTED + 2
    assert all_of_them.all("#more-routines") == []


def test_a_routine_is_found_by_a_part_of_its_name(client, many):
    page = Page(client.get("/", params={"called": " slack “w"}))
    assert [each.get("data-id") for each in page.all("ol.cards > li")] == ["r0"]
    assert page.typed("called", "/") == "slack “w"
    assert Page(client.get("/", params={"called": "%"})).all("ol.cards > li") == []


def test_few_routines_are_not_searched(client, three):
    assert Page(client.get("/")).all("#called") == []


def test_a_find_that_finds_nothing_says_so(client, many):
    page = Page(client.get("/", params={"called": "high water"}))
    assert page.text(".empty") == "No routine is called “high water”."
    assert page.all("#all-routines")


def test_a_refused_form_that_is_asked_for_anew_leads_to_the_list(client):
    refused = client.post("/routines", data={"name": ""})
    assert refused.status_code == 422
    again = client.get("/routines", follow_redirects=False)
    assert (again.status_code, again.headers["location"]) == (303, "/")
