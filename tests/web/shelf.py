"""Putting things where the app under test will find them."""

from sqlmodel import select

from server.domain.runs.events import event_document
from server.store.annotating import exclude_run
from server.store.engines.every_table import every_table
from server.store.routines import create_routine, load_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import append_events, create_run
from tests.factories import NOW_MS, RULES, make_events, make_routine
from tests.web.html import Page


def keep(client, routine=None, rules=RULES):
    """Keep a routine with its rule sheet; returns the start of its addresses."""
    routine = routine or make_routine()
    with client.app.state.database.writing() as session:
        save_rule_sheet(session, rules)
        create_routine(session, routine, NOW_MS)
    return f"/routines/{routine.id}"


def kept(client, routine_id="r1"):
    """The routine as it stands in the database."""
    with client.app.state.database.reading() as session:
        return load_routine(session, routine_id).routine


def keep_run(client, routine=None, events=None, rules=RULES, excluded=False):
    """Keep a run of a routine that is kept already; returns the run's id.

    It counts unless `excluded` says otherwise; None leaves that to its marks.
    """
    with client.app.state.database.writing() as session:
        run_id = create_run(session, routine or make_routine(), rules, NOW_MS)
        log = make_events({"s1": 61}, total_s=595) if events is None else events
        if log:
            append_events(session, run_id, log, NOW_MS)
        exclude_run(session, run_id, excluded)
    return run_id


def all_that_is_kept(client):
    """Every byte of the database: of its files, or where a server keeps it of all its rows."""
    database = client.app.state.database
    if database.path is not None:
        files = database.path.parent.iterdir()
        return b"".join(file.read_bytes() for file in files if file.is_file())
    with database.reading() as session:
        rows = (session.connection().execute(select(table)).all() for table in every_table())
        return repr([list(map(tuple, each)) for each in rows]).encode()


def open_run(client, run_id):
    """Open a run to watchers; returns the code to join by."""
    client.post(f"/runs/{run_id}/watchers")
    return Page(client.get(f"/runs/{run_id}/watchers")).text("#code")


def send(browser, run_id, *events):
    """Send marks of a run as a browser does."""
    body = {"events": [event_document(event) for event in events]}
    return browser.post(f"/api/runs/{run_id}/events", json=body)
