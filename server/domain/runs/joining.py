"""Joining a run or a tasting: the code that is passed by mouth, what it opens, how long it holds.

>>> read_code(" a3-c4 e6 "), read_code("A3C4EO")
('A3C4E6', 'A3C4EO')
"""

from collections.abc import Callable, Container, Iterable
from dataclasses import dataclass
from hmac import compare_digest

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


def unused_code(choose: Callable[[str], str], taken: Container[str]) -> str:
    """A new code that is none of those that are taken."""
    code = join_code(choose)
    while code in taken:
        code = join_code(choose)
    return code


def read_code(text: str) -> str:
    """A typed code as it was given out: capitals, without what people put between the signs."""
    return "".join(sign for sign in text[:_LONGEST_TYPED].upper() if sign.isalnum())


@dataclass(frozen=True)
class StandingCode:
    """A code, the id of what it opens, and the time from which on it no longer does."""

    code: str
    opens: str
    expires_ms: int


def opened_by(
    typed: str, codes: Iterable[StandingCode], now_ms: int, *, what: str, who: str
) -> str:
    """The id of what a typed code opens; `what` that is, and `who` shows codes, for the words.

    Raises InvalidInput for a wrong or an old one, or none.
    """
    tried = read_code(typed).encode()
    if not tried:
        raise InvalidInput.of("code", f"Type the code that the {who}’s screen shows.")
    # Each is compared, and in constant time: how long a refusal takes tells nothing of a code.
    found = [each for each in codes if compare_digest(each.code.encode(), tried)]
    if not found:
        raise InvalidInput.of("code", f"No {what} opens to this code. Compare it with the {who}’s.")
    if found[0].expires_ms <= now_ms:
        raise InvalidInput.of("code", f"This code has expired. Ask the {who} for a new one.")
    return found[0].opens


def read_name(text: str) -> str:
    """The name of one who joins, on one line. Raises InvalidInput if there is none, or too much."""
    name = " ".join(text.split())
    if not name:
        raise InvalidInput.of("name", "Give the name your remarks shall stand under.")
    if len(name) > LONGEST_WHO:
        raise InvalidInput.of("name", f"Keep the name to {LONGEST_WHO} characters.")
    return name
