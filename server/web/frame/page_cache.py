"""Pages that are kept while what they show stands still."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from dataclasses import dataclass, replace
from hashlib import sha256
from threading import Lock

from fastapi import Request, Response

MOST_PAGES = 64


@dataclass(frozen=True)
class Kept:
    """A page as bytes; `stamp` changes with what it shows, `writes` counts what was written at all
    when it was last found to be true."""

    content: bytes
    etag: str
    stamp: Hashable
    writes: int

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

    def standing(self, request: Request, place: Hashable, writes: int) -> Response | None:
        """The page at `place` if nothing whatever was written since it was made; else None."""
        kept = self._pages.get(place)
        if kept is None or kept.writes != writes:
            return None
        self._keep(place, kept)
        return kept.answer(request)

    def answer(
        self,
        request: Request,
        place: Hashable,
        make: Callable[[], Response],
        stamp: Hashable = None,
        writes: int = 0,
    ) -> Response:
        """The page at `place`, made only if it is not kept under this stamp.

        `stamp` and `writes` must have been read before anything that `make` reads.
        """
        kept = self._pages.get(place)
        if kept is None or kept.stamp != stamp:
            content = bytes(make().body)
            kept = Kept(content, f'"{sha256(content).hexdigest()[:24]}"', stamp, writes)
        self._keep(place, replace(kept, writes=writes))
        return kept.answer(request)

    def _keep(self, place: Hashable, kept: Kept) -> None:
        with self._lock:
            self._pages[place] = kept
            self._pages.move_to_end(place)
            while len(self._pages) > self._most:
                self._pages.popitem(last=False)
