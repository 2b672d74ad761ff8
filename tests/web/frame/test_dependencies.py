from concurrent.futures import ThreadPoolExecutor

import pytest
from fastapi import Request

from server.domain.runs.events import event_document
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import create_run, load_run
from server.web.drinks.checked import checked
from server.web.frame.dependencies import HeldDatabase, WriteSession
from server.web.frame.errors import ErrorPage
from server.web.frame.render import page
from tests.factories import NOW_MS, RULES, make_event, make_routine


def test_more_writers_than_threads_are_all_served(client):
    database = client.app.state.database
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, make_routine(), NOW_MS)
        run_id = create_run(session, make_routine(), RULES, NOW_MS)

    def send(number):
        event = make_event(f"e{number}", "note", seq=number, text="so")
        return client.post(f"/api/runs/{run_id}/events", json={"events": [event_document(event)]})

    with ThreadPoolExecutor(80) as pool:
        answers = list(pool.map(send, range(80)))
    assert {answer.status_code for answer in answers} == {200}
    with database.reading() as session:
        assert len(load_run(session, run_id).record.events) == 80


@pytest.mark.parametrize(
    "draw",
    [
        lambda request: page(request, ErrorPage(title="", message="")),
        lambda _request: checked(make_routine(), RULES),
    ],
    ids=["page", "check"],
)
@pytest.mark.parametrize("by", ["session", "block"])
def test_nothing_that_takes_long_is_done_while_others_wait_to_write(client, draw, by):
    def in_session(request: Request, _session: WriteSession):
        draw(request)

    def in_block(request: Request, held: HeldDatabase):
        with held.writing():
            draw(request)

    def after_block(request: Request, held: HeldDatabase):
        with held.writing():
            pass
        draw(request)

    client.app.add_api_route("/api/while", in_session if by == "session" else in_block)
    client.app.add_api_route("/api/after", after_block)
    assert client.get("/api/while").status_code == 500
    assert client.get("/api/after").status_code == 200
