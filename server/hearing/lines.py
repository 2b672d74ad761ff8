"""What the listening process writes, a JSON object a line.

{"share": 40}                                  so much is listened to, in per cent
{"words": [["Plum", 1200, 1500, 0.91], …]}     what was heard; times in ms
{"trouble": "There is no model …"}             why nothing could be heard
"""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class TranscriptLine:
    """One line; what it does not tell is None."""

    share: int | None = None
    words: Sequence[object] | None = None
    trouble: str | None = None


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
    share, words, trouble = (found.get(name) for name in ("share", "words", "trouble"))
    return TranscriptLine(
        max(0, min(100, int(share))) if isinstance(share, int | float) else None,
        words if isinstance(words, list) else None,
        trouble if isinstance(trouble, str) else None,
    )
