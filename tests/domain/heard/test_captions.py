"""Captions read: the examples of the WebVTT specification (W3C), SubRip, lines, and no captions."""

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.base.media import MOST_OF_CAPTIONS
from server.domain.heard.captions import read_transcript
from server.domain.heard.words import MOST_WORDS


def read(text, name="talk.vtt"):
    return read_transcript(name, text if isinstance(text, bytes) else text.encode())


def refused(text):
    with pytest.raises(InvalidInput) as error:
        read(text)
    return error.value.message


SPECIFICATION = {
    # After the examples of W3C, "WebVTT: The Web Video Text Tracks Format", section 1: their
    # blocks, times, settings and tags one by one; the words in them are our own.
    "captions of an interview": (
        "WEBVTT\n\n00:11.000 --> 00:13.000\n<v The Host>We stand on the old pier\n\n"
        "00:13.000 --> 00:16.000\n<v The Host>We’re right beside the lamp, just down the stairs\n\n"
        "00:16.000 --> 00:18.000\n<v The Host>from the harbour house\n\n"
        "00:30.000 --> 00:31.500 align:right size:50%\n<v The Host>When we met—\n\n"
        "00:30.500 --> 00:32.500 align:left size:50%\n<v A Guest>Wasn’t that enough?\n\n"
        "00:32.500 --> 00:33.500 align:left size:50%\n<v A Guest><i>Laughs</i>\n",
        ("We", 11.0, "Laughs", 33.5, 26),
    ),
    "line breaks and identifiers": (
        "WEBVTT\n\n1\n00:00:22.000 --> 00:00:27.000\nThese are two\nlines.\n\nlast - end\n"
        "00:00:30.000 --> 00:00:32.000 align:start size:50%\nThat's all.\n",
        ("These", 22.0, "all.", 32.0, 6),
    ),
    "comments": (
        "WEBVTT - A talk from another evening\n\nNOTE\nWritten down by ear\nso that "
        "others can follow it.\n\n1\n00:02:15.000 --> 00:02:20.000\n"
        "- Ta en kopp te.\n- Den är kall.\n\nNOTE The last line may not be "
        "right.\n\n3\n00:02:25.000 --> 00:02:30.000\n- Ta en till\n",
        ("-", 135.0, "till", 150.0, 13),
    ),
    "styles": (
        "WEBVTT\n\nSTYLE\n::cue {\n  background-image: linear-gradient(to bottom, dimgray, "
        "lightgray);\n  color: peachpuff;\n}\n\nhello\n00:00:00.000 --> 00:00:10.000\n"
        "Hello <b>world</b>.\n",
        ("Hello", 0.0, "world.", 10.0, 2),
    ),
    "regions and times inside a cue": (
        "WEBVTT\n\nREGION\nid:fred\nwidth:40%\nlines:3\n\n16:00.000 --> 16:20.000 region:fred\n"
        "<c.first>How do you</c> <00:16:10.000><c>like them?</c>\n",
        ("How", 960.0, "them?", 980.0, 5),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", SPECIFICATION)
def test_the_examples_of_the_specification_parse(name):
    text, expected = SPECIFICATION[name]
    words = read(text).words
    first, last = words[0], words[-1]
    assert (first.text, first.start_s, last.text, last.end_s, len(words)) == expected


def test_a_time_inside_a_cue_is_that_of_the_word_behind_it():
    text, _ = SPECIFICATION["regions and times inside a cue"]
    assert [word.start_s for word in read(text).words if word.text == "like"] == [970.0]


def test_words_of_a_cue_get_times_by_their_length():
    words = read("WEBVTT\n\n00:10.000 --> 00:20.000\na abcdefg\n").words
    assert [(word.start_s, word.end_s) for word in words] == [(10.0, 12.0), (12.0, 20.0)]


def test_subrip_is_read_with_its_tags_and_commas():
    transcript = read(
        "1\r\n00:00:01,500 --> 00:00:02,500\r\n<i>Plum</i> &amp; <font color=red>smoke</font>\r\n"
        "\r\n2\r\n01:00:01,000 --> 01:00:02,000\r\nThanks\r\n"
    )
    assert transcript.text == "Plum & smoke Thanks"
    assert (transcript.words[0].start_s, transcript.words[-1].start_s) == (1.5, 3601.0)


def test_commas_in_webvtt_times_lose_no_cue():
    assert read("WEBVTT\n\n00:00:01,000 --> 00:00:02,000\nPlum\n").text == "Plum"


def test_cues_without_a_header_are_read():
    assert read("00:01.000 --> 00:02.000\nPlum\n\n00:03.000 --> 00:04.000\nsmoke").text == (
        "Plum smoke"
    )


def test_cues_that_overlap_keep_their_order_and_end_where_the_next_begins():
    words = read(
        "WEBVTT\n\n00:10.000 --> 00:20.000\nlast\n\n00:01.000 --> 00:15.000\nfirst\n"
    ).words
    assert [(word.text, word.start_s, word.end_s) for word in words] == [
        ("first", 1.0, 10.0),
        ("last", 10.0, 20.0),
    ]


def test_a_cue_that_runs_backwards_still_begins_where_it_says():
    word = read("WEBVTT\n\n00:05.000 --> 00:02.000\nPlum\n").words[0]
    assert word.start_s == 5.0
    assert 5.0 < word.end_s < 6.0


def test_lines_that_roll_up_through_cues_are_read_once():
    text = read(
        "WEBVTT\n\n00:01.000 --> 00:03.000\nforty millilitres\n\n"
        "00:02.000 --> 00:05.000\nforty millilitres\nof plum brandy\n"
    ).text
    assert text == "forty millilitres of plum brandy"


def test_sounds_and_speakers_in_brackets_are_no_words():
    assert read("WEBVTT\n\n00:01.000 --> 00:03.000\n[Music] >> ♪ la ♪ Hello (applause)\n").text == (
        "la Hello"
    )


@pytest.mark.parametrize("front", ["[3:07] ", "3:07 ", "00:03:07,000 ", "(3:07) - ", "3:07: "])
def test_lines_with_a_time_in_front_are_timed(front):
    transcript = read(f"{front}Forty millilitres\nof plum\n[3:20] Next")
    assert (transcript.kind, transcript.timed) == ("lines", True)
    assert transcript.text == "Forty millilitres of plum Next"
    assert (transcript.words[0].start_s, transcript.words[-1].start_s) == (187.0, 200.0)


def test_a_line_ends_with_its_words_not_with_the_next_line():
    words = read("0:00 Hello there\n5:00 Next").words
    assert words[1].end_s < 2.0


def test_plain_text_has_words_and_no_times():
    transcript = read("Forty millilitres. At 3:07 I stopped.")
    assert (transcript.kind, transcript.timed, len(transcript.words)) == ("text", False, 6)


@pytest.mark.parametrize(
    "data",
    [
        "WEBVTT\n\n00:01.000 --> 00:02.000\nrôti\n".encode("utf-16"),
        b"\xef\xbb\xbf" + "WEBVTT\n\n00:01.000 --> 00:02.000\nrôti\n".encode(),
        "1\n00:00:01,000 --> 00:00:02,000\nrôti\n".encode("cp1252"),
    ],
)
def test_captions_in_common_encodings_keep_their_letters(data):
    assert read(data).text == "rôti"


@pytest.mark.parametrize("text", ["", " \n\n", "WEBVTT\n\n", "WEBVTT\n\n00:01.000 --> 00:02.000\n"])
def test_a_file_without_words_is_refused_with_the_reason(text):
    assert refused(text) == "There are no words in this file."


def test_what_is_no_text_is_refused():
    assert "no text" in refused(b"\x00\x01\x02\xffRIFF\x00")


def test_a_file_that_is_too_large_is_refused_before_it_is_read():
    assert "5 MB" in refused(b"a" * (MOST_OF_CAPTIONS + 1))


def test_times_beyond_a_day_are_refused():
    assert "beyond a day" in refused("WEBVTT\n\n99:00:00.000 --> 99:00:01.000\nPlum\n")


def test_more_words_than_any_talk_has_are_refused():
    assert "words" in refused("a " * (MOST_WORDS + 1))


def test_far_too_many_words_are_refused_before_they_are_read(monkeypatch):
    monkeypatch.setattr("server.domain.heard.captions._from_cues", None)
    text = "WEBVTT\n\n00:01.000 --> 00:02.000\n" + "a " * (7 * MOST_WORDS)
    assert "60,000 words" in refused(text)


def test_ten_thousand_cues_are_read():
    cues = "\n\n".join(f"{n}\n{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02},000 --> "
                       f"{n // 3600:02}:{n // 60 % 60:02}:{n % 60:02},900\n<b>w{n}</b>"
                       for n in range(1, 10_001))  # fmt: skip
    words = read(cues).words
    assert (len(words), words[-1].text, words[-1].start_s) == (10_000, "w10000", 10_000.0)


def test_tags_that_never_close_do_not_hang():
    many = 50_000
    assert len(read("WEBVTT\n\n00:01.000 --> 00:02.000\n" + "<a " * many).words) == many
