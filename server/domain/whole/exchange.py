"""Documents as they are stored and sent: domain values as JSON, and runs with their events.

Reading never guesses: a value out of range is refused with the place it stands in.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Annotated, Any, Literal, TypeVar

from pydantic import Field, TypeAdapter, ValidationError

from server.domain.base.documents import Document, Instant
from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.ids import Id
from server.domain.base.text import Line, Text, with_capital
from server.domain.runs.events import MOST_IN_BATCH, Event, event_document
from server.domain.runs.labels import NOTHING_SAID, Occasion

LARGEST_FILE = 32 * 1024 * 1024
"""Largest file given out and taken in, bytes: some ten thousand runs."""

TOO_LARGE = f"larger than {LARGEST_FILE // 1024**2} MB"

Source = Literal["stage", "paper", "heard", "demo"]

SOURCES: dict[Source, str] = {
    "stage": "timed here",
    "paper": "entered by hand",
    "heard": "made from a recording",
    "demo": "invented for the demo",
}
"""Where a run comes from -> the words for it."""

T = TypeVar("T")


@dataclass(frozen=True)
class RunRecord(Document):
    """A run as it is kept: what the person wrote about it, and its event log."""

    id: Id
    plan_key: str
    created_ms: Instant
    source: Source = "stage"
    label: Line = ""
    notes: Text = ""
    excluded: bool | None = None
    occasion: Occasion = NOTHING_SAID
    events: tuple[Event, ...] = ()


_adapters: dict[Any, TypeAdapter[Any]] = {}


def adapter_of(kind: Any) -> TypeAdapter[Any]:  # noqa: ANN401
    """What reads and writes a kind of document; building one costs milliseconds."""
    if kind not in _adapters:
        _adapters[kind] = TypeAdapter(kind)
    return _adapters[kind]


def to_json(value: object) -> str:
    """A domain value as compact JSON."""
    return adapter_of(type(value)).dump_json(value).decode()


def from_json(kind: type[T], text: str | bytes) -> T:
    """The domain value of that kind in a JSON text.

    Raises InvalidInput with one fault per wrong place; the field is the place, "runs.0.label".
    """
    try:
        value: T = adapter_of(kind).validate_json(text)
    except ValidationError as error:
        raise InvalidInput(_faults(error)) from error
    return value


def parse_events(content: bytes) -> tuple[Event, ...]:
    """The events of a batch {"events": [...]}. Raises InvalidInput."""
    return from_json(EventBatch, content).events


def events_json(events: Sequence[Event]) -> list[dict[str, object]]:
    """Events as JSON objects without unused fields, as the browser made them."""
    return [event_document(event) for event in events]


@dataclass(frozen=True)
class EventBatch(Document):
    """What the browser sends: some events of one run, in any order, as often as it takes."""

    events: Annotated[tuple[Event, ...], Field(min_length=1, max_length=MOST_IN_BATCH)]


def _faults(error: ValidationError) -> list[Fault]:
    return [
        Fault(".".join(str(part) for part in problem["loc"]) or "file", _sentence(problem["msg"]))
        for problem in error.errors(include_url=False, include_context=False)
    ]


def _sentence(message: str) -> str:
    return with_capital(message) + ("" if message.endswith(".") else ".")
