"""Who may do what: what a device is let in as, and what an address asks of whoever asks for it.

>>> may("watch", None, watches=True), may("help", None, watches=True), may("own", "helper")
(True, False, False)
"""

from typing import Literal

Role = Literal["mine", "helper"]
"""What a device is let in as: the owner's with all rights, or one that helps to rehearse."""

Need = Literal["anyone", "watch", "help", "own", "taste"]
"""What an address asks for: nothing, a pass to the run it is about, a device that was let in, one
of the owner's, or a pass to the tasting it is about."""

ROLES: dict[Role, str] = {"mine": "Mine", "helper": "Helper"}
"""Role -> the words for it."""


def may(need: Need, role: Role | None, *, watches: bool = False, tastes: bool = False) -> bool:
    """Whether a device let in as `role` (None: it is not) may have what needs `need`.

    `watches` and `tastes` say that it holds a pass to the run, or to the tasting, in question.
    """
    if need == "anyone" or role == "mine":
        return True
    if need == "own":
        return False
    return role == "helper" or (need == "watch" and watches) or (need == "taste" and tastes)
