"""Pages that are kept while what they show stands still."""

from collections import OrderedDict
from collections.abc import Callable, Hashable
from hashlib import sha256
from threading import Lock

from fastapi import Request, Response

MOST_PAGES = 64


class PageCache:
    """The bytes of the last pages asked for, each under a key that changes with its content."""

    def __init__(self, most: int = MOST_PAGES) -> None:
        self._pages: OrderedDict[Hashable, tuple[bytes, str]] = OrderedDict()
        self._most = most
        # Routes run in several threads; an OrderedDict does not stand being reordered by two.
        self._lock = Lock()

    def answer(self, request: Request, key: Hashable, make: Callable[[], Response]) -> Response:
        """The page under `key`, made only if it is not kept; 304 if the browser has it."""
        with self._lock:
            kept = self._pages.get(key)
            if kept is not None:
                self._pages.move_to_end(key)
        if kept is None:
            kept = self._keep(key, bytes(make().body))
        content, etag = kept
        headers = {"ETag": etag, "Cache-Control": "private, no-cache", "Vary": "HX-Target"}
        if request.headers.get("if-none-match") == etag:
            return Response(status_code=304, headers=headers)
        return Response(content, media_type="text/html; charset=utf-8", headers=headers)

    def _keep(self, key: Hashable, content: bytes) -> tuple[bytes, str]:
        kept = (content, f'"{sha256(content).hexdigest()[:24]}"')
        with self._lock:
            self._pages[key] = kept
            while len(self._pages) > self._most:
                self._pages.popitem(last=False)
        return kept
