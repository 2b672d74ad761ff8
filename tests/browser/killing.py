"""Ends a browser as an empty battery would."""

import os
import signal
import time
from contextlib import suppress
from pathlib import Path


def kill_browser_of(profile: Path) -> None:
    """SIGKILL every process of the browser that was started with this profile."""
    mine = [
        int(entry.name)
        for entry in Path("/proc").iterdir()
        if entry.name.isdigit() and str(profile) in command_line(entry)
    ]
    assert mine, "no browser runs with that profile"
    for pid in mine:
        with suppress(ProcessLookupError):  # It went with one that was killed before it.
            os.kill(pid, signal.SIGKILL)
    while any(command_line(Path("/proc") / str(pid)) for pid in mine):
        time.sleep(0.01)
    for lock in profile.glob("Singleton*"):
        lock.unlink()


def command_line(process: Path) -> str:
    """The command a process was started with; empty once it has ended."""
    try:
        return (process / "cmdline").read_bytes().decode(errors="replace")
    except OSError:
        return ""
