"""What kind of sound a file holds, told by its first bytes: a name or a header can say anything."""

from dataclasses import dataclass

from server.domain.base.media import is_mp3_frame

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

# First packets of the sounds that Ogg carries; a film begins with another one.
_OGG_SOUNDS = (b"\x01vorbis", b"OpusHead", b"\x7fFLAC")
_M4A_BRANDS = (b"M4A ", b"M4B ")


def audio_kind(start: bytes) -> AudioKind | None:
    """The kind of sound of a file that starts with these bytes; None if it is no sound we know.

    By the formats' own marks: "ID3" or an MPEG frame (ISO/IEC 11172-3, 2.4.1.3), "RIFF…WAVE"
    (Microsoft, 1991), "OggS" with a packet of sound (RFC 3533, RFC 7845), "fLaC" (RFC 9639), an
    ADTS frame (ISO/IEC 13818-7), "ftyp" with the brand of a sound (ISO/IEC 14496-12).
    """
    if start.startswith(b"ID3"):
        return MP3
    if start.startswith(b"RIFF") and start[8:12] == b"WAVE":
        return WAVE
    if start.startswith(b"fLaC"):
        return FLAC
    if start.startswith(b"OggS\x00"):
        return OGG if start[28:36].startswith(_OGG_SOUNDS) else None
    if start[4:8] == b"ftyp":
        return M4A if start[8:12] in _M4A_BRANDS else None
    return _frame_kind(start)


def _frame_kind(start: bytes) -> AudioKind | None:
    """MP3 or AAC by the header of a frame."""
    if is_mp3_frame(start):
        return MP3
    # ADTS: twelve bits set, layer 0, and a sample rate that exists.
    is_adts = len(start) >= 4 and start[0] == 0xFF and start[1] & 0xF6 == 0xF0
    return AAC if is_adts and (start[2] >> 2) & 0x0F < 13 else None
