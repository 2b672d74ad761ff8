"""Captions and typed text, read into words with times.

WebVTT as the W3C specifies it and SubRip as it is commonly written (a library parses both), lines
with a time in front, and plain text. A cue holds the times of a phrase, not of its words: these
get theirs by their length, unless the cue carries times inside.
"""

import html
import io
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from server.domain.base.errors import InvalidInput
from server.domain.base.media import MOST_OF_CAPTIONS
from server.domain.heard.words import LATEST_S, LONGEST_WORD, MOST_WORDS, TimedWord, Transcript

MOST_CUES = 40_000

MOST_SPACES = 4 * (MOST_WORDS + MOST_CUES)
"""More than the most words and captions can have between them: refused before it is read."""

LETTER_S = 0.075
"""Seconds for a letter at 150 words a minute: what a word takes where its cue does not tell."""

SHORTEST_S = 0.05
"""Of a word, where a cue is too short for its text."""

_TIME = r"(?:(?P<h>\d{1,2}):)?(?P<m>\d{1,3}):(?P<s>[0-5]\d)(?:[.,](?P<f>\d{1,3}))?"
_TIMED_LINE = re.compile(rf"\s*[\[(]?{_TIME}[\])]?(?:\s*[-–—:]\s+|\s+|$)(?P<text>.*)")
_INNER = re.compile(rf"<{_TIME}>")
_TAG = re.compile(r"<[^<>\n]{0,300}>")
_SOUND = re.compile(r"\[[^\]\n]{0,80}\]|\([^)\n]{0,80}\)|[♪♫#]+|>>+")
"""[Music], (applause), who speaks: written in captions, said by nobody."""


@dataclass(frozen=True)
class _Phrase:
    """Words between two times; without an end, where nothing tells it."""

    start_s: float
    end_s: float | None
    text: str


def read_transcript(name: str, data: bytes) -> Transcript:
    """The words in a file of captions or text called `name`.

    Raises InvalidInput where it holds none, is too much, or is neither.
    """
    if len(data) > MOST_OF_CAPTIONS:
        raise _refused(
            f"That is more than {MOST_OF_CAPTIONS // 1_000_000} MB: captions are far smaller."
        )
    text = _decoded(data).replace("\r\n", "\n").replace("\r", "\n")
    if "\x00" in text:
        raise _refused("That is no text. Choose captions (.vtt, .srt) or a text file.")
    if text.count(" ") > MOST_SPACES:
        raise _too_many()
    if text.startswith("WEBVTT") or "-->" in text:
        return _transcript(_from_cues(name, text), "captions")
    lines = _timed_lines(text)
    if lines:
        return _transcript(lines, "lines")
    return _plain(text)


def _decoded(data: bytes) -> str:
    if data[:2] in (b"\xff\xfe", b"\xfe\xff"):
        return data.decode("utf-16", "replace").lstrip("\ufeff")
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError:
        # Captions from elsewhere: bytes that are no UTF-8 are Western text more often than not.
        return data.decode("cp1252", "replace")


def _from_cues(name: str, text: str) -> list[_Phrase]:
    # 0.2 s to load: only for captions.
    from webvtt import WebVTT
    from webvtt.errors import MalformedCaptionError, MalformedFileError

    if text.count("-->") > MOST_CUES:
        raise _refused(f"More than {MOST_CUES:,} captions: cut the file to one routine.")
    mended = "\n".join(_with_points(line) if "-->" in line else line for line in text.split("\n"))
    try:
        if mended.startswith("WEBVTT"):
            captions = WebVTT.from_string(mended)
        else:
            first = mended.lstrip()
            first = first if first[:1].isdigit() and "-->" not in first.split("\n")[0] else ""
            captions = (
                WebVTT.from_buffer(io.StringIO(first), format="srt")
                if first
                else WebVTT.from_string("WEBVTT\n\n" + mended)
            )
    except (MalformedFileError, MalformedCaptionError) as error:
        raise _refused(f"“{name}” is not in order as captions: {error}.") from error
    cues = [
        (_seconds_of(each.start_time.to_tuple()), _seconds_of(each.end_time.to_tuple()), each)
        for each in captions.captions
    ]
    cues.sort(key=lambda cue: cue[0])
    return list(_phrases([(start, end, each.raw_text) for start, end, each in cues]))


def _with_points(line: str) -> str:
    """A line of times with full stops for commas, as SubRip writes them in WebVTT's place too."""
    return re.sub(r"(\d),(\d)", r"\1.\2", line)


def _seconds_of(parts: tuple[int, int, int, int]) -> float:
    hours, minutes, seconds, milliseconds = parts
    return hours * 3600 + minutes * 60 + seconds + milliseconds / 1000


