"""Photographs: what one is, and the same without what it tells beside the picture.

Cameras write the place, the time and the device into a file. All of that is left out here; of a
JPEG only the way up stays, or it would lie on its side. Formats: JPEG (ITU-T T.81, annex B; JFIF;
Exif 2.32), PNG (W3C PNG, 5 and 11.3) and WebP (RFC 9649).

>>> kind_of(b"\\x89PNG\\r\\n\\x1a\\n" + bytes(8)), kind_of(b"<svg>")
('image/png', None)
"""

from collections.abc import Iterator
from struct import error, pack, unpack_from
from typing import Literal

from server.domain.base.errors import InvalidInput

PictureType = Literal["image/jpeg", "image/png", "image/webp"]

NAMES: dict[PictureType, str] = {"image/jpeg": "JPEG", "image/png": "PNG", "image/webp": "WebP"}
"""Kind of a picture that is taken in -> its name."""

MOST_OF_PHOTOGRAPH = 12 * 1024 * 1024
"""Bytes: what the camera of a phone writes, and some more."""

_PNG = b"\x89PNG\r\n\x1a\n"
_PNG_KEPT = {b"IHDR", b"PLTE", b"tRNS", b"cHRM", b"gAMA", b"sRGB", b"iCCP", b"sBIT", b"bKGD",
             b"pHYs", b"cICP", b"IDAT", b"IEND"}  # fmt: skip
_WEBP_KEPT = {b"VP8X", b"VP8 ", b"VP8L", b"ALPH", b"ICCP", b"ANIM", b"ANMF"}
_EXIF_FLAG, _XMP_FLAG = 0x08, 0x04
"""Bits of a VP8X chunk that announce what is left out (RFC 9649, 2.7)."""

_SOI, _EOI, _SOS, _APP0, _APP1, _APP2, _APP14, _APP15, _COM = (
    0xD8, 0xD9, 0xDA, 0xE0, 0xE1, 0xE2, 0xEE, 0xEF, 0xFE,
)  # fmt: skip
_ORIENTATION = 0x0112
_UPRIGHT = 1


def kind_of(content: bytes) -> PictureType | None:
    """What a picture is; None for anything else."""
    if content[:3] == b"\xff\xd8\xff":
        return "image/jpeg"
    if content[:8] == _PNG:
        return "image/png"
    return "image/webp" if content[:4] == b"RIFF" and content[8:12] == b"WEBP" else None


def bare(content: bytes) -> bytes:
    """The same picture without place, time, device, comments and previews.

    Raises InvalidInput on the field "photograph" for what is none, or is cut off.
    """
    kind = kind_of(content)
    if kind is None:
        raise InvalidInput.of("photograph", "This is no photograph. Choose a JPEG, PNG or WebP.")
    made = {"image/jpeg": _jpeg, "image/png": _png, "image/webp": _webp}[kind]
    try:
        return b"".join(made(content))
    except (error, IndexError, _CutOffError) as cut_off:
        told = f"This {NAMES[kind]} is cut off or damaged. Save it anew and try again."
        raise InvalidInput.of("photograph", told) from cut_off


class _CutOffError(ValueError):
    """A file ends before its picture does."""


def _part(content: bytes, begin: int, stop: int) -> bytes:
    if stop > len(content) or stop < begin:
        raise _CutOffError
    return content[begin:stop]


# JPEG


def _jpeg(content: bytes) -> Iterator[bytes]:
    """Marker by marker up to the end of the image; what follows it (other pictures) is left out."""
    yield content[:2]
    yield _turned(_orientation_of(content))
    at = 2
    while True:
        marker = _marker(content, at)
        if marker == _EOI:
            yield b"\xff\xd9"
            return
        stop = at + 2 + int(unpack_from(">H", content, at + 2)[0])
        if not _tells(marker, content[at + 4 : stop]):
            yield _part(content, at, stop)
        at = stop
        if marker == _SOS:
            stop = _end_of_scan(content, at)
            yield content[at:stop]
            at = stop


def _marker(content: bytes, at: int) -> int:
    if content[at] != 0xFF:
        raise _CutOffError
    return content[at + 1]


def _tells(marker: int, body: bytes) -> bool:
    """Whether a segment tells something beside the picture; colours need JFIF, ICC and Adobe's."""
    if marker == _COM:
        return True
    if not _APP0 <= marker <= _APP15:
        return False
    is_colour = marker == _APP2 and body.startswith(b"ICC_PROFILE\0")
    is_form = marker == _APP0 and body.startswith(b"JFIF\0")
    return not (is_colour or is_form or marker == _APP14)


def _end_of_scan(content: bytes, at: int) -> int:
    """Where the next marker stands: coded data holds 0xFF only before 0 and the restart markers."""
    while True:
        at = content.find(b"\xff", at)
        if at < 0 or at + 1 >= len(content):
            raise _CutOffError
        following = content[at + 1]
        if following == 0 or 0xD0 <= following <= 0xD7:
            at += 2
        elif following == 0xFF:
            at += 1
        else:
            return at


def _orientation_of(content: bytes) -> int:
    """Which way is up, 1 to 8 as Exif counts; 1 where that is not told."""
    at = 2
    while content[at] == 0xFF and content[at + 1] not in (_SOS, _EOI):
        size = int(unpack_from(">H", content, at + 2)[0])
        body = content[at + 4 : at + 2 + size]
        if content[at + 1] == _APP1 and body.startswith(b"Exif\0\0"):
            return _from_exif(body[6:])
        at += 2 + size
    return _UPRIGHT


def _from_exif(tiff: bytes) -> int:
    try:
        order = {b"II": "<", b"MM": ">"}[tiff[:2]]
        (first,) = unpack_from(f"{order}I", tiff, 4)
        (count,) = unpack_from(f"{order}H", tiff, first)
        for number in range(min(count, 100)):
            tag, _, _, value = unpack_from(f"{order}HHIH", tiff, first + 2 + 12 * number)
            if tag == _ORIENTATION and 1 <= value <= 8:
                return int(value)
    except (KeyError, error):
        pass
    return _UPRIGHT


def _turned(orientation: int) -> bytes:
    """An Exif segment that tells which way is up and nothing else; none where it is upright."""
    if orientation == _UPRIGHT:
        return b""
    tiff = b"MM\0*" + pack(">IHHHIHHI", 8, 1, _ORIENTATION, 3, 1, orientation, 0, 0)
    body = b"Exif\0\0" + tiff
    return pack(">BBH", 0xFF, _APP1, len(body) + 2) + body


# PNG and WebP


def _png(content: bytes) -> Iterator[bytes]:
    yield _PNG
    at = len(_PNG)
    while True:
        size, name = unpack_from(">I4s", content, at)
        stop = at + 12 + size
        chunk = _part(content, at, stop)
        if name in _PNG_KEPT:
            yield chunk
        if name == b"IEND":
            return
        at = stop


def _webp(content: bytes) -> Iterator[bytes]:
    stop_of_all = 8 + int(unpack_from("<I", content, 4)[0])
    _part(content, 0, stop_of_all)
    kept, at = [], 12
    while at + 8 <= stop_of_all:
        name, size = unpack_from("<4sI", content, at)
        stop = at + 8 + size + size % 2
        chunk = _part(content, at, stop)
        if name == b"VP8X":
            chunk = chunk[:8] + bytes([chunk[8] & ~(_EXIF_FLAG | _XMP_FLAG)]) + chunk[9:]
        if name in _WEBP_KEPT:
            kept.append(chunk)
        at = stop
    body = b"WEBP" + b"".join(kept)
    yield b"RIFF" + pack("<I", len(body)) + body
