"""How long texts may be, the faults of a name, and how a sentence begins."""

from typing import Annotated

from pydantic import Field

from server.domain.base.errors import Fault

LINE = 120
"""Longest one-line text (names, words of a time call), in characters."""

LONG_TEXT = 20_000
"""Longest text of several lines (what is said, notes), in characters."""

Name = Annotated[str, Field(min_length=1, max_length=LINE)]
Text = Annotated[str, Field(max_length=LONG_TEXT)]


def name_faults(name: str, field: str = "name") -> list[Fault]:
    """What is wrong with a required one-line name; empty when nothing is."""
    if not name.strip():
        return [Fault(field, "Give it a name.")]
    return line_faults(name, field)


def line_faults(text: str, field: str) -> list[Fault]:
    """The fault of a one-line text that is too long; empty when it fits."""
    if len(text) > LINE:
        return [Fault(field, f"Keep it to {LINE} characters; this has {len(text)}.")]
    return []


def long_text_faults(text: str, field: str) -> list[Fault]:
    """The fault of a longer text that is too long; empty when it fits."""
    if len(text) > LONG_TEXT:
        return [Fault(field, f"Keep it to {LONG_TEXT:,} characters; this has {len(text):,}.")]
    return []


def with_capital(text: str) -> str:
    """A text with its first letter as a sentence has it.

    >>> with_capital("rosehip"), with_capital("")
    ('Rosehip', '')
    """
    return text[:1].upper() + text[1:]
