"""First bytes against the WHATWG MIME Sniffing Standard, 6.2 "Matching an audio or video type
pattern", and against what the standards of the containers themselves prescribe."""

import doctest

import pytest

from server.domain.base import media
from server.domain.base.media import HEAD_BYTES, container_of, media_type
from tests.table import table

# As Chromium's MediaRecorder begins a file: EBML header (RFC 8794, 11.2.4), DocType "webm".
WEBM = bytes.fromhex(
    "1a45dfa39f4286810142f7810142f2810442f381084282847765626d428781044285810218538067"
)
MP4 = (24).to_bytes(4, "big") + b"ftypiso5\0\0\0\1iso5hlsf"
MP3 = bytes.fromhex("fffb9064")


@pytest.mark.parametrize(
    ("head", "container"),
    [
        (WEBM, "webm"),
        (MP4, "mp4"),
        (b"OggS\0\2" + bytes(20), "ogg"),  # RFC 3533, 6: capture pattern, version 0
        (b"RIFF\x24\x08\0\0WAVEfmt ", "wav"),
        (b"ID3\4\0\0\0\0\0\0", "mp3"),
        (MP3, "mp3"),
        (b"fLaC\0\0\0\x22", "flac"),  # RFC 9639, 6: stream marker
    ],
)
def test_a_file_is_known_by_its_first_bytes(head, container):
    assert container_of(head) == container


@table(
    "head",
    [
        b"",
        b"<html><script>",
        b"%PDF-1.7",
        b"\x89PNG\r\n\x1a\n",
        b"PK\3\4",
        b"RIFF\x24\x08\0\0WEBPVP8 ",
        b"\x1a\x45\xdf\xa3" + bytes(60),
        WEBM.replace(b"webm", b"matr"),
        b"\0\0\0\1ftyp",
        b"\0\0\0\x19ftypisom\0\0\0\0",
        b"OggX\0",
        b"\xff\xfb\xf0\x64",
        b"\xff\xff\xff\xff",
        b"\xff\xd8\xff\xe0",
    ],
)
def test_nothing_else_passes_for_sound_or_video(head):
    assert container_of(head) is None


def test_what_a_name_or_a_later_byte_says_counts_for_nothing():
    assert container_of(b"<svg " + WEBM) is None
    assert len(WEBM) <= HEAD_BYTES


def test_a_container_is_served_as_what_was_recorded():
    assert media_type("webm", "sound") == "audio/webm"
    assert media_type("mp4", "video") == "video/mp4"
    assert media_type("mp3", "video") is None


def test_the_examples_hold():
    assert doctest.testmod(media).failed == 0
