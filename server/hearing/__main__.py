"""`python -m server.hearing FILE MODEL LANGUAGE`: listens to a file, and ends with the app.

It has the lowest priority: a run that is marked meanwhile waits for nothing.
"""

import os
import sys
import threading
from pathlib import Path

from server.hearing.lines import written
from server.hearing.whisper import heard, trouble_with

NICE = 15

OFFLINE = {"HF_HUB_OFFLINE": "1", "TRANSFORMERS_OFFLINE": "1"}
"""Told to the libraries before they are loaded: nothing is ever fetched from elsewhere."""


def main(file: str, model: str, language: str) -> None:
    """Write what is heard to the standard output, a line at a time."""
    os.nice(NICE)
    os.environ.update(OFFLINE)
    threading.Thread(target=_end_with_the_app, daemon=True).start()
    trouble = trouble_with(model)
    if trouble:
        _say(trouble=trouble)
        return
    words = []
    try:
        for share, more in heard(Path(file), model, language):
            words += more
            _say(share=share)
    except Exception as error:
        # Whatever a file holds that no decoder can read: the person is told, not the log alone.
        _say(trouble=f"The recogniser could not read this recording: {error}")
        return
    _say(words=words)


def _say(**told: object) -> None:
    print(written(**told), flush=True)


def _end_with_the_app() -> None:
    # The app holds the other end for as long as it lives.
    sys.stdin.buffer.read()
    os._exit(1)


if __name__ == "__main__":
    main(*sys.argv[1:4])
