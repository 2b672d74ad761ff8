"""Chapters of a recording, and the file that players read them from."""

import doctest
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.runs import chapters as module
from server.domain.runs.chapters import Chapter, chapters, web_vtt

NAMES = ("Greet", "Pour", "Serve")


def test_each_segment_is_a_chapter_from_its_start_to_its_end():
    assert chapters(NAMES, (20_000, 50_000, 90_000), 90_000, 0, 95_000) == (
        Chapter("Greet", 0, 20_000),
        Chapter("Pour", 20_000, 50_000),
        Chapter("Serve", 50_000, 90_000),
    )


def test_a_recording_that_began_later_counts_from_its_own_beginning():
    first, second, *_ = chapters(NAMES, (20_000, 50_000, 90_000), 90_000, 15_000, 70_000)
    assert first == Chapter("Greet", 0, 5_000)
    assert second == Chapter("Pour", 5_000, 35_000)


def test_segments_that_the_recording_missed_are_no_chapters():
    found = chapters(NAMES, (20_000, 50_000, 90_000), 90_000, 25_000, 20_000)
    assert found == (Chapter("Pour", 0, 20_000),)


def test_segments_with_no_mark_between_them_share_a_chapter():
    found = chapters(NAMES, (None, 50_000, 90_000), 90_000, 0, 95_000)
    assert [each.name for each in found] == ["Greet, Pour", "Serve"]


@pytest.mark.parametrize(("total_ms", "until_ms"), [(80_000, 80_000), (None, 95_000)])
def test_what_follows_the_last_mark_goes_to_the_end(total_ms, until_ms):
    *_, last = chapters(NAMES, (20_000, None, None), total_ms, 0, 95_000)
    assert last == Chapter("Pour, Serve", 20_000, until_ms)


TIMES = st.lists(st.none() | st.integers(0, 900_000), min_size=1, max_size=12)


@given(TIMES, st.none() | st.integers(0, 900_000), st.integers(0, 500_000), st.integers(0, 900_000))
def test_chapters_follow_one_another_inside_the_recording(ends, total_ms, from_ms, lasts_ms):
    given_ms = sorted(each for each in ends if each is not None)
    ends = [None if each is None else given_ms.pop(0) for each in ends]
    found = chapters([f"s{n}" for n in range(len(ends))], ends, total_ms, from_ms, lasts_ms)
    times = [at_ms for each in found for at_ms in (each.start_ms, each.end_ms)]
    assert times == sorted(times)
    assert all(0 <= at_ms <= lasts_ms for at_ms in times)
    assert all(each.end_ms > each.start_ms for each in found)


# W3C, "WebVTT: The Web Video Text Tracks Format", 4.1: the signature, a blank line, then cues of
# an identifier, timings of at least two digits each with milliseconds, and text.
CUE = re.compile(
    r"(?P<id>[^\n]+)\n(?P<from>\d{2,}:[0-5]\d:[0-5]\d\.\d{3}) --> "
    r"(?P<to>\d{2,}:[0-5]\d:[0-5]\d\.\d{3})\n(?P<text>[^\n]+)\n"
)


@given(st.lists(st.tuples(st.text(min_size=1), st.integers(0, 10**8), st.integers(1, 10**8))))
def test_any_chapters_make_a_file_of_the_grammar(given_chapters):
    made = [Chapter(name, start, start + lasts) for name, start, lasts in given_chapters]
    text = web_vtt(made)
    assert text.startswith("WEBVTT\n\n") or text == "WEBVTT\n"
    assert "<" not in text.replace("-->", "")
    assert text.count("-->") == len(made)


def test_a_file_is_as_players_expect_it():
    text = web_vtt([Chapter("A & <b>", 0, 61_500), Chapter("x --> y", 3_600_000, 3_723_004)])
    first, second = CUE.finditer(text)
    assert first.groups() == ("1", "00:00:00.000", "00:01:01.500", "A &amp; &lt;b&gt;")
    assert second.groups() == ("2", "01:00:00.000", "01:02:03.004", "x --&gt; y")


def test_the_examples_hold():
    assert doctest.testmod(module).failed == 0
