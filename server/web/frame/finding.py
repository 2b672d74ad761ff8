"""Finding the route of a request: by the shape of its path, not by trying all routes in turn."""

from collections.abc import Awaitable, Callable, Iterator
from dataclasses import dataclass, field

from fastapi import APIRouter, FastAPI, Request, Response
from fastapi.routing import APIRoute
from starlette.routing import BaseRoute, Match
from starlette.types import ASGIApp, Receive, Scope, Send

ANY = "*"
"""Stands in a shape for a part of a path that differs, such as an id."""


Answer = Callable[[Request], Awaitable[Response]]


@dataclass(frozen=True)
class _Shortcut:
    """What answers a route at once; `names` are those of what differs in its path, by its place."""

    route: BaseRoute
    names: dict[int, str]
    answer: Answer


@dataclass
class _Node:
    """What comes after the first parts of a path, and the rooms that have a route ending here."""

    parts: dict[str, "_Node"] = field(default_factory=dict)
    rooms: dict[int, BaseRoute] = field(default_factory=dict)
    """Place among all -> room: the first that has a route answers, as if all were tried."""
    shortcuts: dict[str, _Shortcut] = field(default_factory=dict)
    """Method -> what answers it at once."""


class RouteFinder:
    """Hands each request to the room that has its route; what it does not find, to the router.

    The app has hundreds of routes in some eighty rooms. Trying them in turn took longer than most
    answers, and had all of them built for the first.
    """

    def __init__(self, app: FastAPI) -> None:
        self._app = app
        self._otherwise: ASGIApp = app.router.middleware_stack
        self._root = _Node()
        self._count = 0
        app.router.middleware_stack = self

    def include(self, router: APIRouter) -> None:
        """Have the app answer the routes of a room."""
        self._app.include_router(router)
        room = self._app.router.routes[-1]
        self._count += 1
        for route in router.routes:
            # One without a path is found by the router, as anything that is not found here.
            self._end_of(getattr(route, "path", "")).rooms[self._count] = room

    def shorten(self, router: APIRouter, method: str, path: str, answer: Answer) -> None:
        """Have a route of a room answered by `answer`, which stands behind the door by itself.

        For what is asked so often that FastAPI's way to a route costs more than the answer.
        """
        (route,) = (
            each
            for each in router.routes
            if isinstance(each, APIRoute) and each.path == path and method in (each.methods or ())
        )
        names = {at: part[1:-1] for at, part in enumerate(_parts(path)) if "{" in part}
        self._end_of(path).shortcuts[method] = _Shortcut(route, names, answer)

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request."""
        if scope["type"] == "http":
            parts = _parts(scope["path"])
            ends = list(_ends(self._root, parts, 0))
            for end in ends:
                if scope["method"] in end.shortcuts:
                    await self._answer(end.shortcuts[scope["method"]], parts, scope, receive, send)
                    return
            for room in _in_order(ends):
                match, more = room.matches(scope)
                if match is Match.FULL:
                    scope["router"] = self._app.router
                    scope.update(more)
                    await room.handle(scope, receive, send)
                    return
        await self._otherwise(scope, receive, send)

    async def _answer(
        self, found: _Shortcut, parts: list[str], scope: Scope, receive: Receive, send: Send
    ) -> None:
        scope["route"] = found.route
        scope["path_params"] = {name: parts[at] for at, name in found.names.items()}
        answer = await found.answer(Request(scope, receive, send))
        await answer(scope, receive, send)

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
