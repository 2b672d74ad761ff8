"""Loudness as bytes, one for each frame: 2.5 to a decibel, 255 is as loud as a sound can be.

>>> amplitude(255), round(amplitude(205), 3)
(1.0, 0.1)
"""

FRAME_S = 0.01
PER_DB = 2.5


def amplitude(byte: int) -> float:
    """The root mean square that a byte stands for, 0 to 1; 0 is silence."""
    return float(10 ** ((byte - 255) / PER_DB / 20)) if byte else 0.0
