"""What a file of sound or video is, told by its first bytes and not by what it is called.

The patterns are those of the WHATWG MIME Sniffing Standard (6.2, "Matching an audio or video type
pattern"), with one difference: of an MP4 any brand is taken, because devices write many.
"""

from typing import Literal

Container = Literal["webm", "mp4", "ogg", "wav", "mp3", "flac"]
Kind = Literal["sound", "video"]

HEAD_BYTES = 64
"""How many first bytes are enough to tell."""

MOST_OF_CAPTIONS = 5_000_000
"""Bytes of a file of captions; ten minutes hold twenty thousand."""


_EBML = b"\x1a\x45\xdf\xa3"
_DOC_TYPE = b"\x42\x82"
_MEDIA_TYPES: dict[tuple[Container, Kind], str] = {
    ("webm", "sound"): "audio/webm",
    ("webm", "video"): "video/webm",
    ("mp4", "sound"): "audio/mp4",
    ("mp4", "video"): "video/mp4",
    ("ogg", "sound"): "audio/ogg",
    ("ogg", "video"): "video/ogg",
    ("wav", "sound"): "audio/wav",
    ("mp3", "sound"): "audio/mpeg",
    ("flac", "sound"): "audio/flac",
}


def container_of(head: bytes) -> Container | None:
    """The container that a file with these first bytes is; None for anything else.

    >>> container_of(b"OggS" + bytes(60)), container_of(b"<html>")
    ('ogg', None)
    """
    if head[:4] == _EBML:
        return "webm" if _is_webm(head) else None
    if head[4:8] == b"ftyp":
        return "mp4" if _is_box(head) else None
    if head[:5] == b"OggS\x00":
        return "ogg"
    if head[:4] == b"RIFF" and head[8:12] == b"WAVE":
        return "wav"
    if head[:4] == b"fLaC":
        return "flac"
    return "mp3" if head[:3] == b"ID3" or _is_mp3_frame(head) else None


def media_type(container: Container, kind: Kind) -> str | None:
    """The media type under which a file is served; None where such a file holds no video.

    >>> media_type("webm", "sound"), media_type("wav", "video")
    ('audio/webm', None)
    """
    return _MEDIA_TYPES.get((container, kind))


def _is_webm(head: bytes) -> bool:
    at = head.find(_DOC_TYPE, 4, HEAD_BYTES - 8)
    return at >= 0 and head[at + 2 : at + 7] == b"\x84webm"


def _is_box(head: bytes) -> bool:
    size = int.from_bytes(head[:4], "big")
    return len(head) >= 12 and size >= 12 and size % 4 == 0


def _is_mp3_frame(head: bytes) -> bool:
    """Whether a file begins with a frame of MPEG audio, layer III (ISO/IEC 11172-3, 2.4.1.3)."""
    # 11 set bits, then MPEG version, layer III, bit rate and sample rate that exist.
    if len(head) < 4 or head[0] != 0xFF or head[1] & 0xE0 != 0xE0:
        return False
    version, layer = head[1] >> 3 & 3, head[1] >> 1 & 3
    bit_rate, sample_rate = head[2] >> 4, head[2] >> 2 & 3
    return version != 1 and layer == 1 and bit_rate not in (0, 15) and sample_rate != 3
