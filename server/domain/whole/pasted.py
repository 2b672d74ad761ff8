"""A whole talk as one text, cut into segments: proposed by paragraphs, corrected, then added.

No word is lost and their order stays: what is no heading is said. A heading is a short line that
ends no sentence and stands above a paragraph; it becomes the name of that segment, and a time
behind it its plan. A line in brackets is what the hands do.

>>> [part.name for part in proposed("Welcome\\n\\nGood evening. I am Runa.\\n\\nThis is a plum.")]
['Welcome', 'This is a plum']
>>> proposed("Brew 1:20\\n(Pour the water)")
(PastedSegment(name='Brew', said='', drink_id=None, hands='Pour the water', lasts_s=80.0),)
"""

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from server.domain.base.durations import MINUTES, SECONDS, parse_duration
from server.domain.base.errors import InvalidInput
from server.domain.base.text import LONG_TEXT
from server.domain.base.tokens import sentences_of
from server.domain.claims.pace import WordPace, measure, seconds_for
from server.domain.claims.which_drink import numbered
from server.domain.routine.drink import Drink
from server.domain.routine.routine import Routine, Segment, Spread

MOST_TEXT = 100_000
"""Characters of a talk; at a fast pace that is more than an hour."""

NAME_WORDS, HEADING_WORDS = 4, 8
"""Words of a name that is made of what is said, and most words of a line that is a heading."""

LONGEST_NAME = 60

SHORTEST_S = 1.0
"""A segment takes at least this long, also where nothing in it can be said."""

_HANGING = frozenset(
    (
        "a", "an", "the", "and", "or", "of", "to", "in", "on", "with", "for", "i", "is", "it", "my",
        "our", "your", "this", "that", "und", "oder", "der", "die", "das", "ein", "eine", "et",
        "le", "la", "les", "un", "une", "de", "y", "e", "o", "el", "il",
    )
)  # fmt: skip
"""Words that a name made of the first ones does not end with: they belong to what comes next."""

_BLANK_LINE = re.compile(r"\n[^\S\n]*(?:\n[^\S\n]*)+")
_SECONDS = rf"\d+\s?{SECONDS}"
_TIME = (
    rf"\d{{1,2}}[:.,][0-5]\d|\d+\s?{MINUTES}(?:\s?(?:{_SECONDS}|[0-5]?\d))?|{_SECONDS}"
    r"|(?<=\s[–—-]\s)\d{2,3}"
)
"""A bare number is a time only behind a dash: "Brew – 45", but not "Act 12"."""
_TIMED = re.compile(rf"(?P<name>.*?\w)[\s,:–—-]*(?<!\d)\(?(?P<time>{_TIME})\)?", re.IGNORECASE)
_DOTTED = re.compile(r"(\d+)[.,](\d\d)")
_DECORATION = re.compile(r"^(?:#+\s+|[*_]{1,3}(?=\w))|[*_]{1,3}$|(?<=\w)\s*:(?:[*_]{1,3})?$")
"""What other programs write around a heading: "## Welcome", "**Welcome**", "Welcome:"."""
_BRACKETED = re.compile(r"\((?P<round>[^()]*\w[^()]*)\)|\[(?P<square>[^][]*\w[^][]*)\]")


@dataclass(frozen=True)
class PastedSegment:
    """A segment as it is proposed: its name, what is said in it and what the hands do.

    Without `lasts_s` it is planned to last as long as its words.
    """

    name: str
    said: str
    drink_id: str | None = None
    hands: str = ""
    lasts_s: float | None = None


@dataclass(frozen=True)
class _Block:
    """A paragraph as it was read; `whole` is what is said where its heading is none."""

    heading: str
    lasts_s: float | None
    said: str
    hands: str
    whole: str


def proposed(text: str, language: str = "en") -> tuple[PastedSegment, ...]:
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
    found = _Parts(language)
    for block in filter(None, map(str.strip, blocks)):
        found.read(_block(block))
    found.close()
    return tuple(found.parts)


def drink_named(part: PastedSegment, drinks: Sequence[Drink], language: str = "en") -> str | None:
    """The id of the one drink that the name of a part names, or else all its words; else None.

    Its words tell it by its number too: "My second drink".
    """
    for text in (part.name, part.said):
        found = [drink.id for drink in drinks if _is_in(drink.name, text)]
        if len(found) == 1:
            return found[0]
    return numbered(part.said, drinks, language)


def _is_in(name: str, text: str) -> bool:
    words = r"\s+".join(map(re.escape, name.casefold().split()))
    return re.search(rf"(?<!\w){words}(?!\w)", text.casefold()) is not None


def merged(parts: Sequence[PastedSegment], index: int) -> tuple[PastedSegment, ...]:
    """The parts with one joined to that before it, whose name and drink stay.

    Raises InvalidInput where there is none before it, or both are too long for one segment.
    """
    if not 0 < index < len(parts):
        raise InvalidInput.of("form", "There is no segment above to join it to.")
    above, part = parts[index - 1], parts[index]
    said, hands = _lines(above.said, part.said), _lines(above.hands, part.hands)
    if max(len(said), len(hands)) > LONG_TEXT:
        raise InvalidInput.of("form", "Both together are too long for one segment.")
    both = None not in (above.lasts_s, part.lasts_s)
    lasts_s = (above.lasts_s or 0.0) + (part.lasts_s or 0.0) if both else None
    joined = replace(above, said=said, hands=hands, lasts_s=lasts_s)
    return (*parts[: index - 1], joined, *parts[index + 1 :])


