"""The app: the only module that joins settings, database, routes and static files."""

import asyncio
import logging
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import partial
from typing import TYPE_CHECKING

from fastapi import Depends, FastAPI
from fastapi.staticfiles import StaticFiles

from server.faults import LateFaults
from server.hearing.keeper import Hearing
from server.keeping.nightly import Nightly
from server.keeping.opening import open_database
from server.settings import Settings
from server.store.between.alone import alone_at
from server.store.between.links import Shows
from server.store.between.notices import Notices, notices_of
from server.store.database import Database
from server.store.files import clear_unfinished_imports
from server.store.grouped import GroupedWriter
from server.store.lost.forgetting import forget_old
from server.store.uploads.media import MediaFolder
from server.warm_up import warm_up_soon
from server.web.devices import enter
from server.web.devices import pages as devices
from server.web.drift import files as drift_files
from server.web.drift import pages as drift
from server.web.drift import versus as drift_compare
from server.web.drinks import batch, calculators, lines, versions
from server.web.drinks import pages as drinks
from server.web.frame import offline, outside, trust
from server.web.frame.door import Door, require_right
from server.web.frame.errors import install_error_answers
from server.web.frame.finding import RouteFinder
from server.web.frame.moved import ToHttps
from server.web.frame.named import NameRequests
from server.web.frame.page_cache import PageCache
from server.web.frame.render import ROOT
from server.web.frame.request_limits import SizeLimit
from server.web.frame.security import Guard
from server.web.frame.shelf import Shelf
from server.web.frame.throttle import SharedThrottle, Throttle
from server.web.heard import accept, ways_in
from server.web.heard import arriving as take_sounds
from server.web.heard import loudness as take_loudness
from server.web.heard import pages as takes
from server.web.learn import cards as cue_cards
from server.web.learn import marks as learning_marks
from server.web.learn import pages as learn
from server.web.learn import say
from server.web.live import routes as live
from server.web.live.shared import bus_of
from server.web.people import account, everybody, invited, joining, lost, oidc, passkeys, sign_in
from server.web.people.hashing import Hashing
from server.web.people.provider import Provider
from server.web.plan import follow, risk, stage_sheet, what_if, without
from server.web.plan import pages as plan
from server.web.plan.outlook import Outlooks
from server.web.prepare import pages as kit
from server.web.prepare import photograph, prep, shopping, station, turning
from server.web.routines import details, files, rule_sheets
from server.web.routines import pages as home
from server.web.runs import choices as run_choices
from server.web.runs import deleted, open_remarks, paper, plan_time, recordings, remarks, review
from server.web.runs import pages as compare
from server.web.runs import sessions as run_sessions
from server.web.script import claims, declaration, paste, settle, words
from server.web.script import pages as script
from server.web.sharing import house, shares, teams
from server.web.stage import music, rehearse
from server.web.stage import pages as stage
from server.web.stage.arriving import append_posted
from server.web.stage.devices_heard import DevicesHeard
from server.web.tasters import files as tasting_files
from server.web.tasters import join as taste_join
from server.web.tasters import one as tasting
from server.web.tasters import pages as tastings
from server.web.tasters import serving, taste
from server.web.today import pages as today
from server.web.watching import join, watchers
from server.web.watching import pages as watch

if TYPE_CHECKING:
    from server.web.frame.measured import Measures

ROUTERS = (
    home, today, details, drinks, lines, batch, calculators, versions, declaration, script,
    claims, settle, paste, words, plan, follow, risk, what_if, without, stage_sheet, rehearse,
    kit, prep, shopping, station, photograph, turning,
    run_choices, music, stage, compare, paper, review, rule_sheets, files, drift, drift_compare,
    drift_files, deleted, run_sessions, plan_time, trust, offline, outside, enter, devices,
    recordings, watchers, join, watch, live, remarks, open_remarks,
    learn, say, cue_cards, learning_marks,
    ways_in, take_sounds, take_loudness, takes, accept,
    tastings, serving, tasting, tasting_files, taste_join, taste,
    sign_in, joining, invited, lost, account, everybody, passkeys, oidc,
    shares, teams, house,
)  # fmt: skip


