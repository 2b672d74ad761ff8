"""A routine with its runs as one JSON file, which leaves and enters, and the schema of it.

A file that is not ours, or of a later version, is refused with a sentence that says so.
"""

import json
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Annotated, Any, Literal

from pydantic import ConfigDict, Field, ValidationError

from server.domain.base.errors import InvalidInput
from server.domain.drift.goals import Goal
from server.domain.heard.record import MOST_TAKES, TakeRecord
from server.domain.learn.aim import LearningAim
from server.domain.learn.learning_marks import MOST_MARKS, LearningMark
from server.domain.prepare.ticks import MOST_TICKS, PackedTick
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine
from server.domain.routine.rules import RuleSheet
from server.domain.tasters.record import MOST_SITTINGS, SittingRecord
from server.domain.whole.exchange import LARGEST_FILE, TOO_LARGE, RunRecord, adapter_of, from_json

FORMAT: Literal["ninefifty-routine"] = "ninefifty-routine"
VERSION: Literal[1] = 1


@dataclass(frozen=True)
class RoutineFile:
    """A routine with its rule sheet, its runs, and the plans they were run against."""

    __pydantic_config__ = ConfigDict(
        extra="forbid", title="A Ninefifty routine with its practice runs"
    )

    format: Literal["ninefifty-routine"]
    version: Literal[1]
    routine: Routine
    rules: RuleSheet
    plans: dict[str, Plan] = field(default_factory=dict)
    runs: tuple[RunRecord, ...] = ()
    goal: Goal | None = None
    learning_aim: LearningAim | None = None
    learnt: Annotated[tuple[LearningMark, ...], Field(max_length=MOST_MARKS)] = ()
    """How the sentences of the script went when they were said by heart."""
    ticked: Annotated[tuple[PackedTick, ...], Field(max_length=MOST_TICKS)] = ()
    """What is packed for each occasion, and made ahead."""
    tastings: Annotated[tuple[SittingRecord, ...], Field(max_length=MOST_SITTINGS)] = ()
    """Who found what, with the recipes as they were tasted."""
    takes: Annotated[tuple[TakeRecord, ...], Field(max_length=MOST_TAKES)] = ()
    """What was said, word by word, in recordings: only where that was asked for."""

    def __post_init__(self) -> None:
        wanted = {run.plan_key for run in self.runs} | {take.plan_key for take in self.takes}
        missing = wanted - set(self.plans)
        if missing:
            raise InvalidInput.of("file", f"The file lacks the plan “{min(missing)}” of a run.")
        if len({take.id for take in self.takes}) < len(self.takes):
            raise InvalidInput.of("file", "Two takes of the file carry the same id.")
        if len({run.id for run in self.runs}) < len(self.runs):
            raise InvalidInput.of("file", "Two runs of the file carry the same id.")
        if len({mark.id for mark in self.learnt}) < len(self.learnt):
            raise InvalidInput.of("file", "Two marks of learning carry the same id.")
        if len({(each.occasion, each.key) for each in self.ticked}) < len(self.ticked):
            raise InvalidInput.of("file", "One thing is ticked twice for one occasion.")
        if len({each.sitting.id for each in self.tastings}) < len(self.tastings):
            raise InvalidInput.of("file", "Two tastings carry the same id.")


def parse_file(content: bytes) -> RoutineFile:
    """The routine in an exported file. Raises InvalidInput on the field "file"."""
    if len(content) > LARGEST_FILE:
        raise InvalidInput.of("file", f"The file is {TOO_LARGE}.")
    head = adapter_of(dict[str, Any])
    try:
        document = head.validate_json(content)
    except ValidationError as error:
        raise InvalidInput.of("file", "This is no JSON file. Choose one exported here.") from error
    if document.get("format") != FORMAT:
        raise InvalidInput.of("file", "This file does not hold a routine exported here.")
    if document.get("version") != VERSION:
        raise InvalidInput.of(
            "file", f"This file has version {document.get('version')}; this app reads {VERSION}."
        )
    try:
        return from_json(RoutineFile, content)
    except InvalidInput as error:
        first = error.faults[0]
        place = "" if first.field == "file" else f"At {first.field}: "
        more = f" ({len(error.faults) - 1} more)" if len(error.faults) > 1 else ""
        raise InvalidInput.of("file", f"{place}{first.message}{more}") from error


def file_pieces(file: RoutineFile, runs: Iterable[RunRecord]) -> Iterator[str]:
    """The JSON text of an exported routine without its runs, and these, in pieces.

    Each part and each run has a line of its own: two files can be compared line by line, and
    nothing is spent on indentation.
    """
    parts = adapter_of(RoutineFile).dump_python(file, mode="json", exclude_defaults=True)
    between = "{\n"
    for name, part in parts.items():
        yield f"{between}{json.dumps(name)}:{_compact(part)}"
        between = ",\n"
    between = ',\n"runs":[\n'
    ending = "\n}\n"
    for run in runs:
        yield between + adapter_of(RunRecord).dump_json(run, exclude_defaults=True).decode()
        between, ending = ",\n", "\n]\n}\n"
    yield ending


def _compact(part: object) -> str:
    return json.dumps(part, ensure_ascii=False, separators=(",", ":"))


def file_schema() -> dict[str, Any]:
    """The JSON Schema (2020-12) of an exported routine."""
    schema = adapter_of(RoutineFile).json_schema()
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
