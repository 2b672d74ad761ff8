"""Finding the route of a request: by the shape of its path, not by trying all routes in turn.

What is asked so often that FastAPI's way costs more than the answer stands in the `SHORTCUTS` of
its room.
"""

import sys
from collections.abc import Awaitable, Callable, Iterator, Sequence
from dataclasses import dataclass, field
from importlib import import_module
from threading import Lock
from time import monotonic

from fastapi import APIRouter, FastAPI, Request, Response
from fastapi.concurrency import run_in_threadpool
from fastapi.routing import APIRoute
from starlette.routing import BaseRoute, Match
from starlette.types import ASGIApp, Message, Receive, Scope, Send

ANY = "*"
"""Stands in a shape for a part of a path that differs, such as an id."""

BELOW = "*"
"""The last part of an address that stands for itself and for all below it."""


# FastAPI looks whether what a route takes is a model of pydantic 1, and there is none here. That it
# cannot be loaded it takes for a no: to load it takes a tenth of the first page, and 1.5 MB.
sys.modules.setdefault("pydantic.v1", None)  # type: ignore[arg-type]

Answer = Callable[[Request], Awaitable[Response]]
Shortcut = tuple[str, str, Answer]
"""Method and path of a route, and what answers it at once."""


@dataclass(frozen=True)
class Room:
    """A module with a `router`, and the addresses for which it is loaded.

    What it has in `SHORTCUTS` is asked so often that FastAPI's way to a route costs more than the
    answer: it stands behind the door by itself.
    """

    module: str
    addresses: tuple[str, ...]


class _Shortcut:
    """What answers a route at once, and how its path is known."""

    def __init__(self, route: BaseRoute, path: str, answer: Answer) -> None:
        parts = _parts(path)
        self.answer = answer
        self._route = route
        self._length = len(parts)
        self._fixed = [(at, part) for at, part in enumerate(parts) if "{" not in part]
        self._names = [(at, part[1:-1]) for at, part in enumerate(parts) if "{" in part]

    def takes(self, scope: Scope, parts: list[str]) -> bool:
        """Whether a path leads to it; then the request is told what it asks for."""
        if len(parts) != self._length or any(parts[at] != part for at, part in self._fixed):
            return False
        scope["route"] = self._route
        scope["path_params"] = {name: parts[at] for at, name in self._names}
        return True


@dataclass
class _Node:
    """What comes after the first parts of a path, and the rooms that have a route ending here."""

    parts: dict[str, "_Node"] = field(default_factory=dict)
    rooms: dict[int, BaseRoute] = field(default_factory=dict)
    """Place among all -> room: the first that has a route answers, as if all were tried."""


@dataclass
class _Waiting:
    """What comes after the first parts of a path, and the places of the rooms that wait here."""

    parts: dict[str, "_Waiting"] = field(default_factory=dict)
    here: list[int] = field(default_factory=list)
    below: list[int] = field(default_factory=list)

    def add(self, place: int, room: Room) -> None:
        """Have a room wait at its addresses."""
        for address in room.addresses:
            node, parts = self, _parts(address)
            goes_on = parts[-1] == BELOW
            for part in parts[:-1] if goes_on else parts:
                node = node.parts.setdefault(ANY if "{" in part else part, _Waiting())
            (node.below if goes_on else node.here).append(place)

    def places(self, path: str) -> list[int]:
        """The places of the rooms that may answer a path, the first first."""
        return sorted(set(self._found(_parts(path.rstrip("/") or "/"), 0)))

    def _found(self, parts: list[str], at: int) -> Iterator[int]:
        yield from self.below
        if at == len(parts):
            yield from self.here
            return
        for name in (parts[at], ANY):
            if name in self.parts:
                yield from self.parts[name]._found(parts, at + 1)


