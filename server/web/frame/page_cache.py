"""Pages that are kept while what they show stands still."""

import asyncio
from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from hashlib import sha256
from threading import Lock
from weakref import WeakValueDictionary

from fastapi import Request, Response

MOST_PAGES = 64


@dataclass(frozen=True)
class Kept:
    """A page as bytes; `stamp` changes with what it shows, `state` is that of the whole database
    when it was last found to be true."""

    content: bytes
    etag: str
    stamp: Hashable
    state: Hashable

    def answer(self, request: Request) -> Response:
        """The page, or 304 if the browser has it."""
        headers = {"ETag": self.etag, "Cache-Control": "private, no-cache", "Vary": "HX-Target"}
        if request.headers.get("if-none-match") == self.etag:
            return Response(status_code=304, headers=headers)
        return Response(self.content, media_type="text/html; charset=utf-8", headers=headers)


class PageCache:
    """The pages last asked for, one for each place."""

    def __init__(self, most: int = MOST_PAGES) -> None:
        self._pages: OrderedDict[Hashable, Kept] = OrderedDict()
        self._most = most
        # Routes run in several threads; an OrderedDict does not stand being reordered by two.
        self._lock = Lock()
        self._turns: WeakValueDictionary[Hashable, asyncio.Lock] = WeakValueDictionary()

    def turn(self, place: Hashable) -> asyncio.Lock:
        """What is held while the page at `place` is made: who asks for it meanwhile waits.

        Many ask at once after a change. Made by each of them, it would be made as often, and slower
        than one after the other: they would take the interpreter from each other at every row.
        """
        # A lock of asyncio belongs to its loop, and goes when nobody has or awaits it.
        key = asyncio.get_running_loop(), place
        return self._turns.setdefault(key, asyncio.Lock())

    def standing(self, request: Request, place: Hashable, state: Hashable) -> Response | None:
        """The page at `place` if nothing whatever was written since it was made; else None."""
        kept = self._pages.get(place)
        if kept is None or kept.state != state:
            return None
        self._keep(place, kept)
        return kept.answer(request)

    def answer(
        self,
        request: Request,
        place: Hashable,
        make: Callable[[], Response],
        stamp: Hashable = None,
        state: Hashable = None,
    ) -> Response:
        """The page at `place`, made only if it is not kept under this stamp.

        `stamp` and `state` must have been read before anything that `make` reads.
        """
        kept = self._pages.get(place)
        if kept is None or kept.stamp != stamp:
            content = bytes(make().body)
            kept = Kept(content, f'"{sha256(content).hexdigest()[:24]}"', stamp, state)
        self._keep(place, replace(kept, state=state))
        return kept.answer(request)

    def _keep(self, place: Hashable, kept: Kept) -> None:
        with self._lock:
            self._pages[place] = kept
            self._pages.move_to_end(place)
            while len(self._pages) > self._most:
                self._pages.popitem(last=False)
