"""Photographs keep their picture and lose what they tell beside it.

The parts are laid out by hand from the standards: markers of ITU-T T.81 (table B.1), Exif 2.32
(4.6.2), chunks of the W3C's PNG (5.3) and RFC 9649 (2.7).
"""

from struct import pack, unpack
from zlib import compress, crc32

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.base.photographs import bare, kind_of

PLACE = b"52.37N 4.89E"


def segment(marker, body):
    return pack(">BBH", 0xFF, marker, len(body) + 2) + body


def exif(orientation, order=">"):
    """Which way is up, and a place behind it."""
    head = {"<": b"II*\0", ">": b"MM\0*"}[order]
    entry = pack(f"{order}HHIHH", 0x0112, 3, 1, orientation, 0)
    return b"Exif\0\0" + head + pack(f"{order}IH", 8, 1) + entry + bytes(4) + PLACE


JFIF = segment(0xE0, b"JFIF\0\1\2\0\0\1\0\1\0\0")
COLOURS = segment(0xE2, b"ICC_PROFILE\0\1\1profile")
PICTURE = segment(0xDB, bytes(65)) + segment(0xC0, bytes(15))
SCAN = segment(0xDA, bytes(8)) + b"\x12\xff\x00\x34\xff\xd0\x56\xff\x00" + b"\xff\xd9"


def jpeg(*told, behind=b""):
    return b"\xff\xd8" + JFIF + b"".join(told) + COLOURS + PICTURE + SCAN + behind


def chunk(name, body):
    return pack(">I", len(body)) + name + body + pack(">I", crc32(name + body))


def png(*told):
    shape = chunk(b"IHDR", pack(">IIBBBBB", 1, 1, 8, 0, 0, 0, 0))
    return b"\x89PNG\r\n\x1a\n" + shape + b"".join(told) + chunk(b"IDAT", compress(b"\0\0"))


END = chunk(b"IEND", b"")


def webp(*chunks):
    body = b"WEBP" + b"".join(chunks)
    return b"RIFF" + pack("<I", len(body)) + body


def part(name, body):
    return name + pack("<I", len(body)) + body + bytes(len(body) % 2)


def test_a_jpeg_keeps_its_picture_and_loses_place_comments_and_what_follows():
    told = (
        segment(0xE1, exif(1)),
        segment(0xE1, b"http://ns.adobe.com/xap/1.0/\0" + PLACE),
        segment(0xED, PLACE),
        segment(0xE2, b"MPF\0" + PLACE),
        segment(0xFE, PLACE),
    )
    assert bare(jpeg(*told, behind=jpeg(segment(0xE1, exif(1))))) == jpeg()


@pytest.mark.parametrize("order", ["<", ">"])
def test_of_what_a_jpeg_tells_only_the_way_up_stays(order):
    kept = bare(jpeg(segment(0xE1, exif(6, order))))
    assert PLACE not in kept
    at = kept.index(b"Exif\0\0")
    assert kept[at + 6 : at + 16] == b"MM\0*" + pack(">IH", 8, 1)
    assert unpack(">HHIH", kept[at + 16 : at + 26]) == (0x0112, 3, 1, 6)
    assert kept.endswith(COLOURS + PICTURE + SCAN)


def test_bareness_is_the_same_twice():
    once = bare(jpeg(segment(0xE1, exif(8))))
    assert bare(once) == once


def test_a_png_keeps_its_picture_and_loses_texts_and_exif():
    told = [chunk(name, PLACE) for name in (b"tEXt", b"iTXt", b"zTXt", b"eXIf", b"tIME")]
    assert bare(png(*told) + END + PLACE) == png() + END


def test_a_webp_keeps_its_picture_and_no_longer_announces_what_is_gone():
    picture, exif_part = part(b"VP8 ", b"picture"), part(b"EXIF", PLACE)
    sent = webp(part(b"VP8X", b"\x1c" + bytes(9)), picture, exif_part, part(b"XMP ", PLACE))
    assert bare(sent) == webp(part(b"VP8X", b"\x10" + bytes(9)), picture)


@pytest.mark.parametrize("whole", [jpeg(), png() + END, webp(part(b"VP8 ", b"pictures"))])
def test_a_photograph_cut_off_anywhere_is_refused(whole):
    for stop in range(12, len(whole)):
        with pytest.raises(InvalidInput):
            bare(whole[:stop])


@pytest.mark.parametrize("sent", [b"", b"<svg/>", b"GIF89a", b"%PDF-1.7"])
def test_what_is_no_photograph_is_refused(sent):
    assert kind_of(sent) is None
    with pytest.raises(InvalidInput) as refused:
        bare(sent)
    assert refused.value.faults[0].field == "photograph"
