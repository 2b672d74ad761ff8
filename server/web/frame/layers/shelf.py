"""The app's own files, answered from memory: a page asks for dozens of them at once.

Handing them out one by one through all routes and a thread for each file takes most of the time in
which a page opens for the first time.
"""

import mimetypes
from dataclasses import dataclass
from email.utils import formatdate
from hashlib import sha256
from pathlib import Path

from starlette.datastructures import Headers
from starlette.responses import Response
from starlette.types import ASGIApp, Receive, Scope, Send

from server.web.frame.bundles import SHEETS

PREFIX = "/static/"
LARGEST_KEPT = 1_048_576
"""Bytes of a file that is kept in memory; larger ones, and parts of one, go the usual way."""

FRESH_S, LETTERS_S = 60, 7 * 86_400
"""So long a browser need not ask again. Not told, it would go by how old a file is: days after an
update, pages would run with the scripts of before."""


@dataclass(frozen=True, slots=True)
class _Kept:
    stamps: tuple[tuple[int, int], ...]
    content: bytes
    headers: dict[str, str]


class Shelf:
    """ASGI middleware: answers GET and HEAD for the files of a folder, passes on all else."""

    def __init__(self, app: ASGIApp, folder: Path) -> None:
        self._app = app
        self._folder = folder
        self._kept: dict[str, _Kept] = {}

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Answer with the file, with 304 where the browser has it, or pass the request on."""
        kept = self._file(scope)
        if kept is None:
            await self._app(scope, receive, send)
            return
        asked = Headers(scope=scope)
        if kept.headers["etag"] in asked.get("if-none-match", ""):
            answer = Response(status_code=304, headers=kept.headers)
        else:
            answer = Response(kept.content, headers=kept.headers)
        await answer(scope, receive, send)

    def _file(self, scope: Scope) -> _Kept | None:
        if scope["type"] != "http" or scope["method"] not in ("GET", "HEAD"):
            return None
        path: str = scope["path"]
        # A path that climbs is never looked up.
        if not path.startswith(PREFIX) or ".." in path or "\0" in path:
            return None
        name = path.removeprefix(PREFIX)
        # A sheet of all pages is made of several files: of it there are no parts.
        if name not in SHEETS and _is_part(scope):
            return None
        files = [self._folder / each for each in SHEETS.get(name, (name,))]
        try:
            known = [each.stat() for each in files]
            stamps = tuple((each.st_mtime_ns, each.st_size) for each in known)
            kept = self._kept.get(path)
            if kept is None or kept.stamps != stamps:
                if not all(each.is_file() for each in files) or _size(stamps) > LARGEST_KEPT:
                    return None
                kept = self._kept[path] = _read(files, stamps)
        except OSError:
            return None
        return kept


def _size(stamps: tuple[tuple[int, int], ...]) -> int:
    return sum(size for _, size in stamps)


def _is_part(scope: Scope) -> bool:
    return any(name == b"range" for name, _ in scope["headers"])


def _read(files: list[Path], stamps: tuple[tuple[int, int], ...]) -> _Kept:
    content = b"\n".join(each.read_bytes() for each in files)
    kind = mimetypes.guess_type(files[0].name)[0] or "application/octet-stream"
    if kind.startswith("text/"):
        kind += "; charset=utf-8"
    headers = {
        "content-type": kind,
        "cache-control": f"max-age={LETTERS_S if kind.startswith('font/') else FRESH_S}",
        "etag": f'"{sha256(content).hexdigest()[:32]}"',
        "last-modified": formatdate(max(changed_ns for changed_ns, _ in stamps) / 1e9, usegmt=True),
    }
    return _Kept(stamps, content, headers)
