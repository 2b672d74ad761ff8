"""A sound as samples for a recogniser: one channel, 16 kHz, 16 bits."""

import wave
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

RATE = 16_000

DECODER = "faster_whisper"
"""It brings a decoder of compressed sound with it."""


class Undecodable(Exception):
    """Nothing here can read the file; the message says why."""


def samples_of(file: Path) -> bytes:
    """The samples of a file. Raises Undecodable."""
    # Loaded in the listening process alone: the start of the app does without.
    import numpy as np

    try:
        with wave.open(str(file)) as sound:
            width, rate, channels = (
                sound.getsampwidth(), sound.getframerate(), sound.getnchannels()
            )  # fmt: skip
            content = sound.readframes(sound.getnframes()) if width == 2 else b""
    except (OSError, EOFError, wave.Error):
        return _decoded(file)
    if not content:
        return _decoded(file)
    whole = len(content) // (2 * channels) * channels
    samples = np.frombuffer(content[: 2 * whole], "<i2").reshape(-1, channels)[:, 0]
    if rate == RATE:
        return samples.tobytes()
    places = np.arange(0, len(samples), rate / RATE)
    even = np.interp(places, np.arange(len(samples)), samples)
    return bytes(even.astype("<i2").tobytes())


def _decoded(file: Path) -> bytes:
    import numpy as np

    if find_spec(DECODER) is None:
        raise Undecodable("Nothing here can read compressed sound.")
    module: Any = import_module(f"{DECODER}.audio")
    try:
        samples = module.decode_audio(str(file), sampling_rate=RATE)
    except Exception as error:  # Whatever a file holds that no decoder can read.
        raise Undecodable(f"This sound could not be read: {error}") from error
    return bytes((np.clip(samples, -1, 1) * 32767).astype("<i2").tobytes())
