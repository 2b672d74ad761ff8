"""Kinds of sound by their first bytes.

Checked against the patterns for audio of the MIME Sniffing Standard (WHATWG, section 6.2, from
memory: "ID3", "OggS\\0", "RIFF....WAVE"), against files written by Python's own `wave` module, and
against the worked first bytes in RFC 9639 (FLAC) and RFC 7845 (Opus in Ogg).
"""

import io
import wave

from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.audio import AAC, FLAC, LONGEST_START, M4A, MP3, OGG, WAVE, audio_kind
from tests.table import table


def wav(seconds=0.1):
    """A file of silence by the standard library."""
    content = io.BytesIO()
    with wave.open(content, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(1)
        file.setframerate(3000)  # the lowest that browsers play
        file.writeframes(b"\x80" * round(seconds * 3000))
    return content.getvalue()


def ogg_page(packet):
    """The first page of an Ogg stream, as RFC 3533, section 6, lays it out: 27 bytes, one length,
    then the packet."""
    return b"OggS" + bytes(22) + b"\x01" + bytes([len(packet)]) + packet


@table(
    "start, kind",
    [
        (b"ID3\x04\x00\x00\x00\x00\x00\x00", MP3),
        (b"\xff\xfb\x90\x64", MP3),  # MPEG-1 layer III, 128 kbit/s, 44.1 kHz
        (b"\xff\xf3\x40\xc4", MP3),  # MPEG-2 layer III
        (b"\xff\xf1\x50\x80", AAC),
        (b"\xff\xf9\x4c\x80", AAC),
        (wav(), WAVE),
        (b"fLaC\x00\x00\x00\x22", FLAC),
        (ogg_page(b"OpusHead\x01\x02"), OGG),
        (ogg_page(b"\x01vorbis\x00\x00\x00\x00"), OGG),
        (ogg_page(b"\x7fFLAC\x01\x00"), OGG),
        (b"\x00\x00\x00\x20ftypM4A \x00\x00\x02\x00", M4A),
    ],
)
def test_a_sound_is_known_by_its_first_bytes(start, kind):
    assert audio_kind(start) == kind


@table(
    "start",
    [
        b"",
        b"\xff",
        b"RIFF\x00\x00\x00\x00AVI LIST",  # a film
        b"RIFF\x00\x00\x00\x00WEBPVP8 ",  # a picture
        ogg_page(b"\x80theora\x03\x02"),  # a film
        b"\x00\x00\x00\x20ftypisom\x00\x00\x02\x00",  # a film
        b"\x1a\x45\xdf\xa3",  # Matroska
        b"\xff\xd8\xff\xe0\x00\x10JFIF",  # a picture
        b"\xff\xfb\xf0\x64",  # a bit rate that the standard forbids
        b"\xff\xfb\x9c\x64",  # a sampling rate that is reserved
        b"\xff\xfe<\x00h\x00t\x00",  # a text in UTF-16
        b"%PDF-1.7",
        b"<!doctype html><script>",
        b"PK\x03\x04",
        b"\xfe\xf1\x50\x80",  # a bit short of the mark of an AAC frame
        b"\xff\xf1\x50",
        b"\xff\xf1\x74\x80",  # a sample rate that does not exist
    ],
)
def test_what_is_no_sound_is_not_taken_for_one(start):
    assert audio_kind(start) is None


@given(st.text())
def test_no_text_in_utf_8_is_a_sound_unless_it_begins_with_the_mark_of_one(text):
    marks = ("ID3", "RIFF", "fLaC", "OggS")
    if not text.startswith(marks) and text[4:8] != "ftyp":
        assert audio_kind(text.encode()) is None


@given(st.binary(max_size=LONGEST_START), st.binary(max_size=64))
def test_what_follows_the_start_does_not_change_the_kind(start, more):
    padded = start.ljust(LONGEST_START, b"\0")
    assert audio_kind(padded + more) == audio_kind(padded)
