"""What can hurt although no figure shows it: dry ice, flame, kernels, named anywhere in a routine.

The words of each caution, their sources and the patterns stand in `hazards.toml`. A name counts as
a whole word, where the thing is used: not where it is only a taste ("a nutmeg note", "like smoke")
or is left out ("no dry ice").

>>> lines = hazards_in([HazardText("act", "the method", "Drop in dry ice, then serve.")])
>>> lines[0].code, lines[0].words[:23]
('dry_ice', 'Dry ice (the method): i')
"""

import re
import tomllib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import Literal, NamedTuple

from pydantic import TypeAdapter

from server.domain.base.amounts import Amount
from server.domain.base.documents import Document
from server.domain.glass.caution import Caution, Code, caution_of
from server.domain.glass.parcel import AnyRecipeLine

_FILE = Path(__file__).with_name("hazards.toml")

Place = Literal["part", "act", "said"]
"""A name of an ingredient, what is done, what is said."""

Patterns = tuple[str, ...]

_TASTE = (
    "notes?|hints?|touch|whispers?|tastes?|aromas?|smells?|scents?|flavou?rs?|traces?|memor(?:y|ies)|"
    "echo|breath|kiss|finish|nose|feel(?:ing)?"
)
_NOT_USED = re.compile(
    rf"(?:\b(?:{_TASTE})\s+of\s+(?:\w+\s+){{0,2}}"
    r"|\b(?:like|no|without|zero|never|instead of|rather than|free of|reminds? (?:me|us|you) of)"
    r"\s+(?:an?\s+|the\s+|any\s+|open\s+|real\s+|raw\s+|to use\s+|use\s+)*)$"
)
"""What stands before a name that is a taste, a likeness, or left out."""

_STRAIGHT = str.maketrans("’₂", "'2")

_TASTED = re.compile(rf"\s+(?:{_TASTE})\b|\s+free\b")
"""What stands behind one."""


class HazardText(NamedTuple):
    """A text of a routine: what it is, how its place is called, and how much of it is in a serve.

    `grams` is None where that is not known or has no meaning; a pinch counts as `is_little`.
    """

    place: Place
    where: str
    text: str
    grams: float | None = None
    is_little: bool = False


@dataclass(frozen=True)
class Hazard(Document):
    """A hazard as the file holds it: see `hazards.toml`."""

    code: Code
    name: str
    words: str
    source: str
    anywhere: Patterns = ()
    parts: Patterns = ()
    acts: Patterns = ()
    said: Patterns = ()
    never: Patterns = ()
    little_g: float = 0.0
    from_g: float = 0.0


class _Finder(NamedTuple):
    hazard: Hazard
    by_place: dict[Place, re.Pattern[str] | None]
    never: re.Pattern[str] | None


@cache
def hazards() -> tuple[Hazard, ...]:
    """All hazards that are known here, in the order in which they are told."""
    tables = tomllib.loads(_FILE.read_text(encoding="utf-8"))
    return TypeAdapter(tuple[Hazard, ...]).validate_python(tables["hazard"])


def hazards_in(texts: Sequence[HazardText]) -> tuple[Caution, ...]:
    """A caution for each hazard that the texts name, with the first place where they do."""
    return tuple(_cautions(texts))


def part_written(part: AnyRecipeLine, serves: int) -> HazardText:
    """The name of a line of a recipe, with how much of it a serve holds."""
    return HazardText("part", part.name, part.name, _grams(part, serves), _is_little(part.amount))


def _cautions(texts: Sequence[HazardText]) -> Iterator[Caution]:
    named = [(written, _named_in(written)) for written in texts]
    for at, finder in enumerate(_finders()):
        where = next((written.where for written, found in named if at in found), None)
        if where is None:
            continue
        hazard = finder.hazard
        place = "" if where.casefold() == hazard.name.casefold() else f" ({where})"
        source = hazard.source[0].upper() + hazard.source[1:]
        yield caution_of(
            hazard.code,
            f"{hazard.name}{place}: {hazard.words} ({source}.)",
            hazard.name[0].lower() + hazard.name[1:],
        )


# Kept: a change touches one text of a routine, and every page with a drink asks for all of them.
@lru_cache(maxsize=1024)
def _named_in(written: HazardText) -> frozenset[int]:
    """The finders, by their number, whose hazard a text names."""
    plain = _plain(written.text)
    return frozenset(at for at, each in enumerate(_finders()) if _names(each, written, plain))


def _names(finder: _Finder, written: HazardText, plain: str) -> bool:
    hazard, pattern = finder.hazard, finder.by_place[written.place]
    if pattern is None or _too_little(hazard, written):
        return False
    # What is weighed goes by its weight, grated or not.
    is_weighed = hazard.little_g > 0 and written.grams is not None
    never = None if is_weighed else finder.never
    covered = [each.span() for each in never.finditer(plain)] if never else []
    return any(_counts(hit, plain, covered) for hit in pattern.finditer(plain))


def _counts(hit: re.Match[str], plain: str, covered: list[tuple[int, int]]) -> bool:
    start, end = hit.span()
    if any(start < last and first < end for first, last in covered):
        return False
    return not (_NOT_USED.search(plain[:start]) or _TASTED.match(plain, end))


def _too_little(hazard: Hazard, written: HazardText) -> bool:
    """Whether what is known of its amount lets a hazard rest that is one only in large amounts."""
    if hazard.from_g:
        return written.grams is None or written.grams < hazard.from_g
    if not hazard.little_g:
        return False
    return written.is_little or (written.grams is not None and written.grams <= hazard.little_g)


def _grams(part: AnyRecipeLine, serves: int) -> float | None:
    amount, piece_g = part.amount, part.substance.piece_g if part.substance else None
    if amount.mass_g is not None:
        return amount.mass_g / serves
    if amount.counts_pieces and amount.unit != "pinch" and piece_g is not None:
        return amount.value * piece_g.most / serves
    return None


def _is_little(amount: Amount) -> bool:
    return amount.unit in ("pinch", "dash", "drop", "grating") and amount.value <= 3


@cache
def _finders() -> tuple[_Finder, ...]:
    return tuple(
        _Finder(
            each,
            {
                "part": _any_of(each.anywhere + each.parts),
                "act": _any_of(each.anywhere + each.acts),
                "said": _any_of(each.anywhere + each.said),
            },
            _any_of(each.never),
        )
        for each in hazards()
    )


def _any_of(patterns: Patterns) -> re.Pattern[str] | None:
    return re.compile(rf"(?<!\w)(?:{'|'.join(patterns)})(?!\w)") if patterns else None


def _plain(text: str) -> str:
    """Small letters, hyphens as spaces, one space between words; punctuation stays, it parts."""
    straight = text.casefold().translate(_STRAIGHT)
    return re.sub(r"[ \t]+", " ", re.sub(r"(?<=\w)[-‐‑–](?=\w)", " ", straight))
