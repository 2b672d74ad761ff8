"""Uploaded files in a bucket of an S3-compatible store: each file is the ordered list of its parts.

    <prefix>/<kind>/<name>/<place of its first byte>

Nothing is ever added to what lies in such a store, so every part is an object of its own, named by
where it begins. A part is put where the parts that were counted end: a worker that is killed before
the database counts it leaves one that the next try lays over, whichever worker that asks. What lies
behind a gap is no part of the file.
"""

import logging
import os
import time
from collections import defaultdict
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import timedelta
from functools import lru_cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TYPE_CHECKING, BinaryIO

from obstore.exceptions import BaseError
from obstore.store import S3Store

from server.domain.base.errors import Conflict, TooLarge, Unreachable
from server.store.uploads.media import MB, random_name

if TYPE_CHECKING:
    from obstore.store import S3Config

SCHEME = "s3://"
ENDPOINT, KEY_ID, SECRET = "AWS_ENDPOINT_URL", "AWS_ACCESS_KEY_ID", "AWS_SECRET_ACCESS_KEY"
NEEDED = (ENDPOINT, KEY_ID, SECRET)
"""Without these the library would ask hosts that nobody named."""

REGION, SESSION = "AWS_REGION", "AWS_SESSION_TOKEN"
USUAL_REGION = "us-east-1"
"""What stores take that know no regions."""

PIECE = 4 * MB
"""A file that comes whole is put, and read, in pieces of so many bytes at the most."""

CONNECT_S, ANSWER_S, TRIES, GIVE_UP_S = 2, 30, 2, 6
REST_S = 2.0
"""After a failure nobody asks for so long: a page asks often, and each question waits."""

AWAY = (
    "The store of files cannot be reached just now, or refuses what it is asked. Nothing was "
    "changed, and nothing that was sent is lost on its device: try again in a moment. If it stays "
    "so, whoever runs the app should look at the store that NINEFIFTY_FILES names; the log of the "
    "app says what it answered."
)

_log = logging.getLogger(__name__)


@dataclass
class Bucket:
    """A connection to a bucket, and until when it is left alone after it failed."""

    store: S3Store
    rests_until_s: float = 0.0

    @contextmanager
    def asked(self) -> Iterator[S3Store]:
        """A stretch that asks the store; what fails in it is told in words.

        Raises Unreachable, and FileNotFoundError for what is not there.
        """
        if time.monotonic() < self.rests_until_s:
            raise Unreachable(AWAY)
        try:
            yield self.store
        except FileNotFoundError:
            raise
        except (BaseError, OSError) as error:
            self.rests_until_s = time.monotonic() + REST_S
            _log.warning("The store of files failed: %s", str(error).partition("\n\n")[0])
            raise Unreachable(AWAY) from error


def bucket_at(address: str) -> Bucket:
    """The bucket of an address, reached as the library's usual variables say."""
    names = (*NEEDED, REGION, SESSION)
    return _bucket(address, tuple((name, os.environ.get(name, "")) for name in names))


def missing_variables() -> list[str]:
    """Those that must be set, and are not."""
    return [name for name in NEEDED if not os.environ.get(name)]


@lru_cache(maxsize=4)
def _bucket(address: str, variables: tuple[tuple[str, str], ...]) -> Bucket:
    said = dict(variables)
    bucket, _, prefix = address.removeprefix(SCHEME).partition("/")
    config: S3Config = {
        "endpoint": said[ENDPOINT],
        "access_key_id": said[KEY_ID],
        "secret_access_key": said[SECRET],
        "region": said[REGION] or USUAL_REGION,
    }
    if said[SESSION]:
        config["session_token"] = said[SESSION]
    store = S3Store(
        bucket,
        prefix=prefix or None,
        config=config,
        client_options={
            "connect_timeout": timedelta(seconds=CONNECT_S),
            "timeout": timedelta(seconds=ANSWER_S),
            "allow_http": said[ENDPOINT].startswith("http://"),
        },
        retry_config={"max_retries": TRIES, "retry_timeout": timedelta(seconds=GIVE_UP_S)},
    )
    return Bucket(store)


