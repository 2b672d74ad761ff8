"""What a program beside the app does: it tells what it comes to, and ends with the app."""

import os
import sys
import threading

from server.hearing.lines import written


def say(**told: object) -> None:
    """Tell the app something, as a line of its own."""
    print(written(**told), flush=True)


def end_with_the_app() -> None:
    """Have this process end when the app does; at once, whatever it does then."""
    threading.Thread(target=_end_when_let_go, daemon=True).start()


def _end_when_let_go() -> None:
    # The app holds the other end for as long as it lives.
    sys.stdin.buffer.read()
    os._exit(1)
