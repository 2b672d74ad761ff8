"""`python -m server.hearing FILE MODEL LANGUAGE`: listens to a file, and ends with the app.

It has the lowest priority: a run that is marked meanwhile waits for nothing.
"""

import os
import sys
from pathlib import Path

from server.hearing.aside import end_with_the_app, say
from server.hearing.whisper import heard, trouble_with

NICE = 15

OFFLINE = {"HF_HUB_OFFLINE": "1", "TRANSFORMERS_OFFLINE": "1"}
"""Told to the libraries before they are loaded: nothing is ever fetched from elsewhere."""


def main(file: str, model: str, language: str) -> None:
    """Write what is heard to the standard output, a line at a time."""
    os.nice(NICE)
    os.environ.update(OFFLINE)
    end_with_the_app()
    trouble = trouble_with(model)
    if trouble:
        say(trouble=trouble)
        return
    words = []
    try:
        for share, more in heard(Path(file), model, language):
            words += more
            say(share=share)
    except Exception as error:
        # Whatever a file holds that no decoder can read: the person is told, not the log alone.
        say(trouble=f"The recogniser could not read this recording: {error}")
        return
    say(words=words)


if __name__ == "__main__":
    main(*sys.argv[1:4])
