"""Errors of the domain, drawn as a tree.

    DomainError
      InvalidInput     what was typed or sent cannot be taken; carries every fault found
      CannotTell       what is kept is in order, but a figure cannot be worked out from it
      NotFound         no such routine, run, drink ...
      Gone             it existed and was deleted
      Conflict         it contradicts what is already stored
      TooLarge         it is more than may be sent
      NoRoom           it cannot be written: the disk is too full for it, or read-only
      Unreachable      the database does not answer just now
      NotAdmitted      one must be let in first
        NotAllowed     one is let in, but not for this
        NotSignedIn    one must sign in first
      TooMany          others, or earlier tries, have used up what there is

Each says in one sentence what to do next. The web layer turns them into 422, 424, 404, 410, 409,
413, 507, 503, 403 (all three) and 429. A page is never lost to CannotTell: it says so in the
figure's place.
"""

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass


@dataclass(frozen=True)
class Fault:
    """One thing that is wrong: the form field it belongs to and a sentence for the person."""

    field: str
    message: str


class DomainError(Exception):
    """Base of all errors that are answered to the person rather than logged as a defect."""

    code = "error"

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


class InvalidInput(DomainError):
    """Input that cannot be taken; `faults` lists everything found, not only the first."""

    code = "invalid"

    def __init__(self, faults: Iterable[Fault]) -> None:
        self.faults = tuple(faults)
        super().__init__(" ".join(fault.message for fault in self.faults))

    @classmethod
    def of(cls, field: str, message: str) -> "InvalidInput":
        """The error for a single fault."""
        return cls([Fault(field, message)])


class CannotTell(DomainError):
    """A figure cannot be worked out from what is kept; nothing that was typed is wrong."""

    code = "cannot_tell"


class NotFound(DomainError):
    """The thing asked for does not exist here."""

    code = "not_found"


class Gone(DomainError):
    """The thing asked for existed and was deleted."""

    code = "gone"


class Conflict(DomainError):
    """What was sent contradicts what is already stored."""

    code = "conflict"


class TooLarge(DomainError):
    """What was sent, or is to be, is more than this app takes."""

    code = "too_large"


class NoRoom(DomainError):
    """What was sent cannot be written to the disk; it can be sent again when that is mended."""

    code = "no_room"


class Unreachable(DomainError):
    """The database does not answer just now; what was sent can be sent again later."""

    code = "unreachable"


class NotAdmitted(DomainError):
    """One must be let in first."""

    code = "not_admitted"


class NotAllowed(NotAdmitted):
    """The device was let in, but not for this."""

    code = "not_allowed"


class NotSignedIn(NotAdmitted):
    """People have accounts here, and nobody is signed in; without any yet, the first is made."""

    code = "not_signed_in"

    def __init__(self, message: str, *, is_first: bool = False) -> None:
        super().__init__(message)
        self.is_first = is_first


class TooMany(DomainError):
    """Others, or earlier tries, have used up what there is; later it may go."""

    code = "too_many"


@contextmanager
def reckoning(about: str) -> Iterator[None]:
    """A stretch of a computation that makes values of what it found.

    Raises CannotTell, `about` before the reason, where one of them cannot be: nobody typed it.
    """
    try:
        yield
    except (InvalidInput, CannotTell) as error:
        raise CannotTell(f"{about}: {error.message}") from error


def refuse_if(faults: Iterable[Fault]) -> None:
    """Raise InvalidInput when there is at least one fault."""
    found = tuple(faults)
    if found:
        raise InvalidInput(found)
