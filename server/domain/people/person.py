"""A person with an account, and the name by which they sign in."""

import unicodedata
from dataclasses import dataclass

from server.domain.base.errors import Fault
from server.domain.base.text import name_faults

LONGEST_SIGN_IN = 100
"""Longest name, or mail address, by which one signs in, in characters."""


@dataclass(frozen=True)
class Person:
    """A person with an account; `sign_in` is the name they sign in by, as it was typed."""

    id: str
    name: str
    sign_in: str
    is_admin: bool
    made_ms: int
    ended_ms: int | None = None
    """When the account was ended; it can be given back."""


def sign_in_key(typed: str) -> str:
    """What tells one sign-in name from another: neither case nor ways to write a letter do.

    >>> sign_in_key(" Ada@Bar.example "), sign_in_key("ＡＤＡ")
    ('ada@bar.example', 'ada')
    """
    return unicodedata.normalize("NFKC", unicodedata.normalize("NFKC", typed).casefold()).strip()


def person_faults(name: str, sign_in: str) -> list[Fault]:
    """What is wrong with a person's name and sign-in name; empty when nothing is."""
    faults = name_faults(name)
    if not sign_in_key(sign_in):
        faults.append(Fault("sign_in", "Give a name to sign in by, such as a mail address."))
    elif len(sign_in) > LONGEST_SIGN_IN:
        faults.append(Fault("sign_in", f"Keep it to {LONGEST_SIGN_IN} characters."))
    elif not sign_in.isprintable():
        faults.append(Fault("sign_in", "Leave out what cannot be seen."))
    return faults