def split(
    parts: Sequence[PastedSegment], index: int, sentence: int, language: str = "en"
) -> tuple[PastedSegment, ...]:
    """The parts with one cut before a sentence of it, counted from 0.

    Raises InvalidInput where there is no such sentence, or nothing stands before it.
    """
    sentences = sentences_of(parts[index].said, language) if 0 <= index < len(parts) else []
    if not 0 < sentence < len(sentences):
        raise InvalidInput.of("form", "There is no such place to cut. Load the page again.")
    part, at = parts[index], sentences[sentence].start
    before, after = part.said[:at].rstrip(), part.said[at:]
    # What the whole was planned to last says nothing of its halves: their words do.
    kept = replace(part, said=before, lasts_s=None)
    new = PastedSegment(_name_of(after), after, part.drink_id)
    return (*parts[:index], kept, new, *parts[index + 1 :])


def spoken_s(part: PastedSegment, pace: WordPace, language: str = "en") -> float:
    """How long a part takes to say, in whole seconds."""
    return max(SHORTEST_S, float(round(seconds_for(*measure(part.said, language), pace))))


def planned_s(part: PastedSegment, pace: WordPace, language: str = "en") -> float:
    """How long a part is planned to last, in seconds: as was given, or else as its words take."""
    return spoken_s(part, pace, language) if part.lasts_s is None else part.lasts_s


def with_parts(
    routine: Routine, parts: Iterable[PastedSegment], pace: WordPace, new_id: Callable[[], str]
) -> Routine:
    """The routine with these segments more, at its end. Raises InvalidInput."""
    added = tuple(
        Segment(
            new_id(),
            part.name,
            Spread(planned_s(part, pace, routine.language)),
            lane="both" if part.said else "hands",
            hands=part.hands,
            said=part.said,
            drink_id=part.drink_id,
        )
        for part in parts
    )
    return replace(routine, segments=(*routine.segments, *added))


class _Parts:
    """The parts of a text as its paragraphs are read; a heading waits for what is said."""

    def __init__(self, language: str) -> None:
        self.parts: list[PastedSegment] = []
        self._language = language
        self._waiting: PastedSegment | None = None

    def read(self, block: _Block) -> None:
        """Take the next paragraph."""
        waits = self._waiting is not None and not self._waiting.hands
        # A line without a time beneath a heading is said, however short it is.
        if block.heading and (block.lasts_s is not None or not waits):
            self.close()
            self._waiting = PastedSegment(block.heading, "", lasts_s=block.lasts_s)
            said = block.said
        else:
            said = block.whole
        if block.hands:
            self._do(block.hands)
        if said:
            self.parts += _cut(said, self._language, self._waiting)
            self._waiting = None

    def close(self) -> None:
        """Nothing more is said beneath the heading that waits: it is a part, or said itself."""
        part, self._waiting = self._waiting, None
        if part is None:
            return
        if part.hands or part.lasts_s is not None:
            self.parts.append(part)
        else:
            self.parts += _cut(part.name, self._language)

    def _do(self, hands: str) -> None:
        if self._waiting is None and self.parts:
            last = self.parts[-1]
            self.parts[-1] = replace(last, hands=_lines(last.hands, hands))
        else:
            part = self._waiting or PastedSegment(_name_of(hands), "")
            self._waiting = replace(part, hands=_lines(part.hands, hands))


def _block(text: str) -> _Block:
    first, _, rest = text.partition("\n")
    heading, lasts_s = _heading(first.strip())
    hands, whole = _hands_apart(text)
    return _Block(heading, lasts_s, _hands_apart(rest)[1] if heading else whole, hands, whole)


def _hands_apart(text: str) -> tuple[str, str]:
    """What the hands do, and what is said."""
    lines = [(line, _BRACKETED.fullmatch(line.strip())) for line in text.split("\n")]
    hands = [(match["round"] or match["square"]).strip() for _, match in lines if match]
    return "\n".join(hands), "\n".join(line for line, match in lines if not match).strip()


def _heading(line: str) -> tuple[str, float | None]:
    """The name that a line gives, and the time behind it; no name where it is no heading."""
    line = _DECORATION.sub("", line)
    timed = _TIMED.fullmatch(line)
    # "Stir for 20 s" tells what is done, not how long the segment is.
    if timed and _is_name(timed["name"]) and not _goes_on(timed["name"].split()[-1]):
        # A form asks what "1.30" is; here it stands as 1:30, to be looked at before it is saved.
        return timed["name"], parse_duration(_DOTTED.sub(r"\1:\2", timed["time"]))
    return (line, None) if _is_name(line) else ("", None)


def _goes_on(word: str) -> bool:
    return word.casefold() in (*_HANGING, "about", "after", "under", "within")


def _is_name(line: str) -> bool:
    is_short = 0 < len(line) <= LONGEST_NAME and len(line.split()) <= HEADING_WORDS
    return is_short and line[-1].isalnum()


def _lines(*texts: str) -> str:
    return "\n".join(filter(None, texts))


def _cut(said: str, language: str, heading: PastedSegment | None = None) -> list[PastedSegment]:
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
    parts = [PastedSegment(_name_of(piece), piece) for piece in whole]
    if heading and parts:
        lasts_s = heading.lasts_s if len(parts) == 1 else None
        parts[0] = replace(heading, said=whole[0], lasts_s=lasts_s)
    return parts


def _name_of(said: str) -> str:
    """A name from the first words of what is said."""
    first = re.split(r"(?<=[.!?…])\s", said, maxsplit=1)[0]
    words = first.split()
    taken = words[:NAME_WORDS]
    while len(words) > NAME_WORDS and len(taken) > 1 and taken[-1].casefold() in _HANGING:
        taken.pop()
    return " ".join(taken).rstrip(".,;:!?… ")[:LONGEST_NAME] or "Segment"
