"""The app: the only module that joins settings, database, routes and static files."""

import asyncio
import time
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager

from fastapi import FastAPI
from fastapi.responses import PlainTextResponse
from fastapi.staticfiles import StaticFiles

from server.settings import Settings
from server.store.database import Database
from server.store.first_time import furnish
from server.store.run_logs import derive_again
from server.store.tracks import TrackShelf
from server.web import (
    batch,
    claims,
    compare,
    declaration,
    details,
    drift,
    drift_compare,
    drift_files,
    drift_sessions,
    drinks,
    files,
    follow,
    home,
    join,
    live,
    music,
    offline,
    paper,
    plan,
    recordings,
    rehearse,
    remarks,
    review,
    risk,
    rule_sheets,
    run_choices,
    script,
    stage,
    stage_sheet,
    trust,
    versions,
    watch,
    watchers,
    what_if,
    words,
)
from server.web.errors import install_error_answers
from server.web.heard import Heard
from server.web.limits import SizeLimit
from server.web.live_bus import LiveBus
from server.web.moved import ToHttps
from server.web.outlook import Outlooks
from server.web.page_cache import PageCache
from server.web.render import ROOT
from server.web.security import Guard
from server.web.throttle import Throttle
from server.web.warm_up import warm_up_soon

ROUTERS = (
    home, details, drinks, batch, versions, declaration, script, claims, words, plan, follow, risk,
    what_if, stage_sheet, rehearse, run_choices, music, stage, compare, paper, review, rule_sheets,
    files, drift, drift_compare, drift_files, drift_sessions, trust, offline, recordings, watchers,
    join, watch, live, remarks,
)  # fmt: skip


def create_app(settings: Settings) -> FastAPI:
    """The app over the database of `settings`, brought up to date, with the demo if asked for."""

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        database = Database(settings.database_file)
        database.migrate()
        with database.writing() as session:
            furnish(session, time.time_ns() // 1_000_000, settings.demo)
            derive_again(session)
        TrackShelf(settings.music_dir).clear()
        app.state.database = database
        app.state.pages = PageCache()
        warming = warm_up_soon()
        app.state.outlooks = Outlooks()
        app.state.heard = Heard()
        app.state.live = LiveBus(asyncio.get_running_loop())
        app.state.wrong_codes = Throttle()
        yield
        app.state.live.close()
        warming.cancel()
        database.close()

    app = FastAPI(title="Ninefifty", lifespan=lifespan, docs_url=None, redoc_url=None)
    app.state.settings = settings
    app.add_middleware(SizeLimit)
    if settings.https:
        app.state.https_port = settings.https_port
        app.add_middleware(ToHttps, certificates=settings.certificate_folder)
    app.add_middleware(Guard, extra_hosts=settings.known_hosts)
    install_error_answers(app)
    for module in ROUTERS:
        app.include_router(module.router)
    app.mount("/static", StaticFiles(directory=ROOT / "static"), name="static")

    @app.get("/healthz", include_in_schema=False)
    def health() -> PlainTextResponse:
        return PlainTextResponse("ok")

    return app
