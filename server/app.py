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
from server.web import (
    batch,
    compare,
    details,
    drinks,
    files,
    home,
    join,
    live,
    paper,
    plan,
    rehearse,
    remarks,
    review,
    rule_sheets,
    stage,
    versions,
    watch,
    watchers,
)
from server.web.errors import install_error_answers
from server.web.limits import SizeLimit
from server.web.live_bus import LiveBus
from server.web.page_cache import PageCache
from server.web.render import ROOT
from server.web.security import Guard
from server.web.throttle import Throttle

ROUTERS = (
    home, details, drinks, batch, versions, plan, rehearse, stage, compare, paper, review,
    rule_sheets, files, watchers, join, watch, live,
    remarks,
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
        app.state.database = database
        app.state.pages = PageCache()
        app.state.live = LiveBus(asyncio.get_running_loop())
        app.state.wrong_codes = Throttle()
        yield
        app.state.live.close()
        database.close()

    app = FastAPI(title="Ninefifty", lifespan=lifespan, docs_url=None, redoc_url=None)
    app.state.settings = settings
    app.add_middleware(SizeLimit)
    app.add_middleware(Guard, extra_hosts=settings.known_hosts)
    install_error_answers(app)
    for module in ROUTERS:
        app.include_router(module.router)
    app.mount("/static", StaticFiles(directory=ROOT / "static"), name="static")

    @app.get("/healthz", include_in_schema=False)
    def health() -> PlainTextResponse:
        return PlainTextResponse("ok")

    return app
