"""Onsets of speech are read from sound that needs no decoder, and from nothing else."""

import wave

import pytest

from server.web.heard.onsets import onsets_of

RATE = 8000


def written(path, *, width=2):
    """Half a second of silence, then a tone for a second."""
    tone = b"".join((9000 * (1 if n // 8 % 2 else -1)).to_bytes(2, "little", signed=True)
                    for n in range(RATE))  # fmt: skip
    with wave.open(str(path), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(width)
        sound.setframerate(RATE)
        sound.writeframes(bytes(RATE) + tone)
    return path


def test_speech_sets_in_after_silence(tmp_path):
    (onset,) = onsets_of(written(tmp_path / "a"))
    assert onset == pytest.approx(0.5, abs=0.06)


def test_what_needs_a_decoder_tells_no_onsets(tmp_path):
    (tmp_path / "b").write_bytes(b"RIFF\x00\x00\x00\x00WAVEjunk")
    assert onsets_of(written(tmp_path / "a", width=1)) == onsets_of(tmp_path / "b") == ()
    assert onsets_of(tmp_path / "missing") == ()
