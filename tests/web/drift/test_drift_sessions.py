import pytest

from server.domain.runs.labels import Occasion
from server.store.runs import list_runs
from tests.web.html import Page
from tests.web.practice import PATH, PLAN, practise
from tests.web.shelf import keep

SESSIONS = f"{PATH}/sessions"
RUN = [180, 200, 205]
HOUR_MS = 3_600_000


def occasions(client):
    with client.app.state.database.reading() as session:
        return [line.occasion for line in list_runs(session, "r1")]


@pytest.fixture
def run_ids(client):
    """Two runs of one day."""
    coached = Occasion(tags=("coach",))
    return practise(client, {"splits": RUN, "occasion": coached}, [180, 200, 230], every_ms=HOUR_MS)


def test_runs_of_a_day_stand_together(client, run_ids):
    page = Page(client.get(SESSIONS))
    (card,) = page.all(".session")
    assert "2 runs that count, 1 of 2 inside the slot" in page.text(".session .about")
    assert page.texts(".session dd") == ["9:45", "9:58", "9:45"]
    assert len(card.cssselect(".session-runs a")) == 2


def test_runs_of_other_days_and_venues_stand_apart(client):
    practise(client, RUN, {"splits": RUN, "occasion": Occasion("Studio")}, RUN, every_ms=0)
    assert len(Page(client.get(SESSIONS)).all(".session")) == 2


def test_a_session_is_labelled_at_once_and_no_label_is_lost(client, run_ids):
    form = f"{SESSIONS}/{run_ids[0]}"
    page = Page(client.get(f"{SESSIONS}?edit=session-{run_ids[0]}"))
    assert len(page.form(form).cssselect("input[type=checkbox]")) >= 4
    answer = client.post(form, data={"venue": "Cellar", "tag-2": "dress rehearsal"})
    assert occasions(client) == [
        Occasion("Cellar", ("coach", "dress rehearsal")),
        Occasion("Cellar", ("dress rehearsal",)),
    ]
    assert "2 runs labelled." in Page(client.get(answer.headers["location"])).text(".notice")


def test_of_very_many_sessions_the_latest_are_listed_unless_all_are_asked_for(client):
    practise(client, *[RUN] * 62)
    assert len(Page(client.get(SESSIONS)).all(".session")) == 60
    assert len(Page(client.get(f"{SESSIONS}?show=all")).all(".session")) == 62


def test_an_empty_venue_leaves_the_venue_as_it_is(client):
    run_ids = practise(client, {"splits": RUN, "occasion": Occasion("Studio")})
    client.post(f"{SESSIONS}/{run_ids[0]}", data={"venue": "", "tag-0": "alone"})
    assert occasions(client) == [Occasion("Studio", ("alone",))]


def test_a_label_that_is_too_long_is_refused_for_all(client, run_ids):
    form = f"{SESSIONS}/{run_ids[0]}"
    page = Page(client.post(form, data={"venue": "x" * 121, "more_tags": "late"}))
    assert page.status == 422
    assert page.fault("venue", form) == "Keep it to 120 characters; this has 121."
    assert page.typed("more_tags", form) == "late"
    assert occasions(client) == [Occasion(tags=("coach",)), Occasion()]


def test_more_tags_than_a_run_may_carry_are_refused(client, run_ids):
    form = f"{SESSIONS}/{run_ids[0]}"
    page = Page(client.post(form, data={"more_tags": ",".join(f"tag {n}" for n in range(12))}))
    assert page.fault("more_tags", form).startswith("A run of this session would carry more")
    assert occasions(client)[0] == Occasion(tags=("coach",))


def test_a_session_that_is_none_is_not_found(client, run_ids):
    assert client.post(f"{SESSIONS}/{run_ids[1]}", data={"venue": "x"}).status_code == 404
    assert client.post(f"{SESSIONS}/nobody", data={"venue": "x"}).status_code == 404


def test_without_a_run_there_is_no_session(client):
    keep(client, PLAN)
    assert "No run yet." in Page(client.get(SESSIONS)).text(".empty")
