"""An uploaded file as an answer: all of it, or the piece that a player asks for.

A file of this computer is answered by the framework. One that lies in a store comes through here,
a part after the other, so that the door stands before it and no page names another host.
"""

import re
from collections.abc import Mapping
from itertools import chain

from fastapi import Request, Response
from fastapi.responses import FileResponse, StreamingResponse

from server.domain.base.errors import NotFound
from server.store.uploads.media import MediaFolder
from server.store.uploads.media_place import FarPlace, MediaPlace, far

_ONE_RANGE = re.compile(r"bytes=([0-9]{0,18})-([0-9]{0,18})", re.IGNORECASE)


def placed_file(
    request: Request,
    place: MediaPlace,
    name: str,
    gone: str,
    *,
    media_type: str,
    headers: Mapping[str, str],
    filename: str | None = None,
    disposition: str = "attachment",
) -> Response:
    """The file of a name; `filename` is what it is called when it is saved.

    Raises NotFound, which says `gone`, where it is none, and Unreachable.
    """
    path = place.path(name) if isinstance(place, MediaFolder) else name
    if not (place.size(name) or 0):
        raise NotFound(gone)
    answer = FileResponse(
        path,
        media_type=media_type,
        headers=headers,
        filename=filename,
        content_disposition_type=disposition,
    )
    store = far(place)
    return answer if store is None else _from_store(request, store, name, gone, answer)


def _from_store(
    request: Request, place: FarPlace, name: str, gone: str, like: FileResponse
) -> Response:
    """The same from a store: `like` has the headers that it would have here."""
    size = place.size(name) or 0
    headers = {**like.headers, "etag": f'"{name}-{size}"'}
    start, stop, status = 0, size, 200
    asked = _asked(request, headers["etag"], size)
    if asked is not None:
        start, stop, status = *asked, 206
        headers["content-range"] = f"bytes {start}-{stop - 1}/{size}"
        if not start < min(stop, size):
            return Response(status_code=416, headers={"content-range": f"bytes */{size}"})
    headers["content-length"] = str(stop - start)
    if request.method == "HEAD":
        return Response(status_code=status, headers=headers)
    pieces = place.read(name, start, stop)
    try:
        # Before the answer begins: after that a failure could only cut it off.
        first = next(pieces, b"")
    except FileNotFoundError as error:
        raise NotFound(gone) from error
    return StreamingResponse(chain((first,), pieces), status, headers)


def _asked(request: Request, etag: str, size: int) -> tuple[int, int] | None:
    """The one piece that is asked for (RFC 9110, 14.1.2), from the first byte to behind the last.

    None for the whole, which is a right answer to whatever else is asked.
    """
    found = _ONE_RANGE.fullmatch(request.headers.get("range", "").replace(" ", ""))
    if found is None or request.headers.get("if-range", etag) != etag or not any(found.groups()):
        return None
    first, last = found.groups()
    if not first:
        return max(size - int(last), 0), size if int(last) else 0
    if last and int(last) < int(first):
        return None
    return int(first), min(int(last) + 1, size) if last else size
