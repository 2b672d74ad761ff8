"""A whole talk as one text, cut into segments: proposed by paragraphs, corrected, then added.

No word is lost and their order stays: what is no heading is said. A heading is a short line that
ends no sentence and stands above a paragraph; it becomes the name of that segment.

>>> [part.name for part in proposed("Welcome\\n\\nGood evening. I am Runa.\\n\\nThis is a plum.")]
['Welcome', 'This is a plum']
"""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from server.domain.base.errors import InvalidInput
from server.domain.base.text import LONG_TEXT
from server.domain.base.words import sentences_of
from server.domain.claims.pace import Pace, measure, seconds_for
from server.domain.routine.routine import Routine, Segment, Spread

MOST_TEXT = 100_000
"""Characters of a talk; at a fast pace that is more than an hour."""

NAME_WORDS, HEADING_WORDS = 4, 8
"""Words of a name that is made of what is said, and most words of a line that is a heading."""

LONGEST_NAME = 60

SHORTEST_S = 1.0
"""A segment takes at least this long, also where nothing in it can be said."""

_BLANK_LINE = re.compile(r"\n[^\S\n]*(?:\n[^\S\n]*)+")


@dataclass(frozen=True)
class Part:
    """A segment as it is proposed: its name and what is said in it."""

    name: str
    said: str
    drink_id: str | None = None


def proposed(text: str, language: str = "en") -> tuple[Part, ...]:
    """The segments that a text is cut into: one for each paragraph, or line where none is apart.

    Raises InvalidInput on the field "text".
    """
    if len(text) > MOST_TEXT:
        raise InvalidInput.of("text", f"Keep it to {MOST_TEXT:,} characters.")
    text = text.replace("\r\n", "\n").strip()
    if not text:
        raise InvalidInput.of("text", "Paste the words of the talk.")
    blocks = _BLANK_LINE.split(text)
    if len(blocks) == 1:
        blocks = text.split("\n")
    parts: list[Part] = []
    heading = ""
    for block in filter(None, map(str.strip, blocks)):
        if heading:
            parts += _cut(block, language, heading)
            heading = ""
        elif _is_heading(block):
            heading = block
        else:
            first, _, rest = block.partition("\n")
            named = bool(rest) and _is_heading(first.strip())
            parts += _cut(rest if named else block, language, first.strip() if named else "")
    if heading:
        # Nothing stands beneath it: it is said.
        parts += _cut(heading, language)
    return tuple(parts)


def merged(parts: Sequence[Part], index: int) -> tuple[Part, ...]:
    """The parts with one joined to that before it, whose name and drink stay.

    Raises InvalidInput where there is none before it, or both are too long for one segment.
    """
    if not 0 < index < len(parts):
        raise InvalidInput.of("form", "There is no segment above to join it to.")
    above, part = parts[index - 1], parts[index]
    said = f"{above.said}\n{part.said}"
    if len(said) > LONG_TEXT:
        raise InvalidInput.of("form", "Both together are too long for one segment.")
    return (*parts[: index - 1], replace(above, said=said), *parts[index + 1 :])


def split(
    parts: Sequence[Part], index: int, sentence: int, language: str = "en"
) -> tuple[Part, ...]:
    """The parts with one cut before a sentence of it, counted from 0.

    Raises InvalidInput where there is no such sentence, or nothing stands before it.
    """
    sentences = sentences_of(parts[index].said, language) if 0 <= index < len(parts) else []
    if not 0 < sentence < len(sentences):
        raise InvalidInput.of("form", "There is no such place to cut. Load the page again.")
    part, at = parts[index], sentences[sentence].start
    before, after = part.said[:at].rstrip(), part.said[at:]
    new = Part(_name_of(after), after, part.drink_id)
    return (*parts[:index], replace(part, said=before), new, *parts[index + 1 :])


def spoken_s(part: Part, pace: Pace, language: str = "en") -> float:
    """How long a part takes to say, in whole seconds."""
    return max(SHORTEST_S, float(round(seconds_for(*measure(part.said, language), pace))))


def with_parts(
    routine: Routine, parts: Iterable[Part], pace: Pace, new_id: Callable[[], str]
) -> Routine:
    """The routine with these segments more, at its end. Raises InvalidInput."""
    added = tuple(
        Segment(
            new_id(),
            part.name,
            Spread(spoken_s(part, pace, routine.language)),
            said=part.said,
            drink_id=part.drink_id,
        )
        for part in parts
    )
    return replace(routine, segments=(*routine.segments, *added))


def _is_heading(block: str) -> bool:
    is_short = "\n" not in block and len(block) <= LONGEST_NAME
    return is_short and len(block.split()) <= HEADING_WORDS and block[-1].isalnum()


def _cut(said: str, language: str, heading: str = "") -> list[Part]:
    """A paragraph as parts: one, or several where it is longer than a segment may hold."""
    pieces, start = [], 0
    ends = [each.start for each in sentences_of(said, language)] + [len(said)]
    for last, end in pairwise(ends):
        if end - start > LONG_TEXT and last > start:
            pieces.append(said[start:last])
            start = last
    while len(said) - start > LONG_TEXT:
        pieces.append(said[start : start + LONG_TEXT])
        start += LONG_TEXT
    pieces.append(said[start:])
    whole = [piece.strip() for piece in pieces if piece.strip()]
    return [
        Part(heading if heading and not number else _name_of(piece), piece)
        for number, piece in enumerate(whole)
    ]


def _name_of(said: str) -> str:
    """A name from the first words of what is said."""
    first = re.split(r"(?<=[.!?…])\s", said, maxsplit=1)[0]
    words = " ".join(first.split()[:NAME_WORDS]).rstrip(".,;:!?… ")
    return words[:LONGEST_NAME] or "Segment"