class MediaBucket:
    """The uploaded files of one kind in a bucket."""

    is_far = True
    free = None

    def __init__(self, bucket: Bucket, kind: str, *, remembers: bool = False) -> None:
        self._bucket = bucket
        self._kind = kind
        self._held: dict[str, int | None] | None = {} if remembers else None
        self._given: set[tuple[str, int, int]] = set()

    def ahead(self) -> "MediaBucket":
        """This place as one request sees it: see `MediaPlace`."""
        return MediaBucket(self._bucket, self._kind, remembers=True)

    def require_room(self, size_bytes: int) -> None:
        """Nothing: a store has room, or says so when it is given something."""

    def new_name(self) -> str:
        """A name for a file that is yet to come."""
        return random_name()

    def name_anew(self, name: str) -> str:
        """Another name: parts that are left, or still on their way, must not mix with new ones."""
        return self.new_name()

    def size(self, name: str) -> int | None:
        """How much of a file is here, from its first byte; None for nothing of it."""
        if self._held is None:
            return self._size(name)
        if name not in self._held:
            self._held[name] = self._size(name)
        return self._held[name]

    def holds(self, name: str, size_bytes: int) -> bool:
        """Whether the first `size_bytes` of a file are here."""
        return size_bytes == 0 or (self.size(name) or 0) >= size_bytes

    def put(self, content: BinaryIO, most_bytes: int) -> tuple[str, int]:
        """Keep a file that comes whole, in pieces. Raises TooLarge; nothing then stays of it."""
        name, size = self.new_name(), 0
        try:
            while piece := content.read(PIECE):
                if size + len(piece) > most_bytes:
                    raise TooLarge(f"A file may have {most_bytes // MB} MB here.")
                self._lay(name, size, piece)
                size += len(piece)
        except BaseException:
            self.drop(name)
            raise
        return name, size

    def append(self, name: str, held_bytes: int, part: bytes) -> None:
        """Add a part behind the first `held_bytes`; the store has acknowledged it on return.

        Raises Conflict where the file does not hold that much.
        """
        given = (name, held_bytes, len(part))
        if given in self._given:
            return
        if not self.holds(name, held_bytes):
            raise Conflict("Some of what was sent is missing here: it has to be sent anew.")
        self._lay(name, held_bytes, part)
        if self._held is not None:
            self._given.add(given)

    def read(self, name: str, start: int, stop: int) -> Iterator[bytes]:
        """The bytes of a file from `start` to before `stop`. Raises FileNotFoundError."""
        for first, size in self._chain(name):
            low, high = max(start, first), min(stop, first + size)
            if low < high:
                with self._bucket.asked() as store:
                    found = store.get_range(
                        self._key(name, first), start=low - first, end=high - first
                    )
                yield bytes(found)

    @contextmanager
    def at_hand(self, name: str) -> Iterator[Path]:
        """A copy of a file on this computer, within this block; a file that is not here is not
        there either.
        """
        with TemporaryDirectory(prefix="ninefifty-") as room:
            path = Path(room) / "file"
            size = self._size(name)
            if size is not None:
                with path.open("xb") as file:
                    file.writelines(self.read(name, 0, size))
            yield path

    def files(self) -> Iterator[tuple[str, int]]:
        """Names and sizes of all files."""
        parts: dict[str, list[tuple[int, int]]] = defaultdict(list)
        for name, first, size in self._parts(self._kind):
            parts[name].append((first, size))
        for name in sorted(parts):
            chain = _chained(parts[name])
            if chain:
                yield name, sum(chain[-1])

    def remove(self, name: str) -> None:
        """Delete a file with all its parts; it need not be there."""
        keys = [self._key(name, first) for _, first, _ in self._parts_of(name)]
        if keys:
            with self._bucket.asked() as store:
                store.delete(keys)

    def drop(self, name: str) -> None:
        """Delete a file that nothing names any more, if that can be done now."""
        with suppress(Unreachable):
            self.remove(name)

    def clear(self) -> None:
        """Nothing: what a crash left costs room, and another server may just be putting it."""

    def trouble(self) -> str:
        """Why files cannot be had just now, "" where they can."""
        try:
            with self._bucket.asked() as store:
                next(iter(store.list(self._kind, chunk_size=1)), None)
        except Unreachable as error:
            return error.message
        return ""

    def _lay(self, name: str, first: int, part: bytes) -> None:
        with self._bucket.asked() as store:
            # In one piece: it is there as a whole, or not at all.
            store.put(self._key(name, first), part, use_multipart=False)

    def _size(self, name: str) -> int | None:
        chain = self._chain(name)
        return sum(chain[-1]) if chain else None

    def _chain(self, name: str) -> list[tuple[int, int]]:
        return _chained([(first, size) for _, first, size in self._parts_of(name)])

    def _parts_of(self, name: str) -> list[tuple[str, int, int]]:
        # A file that was forgotten has no name any more: that must not stand for all.
        return list(self._parts(f"{self._kind}/{name}")) if name else []

    def _parts(self, below: str) -> Iterator[tuple[str, int, int]]:
        """Name, first byte and size of what lies below a key."""
        with self._bucket.asked() as store:
            found = [each for some in store.list(below) for each in some]
        for each in found:
            name, _, first = each["path"].rpartition("/")
            if first.isdecimal():
                yield name.rpartition("/")[2], int(first), each["size"]

    def _key(self, name: str, first: int) -> str:
        return f"{self._kind}/{name}/{first:015d}"


def _chained(parts: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """Those parts (first byte, size) that follow on one another from the first byte on."""
    chain, end = [], 0
    for first, size in sorted(parts):
        if first == end and size:
            chain.append((first, size))
            end += size
    return chain
