"""The guard of all forms: what was shown is posted along, so that nobody overwrites unseen.

A form carries a mark of each field as it was shown. Where the thing was changed elsewhere since,
a field that only one side touched is taken from that side; one that both touched is a clash: both
texts are shown beside it, and the person chooses. Fields that mean something only together, such
as a number and its basis, are held as one.
"""

import json
import re
from collections.abc import Iterable, Mapping
from hashlib import sha256
from typing import Literal

from server.domain.base.errors import Fault, InvalidInput
from server.web.frame.forms import Clash, Form, Typed

Values = Mapping[str, str]
Held = dict[str, str]

Changed = Literal["nobody", "me", "they", "both"]

SHOWN, UNSETTLED, SETTLE = "shown", "unsettled", "settle"
"""Fields of every guarded form: the marks, the clashes still open, and the choice for all."""

_TOGETHER = (
    (re.compile(r"criterion-(id|name|points)-\d+"), "criteria"),
    (re.compile(r"read-(at|ml)(-\d+)?"), "readings"),
    (re.compile(r"allergen-.+|allergens_checked"), "allergens"),
    (re.compile(r"tag-\d+"), "tags"),
    (re.compile(r"price(_for)?"), "price"),
)
_FURTHER = re.compile(r"(?P<stem>after)-\d+|(?P<base>.+)_per")


class Clashed(InvalidInput):
    """Fields that were changed both here and elsewhere, on which nothing was chosen yet."""

    def __init__(self, clashes: Iterable[Clash]) -> None:
        self.clashes = tuple(clashes)
        words = "This was changed elsewhere too. Choose which to keep."
        super().__init__(Fault(clash.field, words) for clash in self.clashes)


def mark_of(text: str) -> str:
    """A short mark of a text."""
    return sha256(text.strip().encode("utf-8", "surrogatepass")).hexdigest()[:12]


def who_changed(mine: str, shown: str, theirs: str) -> Changed:
    """Whose text differs from the one that was shown; `shown` is its mark."""
    if mine.strip() == theirs.strip():
        return "nobody"
    if mark_of(theirs) == shown:
        return "me"
    return "they" if mark_of(mine) == shown else "both"


_NOTHING = mark_of("{}")


def opened(values: Values) -> Form:
    """A form on what is stored, with the marks of what it shows."""
    return Form(values, shown=_marks(values))


def merged(typed: Typed, now: Values) -> Typed:
    """What was typed, joined with what was changed elsewhere; `now` is what is stored.

    A form without marks is taken as it is. Raises Clashed.
    """
    values, clashes = _joined(typed, now)
    if clashes:
        raise Clashed(clashes)
    return Typed(values)


def refused(typed: Typed, error: InvalidInput, now: Values | None) -> Form:
    """The form shown again: as it was typed, its faults and clashes beside the fields."""
    if now is None or SHOWN not in typed.values:
        return Form(typed.values, error.faults)
    if not isinstance(error, Clashed):
        return Form(typed.values, error.faults, _marks(now))
    # What only they changed is shown at once, so that the next save is of what is seen.
    return Form(_joined(typed, now)[0], error.faults, _marks(now), error.clashes)


def _joined(typed: Typed, now: Values) -> tuple[Held, list[Clash]]:
    values, clashes = dict(typed.values), list[Clash]()
    if SHOWN not in typed.values:
        return values, clashes
    shown = _read(typed.text(SHOWN))
    for field in dict.fromkeys(map(_field_of, (*typed.values, *now))):
        mine, theirs = (json.dumps(_part(texts, field)) for texts in (typed.values, now))
        changed = who_changed(mine, shown.get(field, _NOTHING), theirs)
        if changed == "me" and field in typed.text(UNSETTLED).split():
            changed = _chosen(typed, field)
        if changed == "both":
            clashes.append(Clash(field, _texts(typed.values, field), _texts(now, field)))
        elif changed == "they":
            values = {name: text for name, text in values.items() if _field_of(name) != field}
            values |= _part(now, field)
    return values, clashes


def _chosen(typed: Typed, field: str) -> Changed:
    choice = typed.text(f"{SETTLE}-{field}") or typed.text(SETTLE)
    return "me" if choice == "mine" else "they" if choice == "theirs" else "both"


def _marks(values: Values) -> str:
    return json.dumps({field: mark_of(json.dumps(part)) for field, part in _held(values).items()})


def _read(text: str) -> Held:
    try:
        marks = json.loads(text or "{}")
    except ValueError:
        return {}
    return {str(name): str(each) for name, each in marks.items()} if isinstance(marks, dict) else {}


def _held(values: Values) -> dict[str, Held]:
    return {field: _part(values, field) for field in map(_field_of, values)}


def _part(values: Values, field: str) -> Held:
    """The texts that a field stands for, those that are empty left out."""
    names = sorted(name for name in values if _field_of(name) == field)
    part = {name: values[name].replace("\r\n", "\n").strip() for name in names}
    return {name: text for name, text in part.items() if text}


def _texts(values: Values, field: str) -> tuple[str, ...]:
    part = _part(values, field)
    return tuple(text for name, text in part.items() if not name.startswith("criterion-id"))


def _field_of(name: str) -> str:
    """The field beside which a name of a form is told of."""
    for pattern, field in _TOGETHER:
        if pattern.fullmatch(name):
            return field
    further = _FURTHER.fullmatch(name)
    return name if further is None else further["stem"] or further["base"]