class RouteFinder:
    """Hands each request to the room that has its route; what it does not find, to the router.

    The app has hundreds of routes in some eighty rooms. Trying them in turn takes longer than most
    answers, and loading them all takes longer than all else of a start. So a room is loaded when
    something is first asked for that it may answer, on a thread: those who mark do not wait.
    """

    def __init__(self, app: FastAPI, rooms: Sequence[Room] = ()) -> None:
        self._app = app
        self._otherwise: ASGIApp = app.router.middleware_stack
        self._root = _Node()
        # Method -> what answers it at once; there are few.
        self._shortcuts: dict[str, list[_Shortcut]] = {}
        self._later = dict(enumerate(rooms))
        self._waiting = _Waiting()
        for place, room in self._later.items():
            self._waiting.add(place, room)
        self._loading = Lock()
        self._asked_s = 0.0
        self._unanswered = 0
        app.router.middleware_stack = self

    def shortcut(self, scope: Scope) -> Answer | None:
        """What answers a request at once, which is told what it was asked for; None for most."""
        parts = _parts(scope["path"])
        for each in self._shortcuts.get(scope["method"], ()):
            if each.takes(scope, parts):
                self._asked_s = monotonic()
                return each.answer
        return None

    def load_next(self) -> bool:
        """Load the next room that nobody has asked for yet; whether there was one."""
        places = sorted(self._later)
        if places:
            self._load(places[0])
        return bool(places)

    def quiet_s(self) -> float:
        """How long nothing has been asked for, and nobody waits for an answer to begin."""
        return 0.0 if self._unanswered else monotonic() - self._asked_s

    def include(self, place: int, router: APIRouter, shortcuts: Sequence[Shortcut] = ()) -> None:
        """Have the app answer the routes of a room, which has this place among all."""
        self._app.include_router(router)
        room = self._app.router.routes[-1]
        # Has FastAPI build the routes now, not while the first who asks for one waits.
        room.matches({"type": "http", "method": "GET", "path": "/", "root_path": ""})
        for method, path, answer in shortcuts:
            self._shorten(router, method, path, answer)
        for route in router.routes:
            # One without a path is found by the router, as anything that is not found here.
            self._end_of(getattr(route, "path", "")).rooms[place] = room

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request."""
        if not self._later:
            # All is loaded: nobody asks how quiet it is.
            await self._find(scope, receive, send)
            return
        waits = 1

        async def begun(message: Message) -> None:
            # A stream goes on for hours; who reads it waits for nothing.
            nonlocal waits
            self._unanswered, waits = self._unanswered - waits, 0
            await send(message)

        self._unanswered += waits
        try:
            await self._find(scope, receive, begun)
        finally:
            self._unanswered, waits = self._unanswered - waits, 0

    async def _find(self, scope: Scope, receive: Receive, send: Send) -> None:
        if scope["type"] == "http":
            self._asked_s = monotonic()
            answer = self.shortcut(scope)
            if answer is not None:
                response = await answer(Request(scope, receive, send))
                await response(scope, receive, send)
                return
            ends = list(_ends(self._root, _parts(scope["path"]), 0))
            if self._later and await self._load_for(scope["path"]):
                await self._find(scope, receive, send)
                return
            for room in _in_order(ends):
                match, more = room.matches(scope)
                if match is Match.FULL:
                    scope["router"] = self._app.router
                    scope.update(more)
                    await room.handle(scope, receive, send)
                    return
        await self._otherwise(scope, receive, send)

    async def _load_for(self, path: str) -> bool:
        """Load what may answer a path; whether there was any."""
        places = [each for each in self._waiting.places(path) if each in self._later]
        for place in places:
            await run_in_threadpool(self._load, place)
        return bool(places)

    def _load(self, place: int) -> None:
        # One at a time; whoever asks for what another is loading waits until it is there.
        with self._loading:
            if place not in self._later:
                return
            module = import_module(self._later[place].module)
            self.include(place, module.router, getattr(module, "SHORTCUTS", ()))
            del self._later[place]

    def _shorten(self, router: APIRouter, method: str, path: str, answer: Answer) -> None:
        (route,) = (
            each
            for each in router.routes
            if isinstance(each, APIRoute) and each.path == path and method in (each.methods or ())
        )
        self._shortcuts.setdefault(method, []).append(_Shortcut(route, path, answer))

    def _end_of(self, path: str) -> _Node:
        node = self._root
        for part in _parts(path):
            node = node.parts.setdefault(ANY if "{" in part else part, _Node())
        return node


def _in_order(ends: list[_Node]) -> list[BaseRoute]:
    found: dict[int, BaseRoute] = {}
    for end in ends:
        found |= end.rooms
    return [found[place] for place in sorted(found)]


def _ends(node: _Node, parts: list[str], at: int) -> Iterator[_Node]:
    if at == len(parts):
        yield node
        return
    for name in (parts[at], ANY):
        following = node.parts.get(name)
        if following is not None:
            yield from _ends(following, parts, at + 1)


def _parts(path: str) -> list[str]:
    return path.split("/")[1:]
