"""What others and the machine do to the server while a run is timed on it."""

import contextlib
import resource
import socket
import threading

from tests.real_server import RealServer

_HEAD = (
    "POST {path} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nOrigin: http://127.0.0.1:{port}\r\n"
    "Content-Type: {kind}\r\nContent-Length: 900000\r\n\r\n"
)
_FORM = "multipart/form-data; boundary=x"
_START = b'--x\r\nContent-Disposition: form-data; name="file"; filename="a"\r\n\r\n'
TRICKLE_EVERY_S = 0.05
FULL_AT_BYTES = 4096
"""Nothing can be written behind this place of any file: to SQLite that is a disk without room."""


class Harm:
    """Connections that are held open, and the limits set; all of it ends with `end`."""

    def __init__(self) -> None:
        self._held: list[socket.socket] = []
        self._ended = threading.Event()

    def stall_a_body(self, port: int) -> None:
        """Begin to send marks, and then send no more."""
        self._begin(port, "/api/runs/x/events", "application/json", b'{"events": [')

    def upload_slowly(self, port: int) -> None:
        """Send a file byte by byte."""
        held = self._begin(port, "/import", _FORM, _START)
        threading.Thread(target=self._trickle, args=(held,), daemon=True).start()

    def fill_the_disk(self, server: RealServer) -> None:
        """Leave the server no room to write."""
        hard = resource.prlimit(server.pid, resource.RLIMIT_FSIZE)[1]
        resource.prlimit(server.pid, resource.RLIMIT_FSIZE, (FULL_AT_BYTES, hard))

    def make_room(self, server: RealServer) -> None:
        """Take that back."""
        hard = resource.prlimit(server.pid, resource.RLIMIT_FSIZE)[1]
        resource.prlimit(server.pid, resource.RLIMIT_FSIZE, (hard, hard))

    def end(self) -> None:
        """Let go of all connections."""
        self._ended.set()
        for each in self._held:
            each.close()

    def _begin(self, port: int, path: str, kind: str, start: bytes) -> socket.socket:
        held = socket.create_connection(("127.0.0.1", port), timeout=5)
        held.sendall(_HEAD.format(path=path, port=port, kind=kind).encode() + start)
        self._held.append(held)
        return held

    def _trickle(self, held: socket.socket) -> None:
        with contextlib.suppress(OSError):
            while not self._ended.wait(TRICKLE_EVERY_S):
                held.sendall(b"x")
