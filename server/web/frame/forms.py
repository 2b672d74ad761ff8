"""Forms: what was typed, read into domain values with every fault beside its field."""

import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from server.domain.base.durations import parse_duration, parse_minutes
from server.domain.base.errors import Fault, InvalidInput, refuse_if
from server.domain.base.numbers import read_number, write_number
from server.domain.glass.figure_text import format_figure, parse_figure
from server.domain.glass.figures import Figure

T = TypeVar("T")
Choice = TypeVar("Choice", bound=str)


@dataclass(frozen=True)
class Clash:
    """A field that was changed here and elsewhere since it was shown: both texts."""

    field: str
    mine: tuple[str, ...]
    theirs: tuple[str, ...]


@dataclass(frozen=True)
class Form:
    """A form as a template shows it: the text in each field, and what is wrong with it.

    `shown` are the marks of what is stored, where the form changes something that is.
    """

    values: Mapping[str, str] = field(default_factory=dict)
    faults: tuple[Fault, ...] = ()
    shown: str = ""
    clashes: tuple[Clash, ...] = ()

    def value(self, name: str) -> str:
        """The text in a field."""
        return self.values.get(name, "")

    def messages(self, name: str) -> list[str]:
        """What is wrong with a field, a sentence each."""
        return [fault.message for fault in self.faults if fault.field == name]

    def refused(self, shown: Iterable[str]) -> int:
        """How many of the fields it shows have something wrong with them."""
        return len({fault.field for fault in self.faults} & set(shown))

    def clashes_at(self, name: str) -> list[Clash]:
        """The clash at a field, none or one."""
        return [clash for clash in self.clashes if clash.field == name]

    def stray_messages(self, *shown: str) -> list[str]:
        """What is wrong with the form beside the fields it shows."""
        return [fault.message for fault in self.faults if fault.field not in shown]


class Typed:
    """The texts of a posted form. Reads collect faults; `check` raises them all at once."""

    def __init__(self, values: Mapping[str, str]) -> None:
        # What nobody can type, and not every database can keep, is no part of what was typed.
        self.values = {
            name: value.replace("\r\n", "\n").replace("\0", "") for name, value in values.items()
        }
        self._faults: list[Fault] = []

    def text(self, name: str) -> str:
        """The text of a field without blanks around it; "" where it was not sent."""
        return self.values.get(name, "").strip()

    def words(self, name: str) -> tuple[str, ...]:
        """The words of a field, separated by commas, semicolons or line ends, each once."""
        parts = (part.strip() for part in re.split("[,;،\n]", self.text(name)))
        return tuple(dict.fromkeys(part for part in parts if part))

    def choice(self, name: str) -> str | None:
        """The chosen option, None for the empty one."""
        return self.text(name) or None

    def ticked(self, name: str) -> bool:
        """Whether a box was ticked."""
        return bool(self.text(name))

    def duration(self, name: str) -> float:
        """The seconds in a field; a fault of the form if they cannot be read."""
        return self.take(lambda: parse_duration(self.text(name), name), 0.0)

    def optional_duration(self, name: str) -> float | None:
        """The seconds in a field, None where it is empty."""
        return self.duration(name) if self.text(name) else None

    def minutes(self, name: str) -> float:
        """The seconds in a field where minutes are usual: a bare small number is a fault."""
        return self.take(lambda: parse_minutes(self.text(name), name), 0.0)

    def optional_minutes(self, name: str) -> float | None:
        """The seconds in such a field, None where it is empty."""
        return self.minutes(name) if self.text(name) else None

    def number(self, name: str, lowest: float = -math.inf, highest: float = math.inf) -> float:
        """The number in a field, within its limits; a fault of the form otherwise.

        No limits are given where the value that is built of it states its own.
        """
        otherwise = min(max(0.0, lowest), highest)
        return self.take(lambda: _number(self.text(name), name, lowest, highest), otherwise)

    def optional_number(
        self, name: str, lowest: float = -math.inf, highest: float = math.inf
    ) -> float | None:
        """The number in a field, None where it is empty."""
        return self.number(name, lowest, highest) if self.text(name) else None

    def optional_figure(self, name: str, *known: Figure | None) -> Figure | None:
        """The number or range in a field, None where it is empty; a fault if it is neither.

        Where the text is that of a `known` figure, it is that one, with the source it came with.
        """
        text = self.text(name)
        for each in known:
            if each is not None and text == format_figure(each):
                return each
        return self.take(lambda: parse_figure(text, name), None) if text else None

    def chosen(self, name: str, options: Iterable[Choice], otherwise: Choice) -> Choice:
        """The option that was chosen; `otherwise` where it is none of them."""
        return next((option for option in options if option == self.text(name)), otherwise)

    def whole_number(self, name: str, lowest: float = -math.inf, highest: float = math.inf) -> int:
        """The whole number in a field, within its limits; a fault of the form otherwise."""
        number = self.number(name, lowest, highest)
        if number != int(number):
            self.fault(name, "Give a whole number.")
        return int(number)

    def position(self, name: str = "to") -> int:
        """A place in a list, counted from 0; raises InvalidInput at once."""
        place = self.whole_number(name, 0, 100_000)
        self.check()
        return place

    def failed(self, *names: str) -> bool:
        """Whether one of these fields could not be read: it cannot be held against the others."""
        return any(fault.field in names for fault in self._faults)

    def fault(self, name: str, message: str) -> None:
        """Note something that is wrong."""
        self._faults.append(Fault(name, message))

    def take(self, make: Callable[[], T], otherwise: T) -> T:
        """What `make` returns; `otherwise`, and its faults noted, where it raises InvalidInput."""
        try:
            return make()
        except InvalidInput as error:
            self._note(error)
            return otherwise

    def check(self) -> None:
        """Raise InvalidInput if anything was wrong so far."""
        refuse_if(self._faults)

    def built(self, make: Callable[[], T]) -> T:
        """What `make` builds from fields already read; raises InvalidInput with all faults."""
        try:
            value = make()
        except InvalidInput as error:
            self._note(error)
            raise InvalidInput(self._faults) from error
        self.check()
        return value

    def _note(self, error: InvalidInput) -> None:
        """Keep its faults, but those of fields that could not even be read."""
        unread = {fault.field for fault in self._faults}
        self._faults.extend(fault for fault in error.faults if fault.field not in unread)


def renamed(make: Callable[[], T], names: Mapping[str, str]) -> T:
    """What `make` builds; its faults stand beside the fields of a form that `names` tells of."""
    try:
        return make()
    except InvalidInput as error:
        raise InvalidInput(
            Fault(names.get(fault.field, fault.field), fault.message) for fault in error.faults
        ) from error


def _number(text: str, name: str, lowest: float, highest: float) -> float:
    value = read_number(text, name)
    if not lowest <= value <= highest:
        limits = f"{write_number(lowest)} to {write_number(highest)}"
        raise InvalidInput.of(name, f"Give a number from {limits}.".replace("-", "−"))
    return value
