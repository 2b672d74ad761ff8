"""How long texts may be, the faults of a name, how names compare, and how a sentence begins."""

from typing import Annotated

from server.domain.base.errors import Fault
from server.domain.base.limits import Length

LINE = 120
"""Longest one-line text (names, words of a time call), in characters."""

LONG_TEXT = 20_000
"""Longest text of several lines (what is said, notes), in characters."""

Name = Annotated[str, Length(LINE, required=True)]
Line = Annotated[str, Length(LINE)]
Text = Annotated[str, Length(LONG_TEXT)]


def name_faults(name: str, field: str = "name") -> list[Fault]:
    """What is wrong with a required one-line name; empty when nothing is."""
    return _faults(Length(LINE, required=True), name, field)


def line_faults(text: str, field: str) -> list[Fault]:
    """The fault of a one-line text that is too long; empty when it fits."""
    return _faults(Length(LINE), text, field)


def long_text_faults(text: str, field: str) -> list[Fault]:
    """The fault of a longer text that is too long; empty when it fits."""
    return _faults(Length(LONG_TEXT), text, field)


def _faults(length: Length, text: str, field: str) -> list[Fault]:
    words = length.misfit(text)
    return [Fault(field, words)] if words else []


def with_capital(text: str) -> str:
    """A text with its first letter as a sentence has it.

    >>> with_capital("rosehip"), with_capital("")
    ('Rosehip', '')
    """
    return text[:1].upper() + text[1:]


def plain_name(name: str) -> str:
    """A name as two spellings of it are compared.

    >>> plain_name(" Cool  Bag "), plain_name("")
    ('cool bag', '')
    """
    return " ".join(name.casefold().split())
