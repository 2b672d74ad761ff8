"""Ports of this machine: a free one, and whether something answers on one.

It loads nothing of the app, so that what the app is measured against can use it too.
"""

import socket

SLOWEST_ANSWER_S = 90


def is_answered(port: int, path: str = "/healthz") -> bool:
    """Whether a page is answered just now, whatever it says; as cheap as asking can be."""
    try:
        with socket.create_connection(("127.0.0.1", port), timeout=SLOWEST_ANSWER_S) as connection:
            connection.sendall(f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n".encode())
            return connection.recv(12).startswith(b"HTTP/1.1 ")
    except OSError:
        return False


def free_port() -> int:
    """A port nothing listens on just now."""
    with socket.socket() as listener:
        listener.bind(("127.0.0.1", 0))
        port: int = listener.getsockname()[1]
        return port
