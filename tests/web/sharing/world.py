"""A house with people: a routine with everything in it, whoever can stand to it, and others."""

from dataclasses import dataclass, replace

from fastapi import Depends, FastAPI, Response
from fastapi.routing import iter_route_contexts
from fastapi.testclient import TestClient

from server.domain.base.standings import STANDINGS
from server.domain.routine.drink import Drink
from server.domain.routine.plan import Plan
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.sitting import Sitting
from server.store.annotating import annotate_run
from server.store.heard.takes import create_take
from server.store.people.persons import make_person
from server.store.people.sign_ins import sign_in
from server.store.plans import freeze_plan
from server.store.sharing.shares import give_share
from server.store.sharing.sheets import hold_sheet
from server.store.sharing.teams import make_team
from server.store.tastings.sittings import keep_sitting
from server.store.uploads.table import RecordingRow
from server.web.frame.cookies import PERSON
from server.web.frame.dependencies import handed_now_ms
from server.web.frame.door import require_right
from server.web.frame.errors import install_error_answers
from tests.factories import NOW_MS, RULES, make_events, make_routine, make_segment
from tests.lent import with_every_room
from tests.web.conftest import ORIGIN
from tests.web.shelf import keep, keep_run

SHOWN = {"name": "Zqname", "segment": "Zqsegment", "drink": "Zqdrink"}
READ = {"said": "Zqsaid", "hands": "Zqhands"}
STUDIED = {"notes": "Zqnotes", "run": "Zqrun", "tasting": "Zqtasting"}
HEARD = {"take": "Zqtake"}
"""Words that stand in the routine, by what who finds them must be allowed."""

OUTSIDE = ("stranger", "admin")
"""Who has nothing to do with the routine: its admin no more than any other."""


@dataclass(frozen=True)
class World:
    """The ids in it, and a browser for everybody."""

    browsers: dict[str, TestClient]
    persons: dict[str, str]
    ids: dict[str, str]


def furnish(client):
    """Fill an app over which nobody has an account yet; `client` is any browser on it."""
    database = client.app.state.database
    persons, browsers = {}, {}
    with database.writing() as session:
        for name in ("admin", *STANDINGS, "stranger"):
            person = make_person(session, name.title(), name, NOW_MS)
            _, token = sign_in(session, person.id, "Phone", NOW_MS)
            persons[name], browsers[name] = person.id, browser_of(client.app, client.portal, token)
    ids = _keep_all(client)
    with database.writing() as session:
        for name in STANDINGS:
            give_share(session, "r1", persons[name], name, NOW_MS)
        hold_sheet(session, RULES.id, person_id=persons["owner"])
        ids["team_id"] = make_team(session, "Zqteam", persons["owner"], NOW_MS)
        ids["person_id"] = persons["viewer"]
    return World(browsers, persons, ids)


def _keep_all(client):
    segment = make_segment("s1", name=SHOWN["segment"], said=READ["said"], hands=READ["hands"])
    drink = Drink("d1", SHOWN["drink"], descriptors=("plum",))
    routine = make_routine(
        name=SHOWN["name"], segments=(segment, "s2", "s3"), drinks=(drink,), notes=STUDIED["notes"]
    )
    keep(client, routine)
    run_id = keep_run(client, routine, make_events({"s1": 61}, total_s=190))
    words = (AskedWord("plum", "stated"), AskedWord("smoke", "far"))
    with client.app.state.database.writing() as session:
        annotate_run(session, run_id, STUDIED["run"], "")
        key = freeze_plan(session, Plan(routine, RULES))
        take_id = create_take(session, "r1", key, HEARD["take"], NOW_MS)
        sitting = Sitting("t1", "r1", "list", STUDIED["tasting"], NOW_MS, 1, (drink,), words=words)
        keep_sitting(session, sitting)
        session.add(
            RecordingRow(
                id="rec1", run_id=run_id, kind="sound", media_type="audio/webm", file="f1",
                started_ms=0, lasts_ms=1000, size_bytes=9, received_bytes=9, received_parts=1,
                done=True, created_ms=NOW_MS,
            )
        )  # fmt: skip
    return {
        "routine_id": "r1", "run_id": run_id, "take_id": take_id, "sitting_id": "t1",
        "recording_id": "rec1", "sheet_id": RULES.id, "drink_id": "d1", "segment_id": "s1",
    }  # fmt: skip


def browser_of(app, portal, token=""):
    """A browser that shows the secret of somebody who is signed in, or of nobody.

    All share the loop behind `portal`: one of its own for each request would take most of the time.
    """
    browser = TestClient(
        app, base_url=ORIGIN, headers={"Origin": ORIGIN}, follow_redirects=False,
        cookies={f"{PERSON}-80": token} if token else {}, raise_server_exceptions=False,
    )  # fmt: skip
    browser.portal = portal
    return browser


def hollow(app):
    """An app with the same addresses, door and database, where whatever is let in gets a 204."""
    made = FastAPI(openapi_url=None, dependencies=[Depends(require_right)])
    made.state = app.state
    made.dependency_overrides[handed_now_ms] = lambda: NOW_MS
    install_error_answers(made)
    for context in iter_route_contexts(with_every_room(app).routes):
        if context.path != "/static":
            made.add_api_route(context.path, _nothing, methods=list(context.methods))
    return made


async def _nothing():
    return Response(status_code=204)


def at(world, app):
    """The same world before another app over the same database."""
    browsers = {
        name: browser_of(app, each.portal, next(iter(each.cookies.values())))
        for name, each in world.browsers.items()
    }
    return replace(world, browsers=browsers)


def address_of(path, ids):
    """A path with ids in it; "one" for those that are not told."""
    for part in path.split("{")[1:]:
        name = part.split("}")[0]
        path = path.replace(f"{{{name}}}", ids.get(name, "one"))
    return path
