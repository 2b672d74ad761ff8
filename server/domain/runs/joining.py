"""Joining a run as one who watches it: the code that is passed by mouth, and how long it holds.

>>> read_code(" a3-c4 e6 "), read_code("A3C4EO")
('A3C4E6', 'A3C4EO')
"""

from collections.abc import Callable

from server.domain.base.durations import DAY_MS, HOUR_MS
from server.domain.base.errors import InvalidInput
from server.domain.runs.events import LONGEST_WHO

ALPHABET = "34679ACDEFGHJKMNPQRTUWXY"
"""What codes are made of: of each pair that a hand or an eye confuses (0 O, 1 I L, 2 Z, 5 S, 8 B,
U V) at most one. 24 signs; 6 of them make 191 million codes."""

CODE_LENGTH = 6

CODE_LASTS_MS = 6 * HOUR_MS
"""A code is for one evening."""

PASS_LASTS_MS = 7 * DAY_MS
"""Who joined stays admitted for as long: points are given, and notes arrive, days later."""

MOST_WATCHING = 50
"""Most devices that follow one run at a time."""

_LONGEST_TYPED = 40


def join_code(choose: Callable[[str], str], length: int = CODE_LENGTH) -> str:
    """A new code; `choose` picks one sign of a text at random."""
    return "".join(choose(ALPHABET) for _ in range(length))


def read_code(text: str) -> str:
    """A typed code as it was given out: capitals, without what people put between the signs."""
    return "".join(sign for sign in text[:_LONGEST_TYPED].upper() if sign.isalnum())


def read_name(text: str) -> str:
    """The name of one who joins, on one line. Raises InvalidInput if there is none, or too much."""
    name = " ".join(text.split())
    if not name:
        raise InvalidInput.of("name", "Give the name your remarks shall stand under.")
    if len(name) > LONGEST_WHO:
        raise InvalidInput.of("name", f"Keep the name to {LONGEST_WHO} characters.")
    return name
