"""The segments of a run as chapters of its recording."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.durations import HOUR_MS, MINUTE_MS


@dataclass(frozen=True)
class Chapter:
    """A stretch of a recording; `start_ms` and `end_ms` count from the recording's beginning."""

    name: str
    start_ms: int
    end_ms: int


def chapters(
    names: Sequence[str],
    ends_ms: Sequence[int | None],
    total_ms: int | None,
    recorded_from_ms: int,
    lasts_ms: int,
) -> tuple[Chapter, ...]:
    """A chapter for each segment that the recording holds some of.

    `ends_ms` and `total_ms` are on the clock of the run, on which the recording begins at
    `recorded_from_ms` and lasts `lasts_ms`. Segments with no mark between them share a chapter;
    what follows the last mark is the chapter of the segments that are left, up to the total, or
    to the end of the recording where the run was never closed.

    >>> [c.name for c in chapters(("Greet", "Pour", "Serve"), (20_000, None, 90_000), 90_000, 0,
    ...     95_000)]
    ['Greet', 'Pour, Serve']
    """
    found: list[Chapter] = []
    open_names: list[str] = []
    from_ms = 0
    for name, end_ms in zip(names, ends_ms, strict=True):
        open_names.append(name)
        if end_ms is not None:
            found.append(Chapter(", ".join(open_names), from_ms, end_ms))
            open_names, from_ms = [], end_ms
    if open_names:
        until_ms = recorded_from_ms + lasts_ms if total_ms is None else total_ms
        found.append(Chapter(", ".join(open_names), from_ms, until_ms))
    inside = (_within(each, recorded_from_ms, lasts_ms) for each in found)
    return tuple(each for each in inside if each.end_ms > each.start_ms)


def web_vtt(found: Sequence[Chapter]) -> str:
    """Chapters as a WebVTT file (W3C, "WebVTT: The Web Video Text Tracks Format", 4.2 and 4.6).

    >>> print(web_vtt([Chapter("Stir & taste", 0, 61_500)]))
    WEBVTT
    <BLANKLINE>
    1
    00:00:00.000 --> 00:01:01.500
    Stir &amp; taste
    <BLANKLINE>
    """
    cues = [
        f"{number}\n{_stamp(each.start_ms)} --> {_stamp(each.end_ms)}\n{_text(each.name)}\n"
        for number, each in enumerate(found, 1)
    ]
    return "\n".join(["WEBVTT\n", *cues])


def _within(chapter: Chapter, recorded_from_ms: int, lasts_ms: int) -> Chapter:
    start_ms, end_ms = (
        min(max(at_ms - recorded_from_ms, 0), lasts_ms)
        for at_ms in (chapter.start_ms, chapter.end_ms)
    )
    return Chapter(chapter.name, start_ms, end_ms)


def _stamp(ms: int) -> str:
    hours, rest = divmod(ms, HOUR_MS)
    minutes, rest = divmod(rest, MINUTE_MS)
    return f"{hours:02}:{minutes:02}:{rest // 1000:02}.{rest % 1000:03}"


def _text(name: str) -> str:
    one_line = " ".join(name.split())
    # “-->” would end a cue; as an escape it does not.
    return one_line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