def create_app(settings: Settings, opened: Database | None = None) -> FastAPI:
    """The app over the database of `settings`, brought up to date, with the demo if asked for.

    `opened` is that database where it was opened already: then it is closed here all the same.
    """

    # Every route stands behind the door, also one that is added here and in no table yet.
    app = FastAPI(
        title="Ninefifty",
        lifespan=partial(_life, settings=settings, opened=opened),
        openapi_url=None,
        dependencies=[Depends(require_right)],
    )
    app.state.settings = settings
    _tell_who_asks(app, settings)
    app.add_middleware(SizeLimit)
    _lead_to_https(app, settings)
    app.add_middleware(Shelf, folder=ROOT / "static")
    app.add_middleware(Guard, extra_hosts=settings.known_hosts)
    measures = _measures() if settings.metrics else None
    app.state.measures = measures
    app.add_middleware(NameRequests, count=measures.count if measures else None)
    install_error_answers(app)
    finder = RouteFinder(app)
    for module in ROUTERS:
        finder.include(module.router)
    finder.shorten(compare.router, "GET", compare.RUNS, compare.answer_runs)
    finder.shorten(stage.router, "POST", stage.MARKS, stage.answer_marks)
    app.mount("/static", StaticFiles(directory=ROOT / "static"), name="static")

    return app


@asynccontextmanager
async def _life(app: FastAPI, settings: Settings, opened: Database | None) -> AsyncIterator[None]:
    """All that works while the app answers, from its start to its end."""
    database = opened or open_database(settings)
    notices = notices_of(database)
    app.state.database = database
    app.state.marks = GroupedWriter(database, append_posted)
    app.state.pages = PageCache()
    warming = warm_up_soon(has_people=settings.people)
    app.state.outlooks = Outlooks()
    app.state.nightly = _nightly(settings, database)
    app.state.nightly.begin()
    app.state.hearing = Hearing(settings, database, notices=notices)
    _tell_each_other(app, database, notices)
    await asyncio.to_thread(notices.begin)
    app.state.hearing.begin()
    shows = Shows(database, app.state.door.link_secret) if notices.is_shared else None
    if app.state.faults:
        logging.getLogger().addHandler(app.state.faults)
    yield
    if app.state.faults:
        logging.getLogger().removeHandler(app.state.faults)
    app.state.live.close()
    if shows is not None:
        shows.end()
    notices.close()
    app.state.nightly.end()
    app.state.hearing.end()
    warming.cancel()
    app.state.marks.close()
    database.close()


def _nightly(settings: Settings, database: Database) -> Nightly:
    """What is done now and then, by one process for all."""
    recorded, music = MediaFolder(settings.recordings_folder), MediaFolder(settings.music_dir)

    def tidy(now_ms: int) -> None:
        clear_unfinished_imports(database)
        forget_old(database, recorded, music, now_ms)

    alone = partial(alone_at, database, "the nightly backup", wait=False)
    return Nightly(settings, tidy=tidy, alone=alone)


def _tell_each_other(app: FastAPI, database: Database, notices: Notices) -> None:
    """What one process knows and the others must know too."""
    app.state.live = bus_of(asyncio.get_running_loop(), notices, database)
    app.state.heard = DevicesHeard(notices)
    for tried in ("wrong_codes", "wrong_passwords"):
        throttle = SharedThrottle(app.state.marks) if notices.is_shared else Throttle()
        setattr(app.state, tried, throttle)
    app.state.door.join(notices)


def _tell_who_asks(app: FastAPI, settings: Settings) -> None:
    # A proxy on this machine looks like a browser on it, so behind one the link lets in.
    app.state.door = Door(
        is_open=settings.open,
        trusts_here=not settings.public_url,
        knows_people=settings.people,
    )
    app.state.faults = LateFaults() if settings.people else None
    app.state.hashing = Hashing()
    app.state.oidc = Provider(settings) if settings.oidc_issuer else None


def _lead_to_https(app: FastAPI, settings: Settings) -> None:
    if settings.https:
        app.state.https_port = settings.https_port
        app.add_middleware(ToHttps, certificates=settings.certificate_folder)


def _measures() -> "Measures":
    # Its library is loaded only where it is used.
    from server.web.frame.measured import Measures

    return Measures()
