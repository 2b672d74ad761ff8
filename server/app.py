"""The app: the only module that joins settings, database, routes and static files."""

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from typing import TYPE_CHECKING

from fastapi import Depends, FastAPI
from fastapi.staticfiles import StaticFiles

from server.hearing.keeper import Hearing
from server.keeping.nightly import Nightly
from server.keeping.opening import open_database
from server.settings import Settings
from server.store.database import Database
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
from server.web.frame.moved import ToHttps
from server.web.frame.named import NameRequests
from server.web.frame.page_cache import PageCache
from server.web.frame.render import ROOT
from server.web.frame.request_limits import SizeLimit
from server.web.frame.security import Guard
from server.web.frame.shelf import Shelf
from server.web.frame.throttle import Throttle
from server.web.heard import accept, ways_in
from server.web.heard import arriving as take_sounds
from server.web.heard import loudness as take_loudness
from server.web.heard import pages as takes
from server.web.learn import cards as cue_cards
from server.web.learn import marks as learning_marks
from server.web.learn import pages as learn
from server.web.learn import say
from server.web.live import routes as live
from server.web.live.bus import LiveBus
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
from server.web.stage import music, rehearse
from server.web.stage import pages as stage
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
)  # fmt: skip


def create_app(settings: Settings, opened: Database | None = None) -> FastAPI:
    """The app over the database of `settings`, brought up to date, with the demo if asked for.

    `opened` is that database where it was opened already: then it is closed here all the same.
    """

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        database = opened or open_database(settings)
        music = MediaFolder(settings.music_dir)
        music.clear()
        app.state.database = database
        app.state.marks = GroupedWriter(database)
        app.state.pages = PageCache()
        warming = warm_up_soon()
        app.state.outlooks = Outlooks()
        app.state.heard = DevicesHeard()
        recordings_here = MediaFolder(settings.recordings_folder)
        app.state.nightly = Nightly(
            settings, tidy=lambda now_ms: forget_old(database, recordings_here, music, now_ms)
        )
        app.state.nightly.begin()
        app.state.hearing = Hearing(settings, database)
        app.state.hearing.begin()
        app.state.live = LiveBus(asyncio.get_running_loop())
        app.state.wrong_codes = Throttle()
        yield
        app.state.live.close()
        app.state.nightly.end()
        app.state.hearing.end()
        warming.cancel()
        app.state.marks.close()
        database.close()

    # Every route stands behind the door, also one that is added here and in no table yet.
    app = FastAPI(
        title="Ninefifty",
        lifespan=lifespan,
        openapi_url=None,
        dependencies=[Depends(require_right)],
    )
    app.state.settings = settings
    # A proxy on this machine looks like a browser on it, so behind one the link lets in.
    app.state.door = Door(is_open=settings.open, trusts_here=not settings.public_url)
    app.add_middleware(SizeLimit)
    if settings.https:
        app.state.https_port = settings.https_port
        app.add_middleware(ToHttps, certificates=settings.certificate_folder)
    app.add_middleware(Shelf, folder=ROOT / "static")
    app.add_middleware(Guard, extra_hosts=settings.known_hosts)
    measures = _measures() if settings.metrics else None
    app.state.measures = measures
    app.add_middleware(NameRequests, count=measures.count if measures else None)
    install_error_answers(app)
    for module in ROUTERS:
        app.include_router(module.router)
    app.mount("/static", StaticFiles(directory=ROOT / "static"), name="static")

    return app


def _measures() -> "Measures":
    # Its library is loaded only where it is used.
    from server.web.frame.measured import Measures

    return Measures()
