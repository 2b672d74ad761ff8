"""The app: the only module that joins settings, database, routes and static files."""

import asyncio
import logging
from collections.abc import AsyncIterator, Iterator, Sequence
from contextlib import asynccontextmanager
from functools import partial
from typing import TYPE_CHECKING

from fastapi import Depends, FastAPI
from fastapi.staticfiles import StaticFiles
from sqlmodel import Session
from starlette.types import ASGIApp

from server.first_pages import FirstPages
from server.hearing.late import LateHearing
from server.keeping.nightly import Nightly
from server.keeping.opening import open_database
from server.rooms import ROOMS
from server.settings import Settings
from server.store.between.alone import alone_at
from server.store.between.notices import Notices, notices_of
from server.store.between.terminal_links import Shows
from server.store.database import Database
from server.store.grouped import GroupedWriter
from server.store.uploads.media_place import place_at
from server.warm_up import ENDS_WITHIN_S, Step, WarmUp
from server.web.frame.door import Door, require_right
from server.web.frame.errors import install_error_answers
from server.web.frame.layers.finding import RouteFinder
from server.web.frame.layers.moved import ToHttps
from server.web.frame.layers.named import NameRequests
from server.web.frame.layers.quick_way import QuickWay
from server.web.frame.layers.request_limits import SizeLimit
from server.web.frame.layers.security import Guard, PublicAddress
from server.web.frame.layers.shelf import Shelf
from server.web.frame.page_cache import PageCache
from server.web.frame.render import ROOT
from server.web.frame.throttle import SharedThrottle, Throttle
from server.web.live.shared import bus_of
from server.web.people.hashing import Hashing
from server.web.stage.devices_heard import DevicesHeard

if TYPE_CHECKING:
    from server.faults import LateFaults
    from server.hearing.keeper import Hearing
    from server.store.runs import Appended
    from server.web.frame.layers.measured import Measures
    from server.web.people.provider import Provider


def create_app(settings: Settings, opened: Database | None = None) -> FastAPI:
    """The app over the database of `settings`, brought up to date, with the demo if asked for.

    `opened` is that database where it was opened already: then it is closed here all the same.
    """

    # Every route stands behind the door, also one that is added here and in no table yet.
    app = FastAPI(
        title="Ninefifty",
        lifespan=partial(_life, settings=settings, opened=opened),
        openapi_url=None,
        # It tells nobody else; and to look each time whether it should takes a tenth of a mark.
        telemetry={"tracing": False, "metrics": False, "logs": False},
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
    count = measures.count if measures else None
    app.add_middleware(NameRequests, count=count)
    install_error_answers(app)
    app.state.finder = RouteFinder(app, ROOMS)
    app.mount("/static", StaticFiles(directory=ROOT / "static"), name="static")
    # Before all layers, those too that FastAPI puts around what is added.
    layers = app.build_middleware_stack()
    quick = QuickWay(layers, extra_hosts=settings.known_hosts, count=count)
    app.middleware_stack = _under_public_address(quick, settings)
    return app


@asynccontextmanager
async def _life(app: FastAPI, settings: Settings, opened: Database | None) -> AsyncIterator[None]:
    """All that works while the app answers, from its start to its end."""
    database = opened or open_database(settings)
    notices = notices_of(database)
    app.state.database = database
    app.state.marks = GroupedWriter(database, _append_posted)
    app.state.pages = PageCache()
    pages = FirstPages(app, asyncio.get_running_loop(), database)
    app.state.hearing = LateHearing(partial(_hearing, settings, database, notices))
    first = partial(_first_steps, app.state.hearing, pages)
    warming = WarmUp(app.state.finder, first, with_people=settings.people)
    warming.begin()
    app.state.outlooks = None
    app.state.nightly = _nightly(settings, database)
    app.state.nightly.begin()
    _tell_each_other(app, database, notices)
    await asyncio.to_thread(notices.begin)
    shows = Shows(database, app.state.door.link_secret) if notices.is_shared else None
    if app.state.faults:
        logging.getLogger().addHandler(app.state.faults)
    yield
    if app.state.faults:
        logging.getLogger().removeHandler(app.state.faults)
    app.state.live.close()
    if shows is not None:
        await asyncio.to_thread(shows.end)
    notices.close()
    app.state.nightly.end()
    warming.cancel()
    await asyncio.to_thread(app.state.hearing.end)
    # A page that is being made reads the database.
    await asyncio.to_thread(warming.join, ENDS_WITHIN_S)
    app.state.marks.close()
    await asyncio.to_thread(app.state.door.end)
    database.close()


def _first_steps(hearing: LateHearing, pages: FirstPages) -> Iterator[Step]:
    """What is done first of what the start did not wait for."""
    yield from pages.steps()
    yield hearing.begin


# What these import is loaded with the first who needs it, or soon after the start.


def _hearing(settings: Settings, database: Database, notices: Notices) -> "Hearing":
    from server.hearing.keeper import Hearing

    return Hearing(settings, database, notices=notices)


def _append_posted(session: Session, asked: Sequence[object]) -> "list[Appended | None]":
    from server.web.stage.posted_marks import append_posted

    return append_posted(session, asked)


def _nightly(settings: Settings, database: Database) -> Nightly:
    """What is done now and then, by one process for all."""
    folders = settings.recordings_folder, settings.music_dir
    recorded, music = (place_at(settings.files, folder) for folder in folders)

    def tidy(now_ms: int) -> None:
        from server.store.lost.forgetting import forget_old
        from server.store.unfinished import clear_unfinished_imports

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
    app.state.faults = _late_faults() if settings.people else None
    app.state.hashing = Hashing()
    app.state.oidc = _provider(settings) if settings.oidc_issuer else None


def _under_public_address(inner: ASGIApp, settings: Settings) -> ASGIApp:
    # One that serves https itself knows what it was asked over.
    if settings.https or not settings.public_url:
        return inner
    return PublicAddress(inner, settings.public_url, settings.known_hosts)


def _lead_to_https(app: FastAPI, settings: Settings) -> None:
    if settings.https:
        app.state.https_port = settings.https_port
        app.add_middleware(ToHttps, certificates=settings.certificate_folder)


# Loaded only where a setting asks for them.


def _late_faults() -> "LateFaults":
    from server.faults import LateFaults

    return LateFaults()


def _provider(settings: Settings) -> "Provider":
    from server.web.people.provider import Provider

    return Provider(settings)


def _measures() -> "Measures":
    from server.web.frame.layers.measured import Measures

    return Measures()
