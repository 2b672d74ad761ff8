from concurrent.futures import ThreadPoolExecutor

from server.domain.events import event_document
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import create_run, load_run
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
