"""Onsets of speech in the sound of a take, where it is a file that needs no decoder.

Starts of segments snap to them. Other sounds go without: the words alone tell nearly as well.
"""

import wave
from pathlib import Path

MOST_BYTES = 150_000_000
"""About half an hour of the sound that recorders write; it is read as a whole."""


def onsets_of(file: Path) -> tuple[float, ...]:
    """When sound sets in after silence, in s; nothing for a file that cannot be read here."""
    try:
        if file.stat().st_size > MOST_BYTES:
            return ()
        with wave.open(str(file)) as sound:
            if sound.getsampwidth() != 2:
                return ()
            rate, channels = sound.getframerate(), sound.getnchannels()
            content = sound.readframes(sound.getnframes())
    except (OSError, EOFError, wave.Error):
        return ()
    # Loaded where there is a sound to be read: the start does without.
    import numpy as np

    from server.domain.heard.sound import onsets_s

    whole = len(content) // (2 * channels) * channels
    samples = np.frombuffer(content[: 2 * whole], "<i2").reshape(-1, channels)[:, 0]
    return onsets_s(samples / 32768.0, rate)
