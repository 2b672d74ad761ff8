"""Onsets of speech, from samples of one channel between -1 and 1."""

from typing import Any

import numpy as np
import numpy.typing as npt

from server.domain.heard.loudness import FRAME_S, amplitude

Samples = npt.NDArray[np.floating[Any]]

SMOOTH_S = 0.05
"""Loudness is told over this long: a syllable's, not a pulse's."""

QUIET_S = 0.25
"""Silence before an onset: shorter ones stand within words."""

LASTING_S = 0.12
"""Sound after an onset: a glass set down is shorter than a word."""

ABOVE_NOISE = 4.0
"""How many times louder than the quietest tenth speech is; 12 dB."""

LEAST = 0.003
"""Loudness below which everything is silence, whatever the quietest tenth; -50 dB."""


def onsets_s(samples: Samples, rate: int) -> tuple[float, ...]:
    """When sound sets in after silence, in s; nothing for silence or an unbroken noise."""
    size = max(1, round(rate * FRAME_S))
    whole = len(samples) // size * size
    frames = np.nan_to_num(samples[:whole].astype(np.float64)).reshape(-1, size)
    return _onsets((frames**2).mean(axis=1))


def onsets_in(loudness: bytes) -> tuple[float, ...]:
    """The same from the loudness of each frame, a byte for each (see `loudness`)."""
    heard = np.array([amplitude(each) for each in range(256)])
    return _onsets(heard[np.frombuffer(loudness, np.uint8)] ** 2)


def _onsets(power: npt.NDArray[np.float64]) -> tuple[float, ...]:
    loud = _smoothed(power)
    if not len(loud):
        return ()
    threshold = max(LEAST, ABOVE_NOISE * float(np.quantile(loud, 0.1)))
    is_on = np.concatenate(([False], loud > threshold, [False]))
    edges = np.flatnonzero(is_on[1:] != is_on[:-1])
    starts, ends = edges[::2], edges[1::2]
    found: list[float] = []
    quiet, lasting = round(QUIET_S / FRAME_S), round(LASTING_S / FRAME_S)
    silent_from = -quiet
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        if end - start < lasting:
            continue
        if start - silent_from >= quiet:
            found.append(round(start * FRAME_S, 3))
        silent_from = end
    return tuple(found)


def _smoothed(power: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """The root mean square of each frame with those behind it."""
    width = max(1, round(SMOOTH_S / FRAME_S))
    if len(power) < width:
        return np.asarray(np.sqrt(power))
    # Each frame with those behind it: an onset is never told late.
    padded = np.concatenate((power, np.zeros(width - 1)))
    smoothed: npt.NDArray[np.float64] = np.sqrt(
        np.convolve(padded, np.ones(width) / width, mode="valid")
    )
    return smoothed
