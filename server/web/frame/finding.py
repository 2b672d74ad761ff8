"""Finding the route of a request: by the shape of its path, not by trying all routes in turn."""

from collections.abc import Iterator
from dataclasses import dataclass, field

from fastapi import APIRouter, FastAPI
from fastapi.routing import APIRoute
from starlette.routing import BaseRoute, Match
from starlette.types import ASGIApp, Receive, Scope, Send

ANY = "*"
"""Stands in a shape for a part of a path that differs, such as an id."""


@dataclass
class _Node:
    """What comes after the first parts of a path, and the rooms that have a route ending here."""

    parts: dict[str, "_Node"] = field(default_factory=dict)
    rooms: dict[int, BaseRoute] = field(default_factory=dict)
    """Place among all -> room: the first that has a route answers, as if all were tried."""


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
            assert isinstance(route, APIRoute), route
            node = self._root
            for part in _parts(route.path):
                node = node.parts.setdefault(ANY if "{" in part else part, _Node())
            node.rooms[self._count] = room

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer a request."""
        if scope["type"] == "http":
            for room in self._rooms(scope["path"]):
                match, more = room.matches(scope)
                if match is Match.FULL:
                    scope["router"] = self._app.router
                    scope.update(more)
                    await room.handle(scope, receive, send)
                    return
        await self._otherwise(scope, receive, send)

    def _rooms(self, path: str) -> list[BaseRoute]:
        found: dict[int, BaseRoute] = {}
        for node in _ends(self._root, _parts(path), 0):
            found |= node.rooms
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
