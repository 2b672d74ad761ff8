"""What is usual in a plan stays usual for ever: what is stored leaves it out."""

import dataclasses
import json
from pathlib import Path
from typing import get_args, get_type_hints

from server.domain.routine.plan import Plan

KEPT = Path(__file__).with_name("usual_values.json")


def kinds_in(hint):
    """The dataclasses that a type speaks of, and those that their fields speak of."""
    if dataclasses.is_dataclass(hint):
        yield hint
        for each in get_type_hints(hint, include_extras=False).values():
            yield from kinds_in(each)
    for each in get_args(hint):
        yield from kinds_in(each)


def usual_values():
    found = {}
    for kind in dict.fromkeys(kinds_in(Plan)):
        for field in dataclasses.fields(kind):
            made = field.default_factory
            usual = field.default if made is dataclasses.MISSING else made()
            if usual is not dataclasses.MISSING:
                found[f"{kind.__name__}.{field.name}"] = usual
    return json.loads(json.dumps(found, default=told))


def told(usual):
    """A value in which all is usual by its name: it has rows of its own."""
    kind = type(usual)
    return f"{kind.__name__}()" if usual == kind() else dataclasses.asdict(usual)


def test_what_is_usual_in_a_plan_is_what_it_was():
    """A new field needs a row in `usual_values.json`; a row that stands there never changes."""
    now, kept = usual_values(), json.loads(KEPT.read_text())
    apart = {name: now.get(name) for name in now.keys() | kept if now.get(name) != kept.get(name)}
    assert now == kept, f"other than in {KEPT.name}: {json.dumps(apart)}"
