"""What the listening process writes, a JSON object a line.

{"share": 40}                                  so much is listened to, in per cent
{"words": [["Plum", 1200, 1500, 0.91], …]}     what was heard; times in ms
{"trouble": "There is no model …"}             why nothing could be heard
{"fits": [[-3.1, null], null, …]}              how well the words of each probe fit

What the second listening is asked comes on its standard input, a row for each probe: its words,
from and until in ms, the claim, whether the sound is its own, and the claim's first and last word.
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import astuple, dataclass

from server.domain.heard.probe import Probe


@dataclass(frozen=True)
class TranscriptLine:
    """One line; what it does not tell is None."""

    share: int | None = None
    words: Sequence[object] | None = None
    trouble: str | None = None
    fits: Sequence[Sequence[float | None] | None] | None = None


def written(**told: object) -> str:
    """A line for what is to be told."""
    return json.dumps(told, ensure_ascii=False)


def read(line: str) -> TranscriptLine:
    """What a line says; nothing where it is none of ours."""
    try:
        found = json.loads(line)
    except ValueError:
        return TranscriptLine()
    if not isinstance(found, Mapping):
        return TranscriptLine()
    share, words, trouble, fits = (
        found.get(name) for name in ("share", "words", "trouble", "fits")
    )
    return TranscriptLine(
        max(0, min(100, int(share))) if isinstance(share, int | float) else None,
        words if isinstance(words, list) else None,
        trouble if isinstance(trouble, str) else None,
        fits if isinstance(fits, list) else None,
    )


def probes_line(asked: Sequence[Probe]) -> str:
    """What the second listening is asked, as a line."""
    return json.dumps([astuple(each) for each in asked], ensure_ascii=False) + "\n"


def probes_from(line: bytes) -> tuple[Probe, ...]:
    """The probes of such a line."""
    return tuple(Probe(tuple(words), *others) for words, *others in json.loads(line))
