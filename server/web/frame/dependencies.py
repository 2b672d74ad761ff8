"""What routes are handed: a session, the settings, the time, what was typed or sent."""

import time
from collections.abc import AsyncIterator, Awaitable, Callable
from inspect import signature
from typing import Annotated, TypeVar

from fastapi import Depends, Request
from fastapi.concurrency import contextmanager_in_threadpool
from sqlmodel import Session

from server.settings import Settings
from server.store.database import Database, holding_the_writer
from server.web.frame.forms import Typed

T = TypeVar("T")

# What never waits is `async`: FastAPI would send it through a thread, which costs more than itself.


async def database(request: Request) -> Database:
    """The database of this app."""
    held: Database = request.app.state.database
    return held


HeldDatabase = Annotated[Database, Depends(database)]


async def _settings(request: Request) -> Settings:
    settings: Settings = request.app.state.settings
    return settings


HeldSettings = Annotated[Settings, Depends(_settings)]


async def _body(request: Request) -> bytes:
    return await request.body()


Body = Annotated[bytes, Depends(_body)]
"""All that was sent, as it came."""


async def _reading(held: HeldDatabase) -> AsyncIterator[Session]:
    # It opens its connection only when the route, in its thread, first asks something.
    with held.reading() as session:
        yield session


async def _writing(held: HeldDatabase) -> AsyncIterator[Session]:
    async with contextmanager_in_threadpool(held.writing()) as session:
        # The thread knows it already, but the route runs in another.
        with holding_the_writer():
            yield session


def now_ms() -> int:
    """The time of this computer, ms since 1970."""
    return time.time_ns() // 1_000_000


async def handed_now_ms() -> int:
    """The time that routes are handed, for as long as no test puts another in its place."""
    return now_ms()


def now_for(request: Request) -> int:
    """The time as a route is handed it, for what FastAPI hands nothing."""
    instead = request.app.dependency_overrides.get(handed_now_ms)
    return now_ms() if instead is None else int(instead())


async def _typed(request: Request) -> Typed:
    # A file that no field asked for is closed with it.
    async with request.form() as form:
        return Typed({name: value for name, value in form.items() if isinstance(value, str)})


def made_of(kind: Callable[..., T]) -> Callable[..., Awaitable[T]]:
    """A dependency that makes a value of what a route is asked with, at once.

    A class that is asked for itself is made on a thread, which costs more than most answers.
    """

    async def make(**named: object) -> T:
        return kind(**named)

    make.__signature__ = signature(kind)  # type: ignore[attr-defined]
    return make


# "function" scope: the transaction is committed before the answer goes out, so that nobody is
# told "saved" about something that then fails to be.
ReadSession = Annotated[Session, Depends(_reading, scope="function")]
# For what answers with a redirection or a few words: a page is drawn when the writer is free again,
# so a route that may show one writes within `with held.writing()`.
# One at a time, or those who wait for the write lock would hold every thread that its holder needs.
WriteSession = Annotated[Session, Depends(_writing, scope="function", max_concurrency=1)]
NowMs = Annotated[int, Depends(handed_now_ms)]
TypedForm = Annotated[Typed, Depends(_typed)]
