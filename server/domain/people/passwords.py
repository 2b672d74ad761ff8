"""What a password must be: long enough, and not one of those that are tried first.

NIST SP 800-63B, 3.1.1.2: length counts, and what is known to be chosen often is refused; no rule
asks for digits or signs. Twelve signs at least, of any script, blanks too.
"""

import re
import unicodedata
from collections.abc import Iterable, Sequence
from itertools import pairwise

from server.domain.base.errors import Fault
from server.domain.people.commonest import FIGURES_FOR_LETTERS, is_among_commonest

LEAST, MOST = 12, 128
"""Fewest and most characters of a password."""

_WORDS = """
password passwort passord motdepasse contrasena senha wachtwoord passphrase passcode secret geheim
hallo hello welcome willkommen letmein login admin administrator root master user guest test default
changeme iloveyou loveyou ichliebedich sunshine princess prinzessin football fussball baseball
basketball soccer hockey dragon monkey shadow superman batman starwars pokemon naruto michael
jennifer jordan ashley daniel thomas charlie andrew michelle jessica nicole matthew joshua hunter
harley ranger buster tigger pepper ginger cookie cheese chocolate banana butterfly flower rainbow
unicorn angel summer winter spring autumn sommer monday sunday january december freedom whatever
trustno computer internet samsung mustang killer ninja azerty qwerty qwertyuiop qwertz qwertzuiop
asdf asdfgh asdfghjkl zxcvbn zxcvbnm yxcvbnm qazwsx qazwsxedc abc abcd abcdef abcdefgh
abcdefghijkl aaa xxx barista espresso coffee cocktail bartender ninefifty
"""
SHORTEST_ROW = 8
"""Fewest signs that are looked at for one pattern."""

COMMON = tuple(_WORDS.split())
"""Words that passwords of this length are built of most often, with digits behind or repeated."""

_KEYS = re.compile(r"(1q2w3e4r5t6z?|1q2w3e4r|1qaz2wsx3edc|1qaz2wsx|q1w2e3r4|zaq12wsx)+")


def settled(password: str) -> bytes:
    """A password as it is hashed: the same however a keyboard composes its letters (NFKC).

    >>> settled("Cafe" + chr(0x301)) == settled("Café")
    True
    """
    return unicodedata.normalize("NFKC", password).encode("utf-8", "surrogatepass")


def password_faults(
    password: str, about: Iterable[str] = (), field: str = "password"
) -> list[Fault]:
    """What is wrong with a new password; `about` are names that are known of whose it is.

    >>> [fault.message for fault in password_faults("three warm oranges")]
    []
    >>> [fault.message for fault in password_faults("Passw0rd1234")]
    ['This is one of those that are tried first. A few words that do not go together do well.']
    """
    if not password:
        return [Fault(field, "Give a password.")]
    if len(unicodedata.normalize("NFKC", password)) < LEAST:
        return [Fault(field, f"Give at least {LEAST} characters: a few words do well.")]
    if len(password) > MOST:
        return [Fault(field, f"Keep it to {MOST} characters.")]
    if is_common(password, about):
        words = "This is one of those that are tried first. A few words that do not go together do"
        return [Fault(field, f"{words} well.")]
    return []


def is_common(password: str, about: Iterable[str] = ()) -> bool:
    """Whether a password is built as those are that are guessed first.

    >>> [is_common(each) for each in ("123456789012", "qwertyqwerty1", "abcabcabcabc")]
    [True, True, True]
    >>> [is_common(each) for each in ("Chickenwing101", "s7rawberry2019", "finalfantasy")]
    [True, True, True]
    >>> is_common("ada-ada-ada-1990", about=["Ada"]), is_common("kettle fern 12 stairs")
    (True, False)
    """
    plain = re.sub(r"[\W_]", "", _key(password))
    dressed = re.sub(r"[\W_]", "", _key(password).translate(FIGURES_FOR_LETTERS))
    bare = re.sub(r"^\d+|\d+$", "", _key(re.sub(r"[\W_]", "", password)))
    names = [re.sub(r"[\W_]", "", _key(part)) for each in about for part in re.split("[@ ]", each)]
    words = sorted({*COMMON, *(name for name in names if len(name) > 2)}, key=len, reverse=True)
    found = re.compile("|".join(map(re.escape, words)))
    if is_among_commonest(_key(password)) or is_among_commonest(plain):
        return True
    return any(
        _is_row(text)
        or _KEYS.match(text) is not None
        or (1 <= len(set(found.findall(text))) <= 2 and _is_built_of(text, words))
        for text in (_key(password), plain, dressed, bare, bare.translate(FIGURES_FOR_LETTERS))
    )


def _is_built_of(text: str, words: Sequence[str]) -> bool:
    """Whether these words and digits make up all of a text; in one pass, whatever it looks like."""
    reached = {0}
    for at in range(len(text)):
        if at in reached:
            reached |= {at + len(word) for word in words if text.startswith(word, at)}
            reached |= {at + 1} if text[at].isdigit() else set()
    return len(text) in reached


def _is_row(text: str) -> bool:
    """One sign or a few over and over, or signs that follow each other: 1111, abab, 4567."""
    if len(text) < SHORTEST_ROW:
        return False
    if any(text == (text[:n] * len(text))[: len(text)] for n in range(1, 5)):
        return True
    steps = {(ord(after) - ord(before)) % 10 for before, after in pairwise(text)}
    return text.isdigit() and len(steps) == 1


def _key(text: str) -> str:
    return unicodedata.normalize("NFKC", text).casefold()
