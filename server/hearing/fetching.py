"""`./run fetch-speech`: puts a speech model into a folder, once, on purpose.

The only place of the app that asks another host for something, and no page leads here: who wants
it starts it by hand. The app itself then reads the folder and asks nobody.
"""

import sys
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from server.hearing.whisper import LIBRARY, trouble_with

MODEL = "base"
"""Small enough for two threads and a tenth of the recording's time, good enough for a talk."""


def fetch_model(folder: Path) -> None:
    """Fetch the model into a folder. Leaves with a sentence where that cannot be done."""
    if find_spec(LIBRARY) is None:
        sys.exit("The recogniser is not installed: ./run fetch-speech does that first.")
    if not trouble_with(str(folder)):
        print(f"There is a speech model in {folder} already.")
        return
    print(f"Fetching the speech model “{MODEL}” into {folder}, about 150 MB, once …", flush=True)
    utils: Any = import_module(f"{LIBRARY}.utils")
    try:
        utils.download_model(MODEL, output_dir=str(folder))
    except Exception as error:  # Whatever keeps it from the other host or from the disk.
        sys.exit(f"The speech model could not be fetched: {error}")
    if trouble := trouble_with(str(folder)):
        sys.exit(f"What was fetched is not complete. {trouble}")
    print(f"It is here. Start the app with ./run --speech --speech-model {folder}")