def _phrases(cues: Sequence[tuple[float, float, str]]) -> Iterator[_Phrase]:
    """The phrases of cues in order of time; lines that roll up through several come once."""
    shown: list[str] = []
    ends = [*(start for start, _, _ in cues[1:]), None] if cues else []
    for (start_s, end_s, raw), next_s in zip(cues, ends, strict=True):
        lines = [line for line in raw.split("\n") if _said(line)]
        fresh = [line for line in lines if _said(line) not in shown]
        shown = [_said(line) for line in lines]
        # One that runs into the next, or backwards, ends where the next begins.
        end: float | None = end_s if end_s > start_s else None
        if next_s is not None and start_s < next_s and (end is None or next_s < end):
            end = next_s
        yield from _inner_phrases(" ".join(fresh), start_s, end)


def _inner_phrases(raw: str, start_s: float, end_s: float | None) -> Iterator[_Phrase]:
    """A cue's text, parted at the times inside it."""
    behind, from_s = 0, start_s
    for match in _INNER.finditer(raw):
        at_s = _matched_s(match)
        if from_s <= at_s and (end_s is None or at_s <= end_s):
            yield _Phrase(from_s, at_s, _said(raw[behind : match.start()]))
            behind, from_s = match.end(), at_s
    yield _Phrase(from_s, end_s, _said(raw[behind:]))


def _said(raw: str) -> str:
    return " ".join(_SOUND.sub(" ", html.unescape(_TAG.sub("", raw))).split())


def _timed_lines(text: str) -> list[_Phrase]:
    """Lines with a time in front; empty where the text is not written so."""
    found: list[tuple[float, list[str]]] = []
    lines = [line for line in text.split("\n") if line.strip()]
    timed = 0
    for line in lines:
        match = _TIMED_LINE.match(line)
        if match is None:
            # What stands before the first time is a heading.
            if found:
                found[-1][1].append(line)
            continue
        timed += 1
        found.append((_matched_s(match), [match["text"]]))
    if timed * 3 < len(lines) or not any(" ".join(parts).strip() for _, parts in found):
        return []
    found.sort(key=lambda each: each[0])
    said = [(start_s, _said(" ".join(parts))) for start_s, parts in found]
    phrases = [_Phrase(one[0], other[0], one[1]) for one, other in pairwise(said)]
    return [_unhurried(each) for each in phrases] + [_Phrase(said[-1][0], None, said[-1][1])]


def _unhurried(phrase: _Phrase) -> _Phrase:
    """A line ends when its words are said, not when the next line begins a minute later."""
    usual_s = phrase.start_s + _usual_s(phrase.text)
    ends_s = min(phrase.end_s or usual_s, usual_s)
    return _Phrase(phrase.start_s, ends_s if ends_s > phrase.start_s else None, phrase.text)


def _matched_s(match: re.Match[str]) -> float:
    hours, minutes, seconds = int(match["h"] or 0), int(match["m"]), int(match["s"])
    return hours * 3600 + minutes * 60 + seconds + float(f"0.{match['f'] or 0}")


def _usual_s(text: str) -> float:
    return LETTER_S * (len(text) + 1)


def _transcript(phrases: Iterable[_Phrase], kind: str) -> Transcript:
    words = [word for phrase in phrases for word in _words(phrase)]
    if not words:
        raise _refused("There are no words in this file.")
    if words[-1].end_s > LATEST_S:
        raise _refused("Its times go beyond a day: they cannot be those of a recording.")
    if len(words) > MOST_WORDS:
        raise _too_many()
    return Transcript(tuple(words), timed=True, kind="lines" if kind == "lines" else "captions")


def _words(phrase: _Phrase) -> Iterator[TimedWord]:
    """The words of a phrase, each as long as its letters."""
    words = phrase.text.split()
    lengths = [len(word) + 1 for word in words]
    total = sum(lengths)
    end_s = phrase.end_s if phrase.end_s is not None else phrase.start_s + _usual_s(phrase.text)
    span_s = max(end_s - phrase.start_s, SHORTEST_S * len(words))
    begun = 0
    for word, length in zip(words, lengths, strict=True):
        start_s = phrase.start_s + span_s * begun / total
        begun += length
        stop_s = phrase.start_s + span_s * begun / total
        yield TimedWord(word[:LONGEST_WORD], round(start_s, 3), round(stop_s, 3))


def _too_many() -> InvalidInput:
    return _refused(f"More than {MOST_WORDS:,} words: cut the file to one routine.")


def _plain(text: str) -> Transcript:
    words = text.split()
    if not any(letter.isalnum() for letter in text):
        raise _refused("There are no words in this file.")
    if len(words) > MOST_WORDS:
        raise _too_many()
    said = tuple(TimedWord(word[:LONGEST_WORD], 0.0, 0.0) for word in words)
    return Transcript(said, timed=False, kind="text")


def _refused(message: str) -> InvalidInput:
    return InvalidInput.of("file", message)
