"""What kind of sound a file holds, told by its first bytes: a name or a header can say anything."""

from dataclasses import dataclass

from server.domain.base.media import Container, container_of

LONGEST_START = 256
"""How many bytes of a file are enough to tell."""


@dataclass(frozen=True)
class AudioKind:
    """A kind of sound file: its name for people, its media type, and the end of its names."""

    name: str
    media_type: str
    suffix: str


MP3 = AudioKind("MP3", "audio/mpeg", ".mp3")
WAVE = AudioKind("WAV", "audio/wav", ".wav")
OGG = AudioKind("Ogg", "audio/ogg", ".ogg")
FLAC = AudioKind("FLAC", "audio/flac", ".flac")
AAC = AudioKind("AAC", "audio/aac", ".aac")
M4A = AudioKind("M4A", "audio/mp4", ".m4a")

KINDS = (MP3, M4A, AAC, WAVE, OGG, FLAC)
"""The kinds that are taken."""

_PLAIN: dict[Container, AudioKind] = {"mp3": MP3, "wav": WAVE, "flac": FLAC}
"""Containers that hold sound alone."""

# First packets of the sounds that Ogg carries; a film begins with another one.
_OGG_SOUNDS = (b"\x01vorbis", b"OpusHead", b"\x7fFLAC")
_M4A_BRANDS = (b"M4A ", b"M4B ")


def audio_kind(start: bytes) -> AudioKind | None:
    """The kind of sound of a file that starts with these bytes; None if it is no sound we know.

    Of Ogg and MP4 those that carry sound alone (RFC 3533, RFC 7845; ISO/IEC 14496-12), and AAC in
    ADTS frames (ISO/IEC 13818-7).
    """
    container = container_of(start)
    if container == "ogg":
        return OGG if start[28:36].startswith(_OGG_SOUNDS) else None
    if container == "mp4":
        return M4A if start[8:12] in _M4A_BRANDS else None
    return _PLAIN.get(container) if container else _aac(start)


def _aac(start: bytes) -> AudioKind | None:
    # An ADTS frame: twelve bits set, layer 0, and a sample rate that exists.
    is_adts = len(start) >= 4 and start[0] == 0xFF and start[1] & 0xF6 == 0xF0
    return AAC if is_adts and (start[2] >> 2) & 0x0F < 13 else None
