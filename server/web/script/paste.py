"""Paste the whole talk: cut into segments, corrected by touch, and only then added."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import partial

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.durations import write_duration
from server.domain.base.errors import InvalidInput
from server.domain.base.numbers import read_whole
from server.domain.base.tokens import sentences_of
from server.domain.belief.words_pace import learn_paces
from server.domain.claims.pace import WordPace
from server.domain.routine.routine import MOST_SEGMENTS, Routine
from server.domain.whole.pasted import (
    PastedSegment,
    drink_named,
    merged,
    planned_s,
    proposed,
    split,
    spoken_s,
    with_parts,
)
from server.store.ids import new_id
from server.store.paces import spoken_in_runs
from server.store.routines import StoredRoutine, load_routine
from server.web.frame.dependencies import ReadSession, TypedForm
from server.web.frame.editing import Edit, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage

router = APIRouter(prefix="/routines/{routine_id}/script/paste")

AS_BEFORE = "same"
"""Stands for the drink of the segment before, which is what a new one starts with."""


@dataclass(frozen=True)
class PartView:
    """A proposed segment as it is shown: its sentences, before each of which it can be cut.

    Its words take `spoken_s`, which it is planned to last where nothing else is typed.
    """

    name: str
    said: str
    hands: str
    drink: str
    spoken_s: float
    sentences: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class PastePage(RoutinePage, folder="paste"):
    """The form for the text; once that is cut, the segments proposed."""

    parts: tuple[PartView, ...]
    total_s: float
    drink_names: Mapping[str, str]
    form: Form


@router.get("")
def paste_page(request: Request, session: ReadSession, routine_id: str) -> Response:
    return page(request, _paste_page(session, load_routine(session, routine_id), Form()))


@router.post("")
def post_paste(
    request: Request, session: ReadSession, typed: TypedForm, routine_id: str
) -> Response:
    """Cut a text, or correct how it is cut; nothing is saved."""
    stored = load_routine(session, routine_id)
    try:
        parts = _corrected(typed, stored.routine)
    except InvalidInput as error:
        form = Form(typed.values, error.faults)
        return page(request, _paste_page(session, stored, form), 422)
    return page(request, _paste_page(session, stored, Form(_fields(parts))))


@router.post("/save")
def post_pasted(edit: Edit, routine_id: str) -> Response:
    """Add the segments as they were corrected, all in one edit."""
    paces = learn_paces(spoken_in_runs(edit.session, edit.routine))

    def change(routine: Routine) -> Routine:
        parts = [part for part, _ in _parts_in(edit.typed, routine)]
        edit.typed.check()
        if not parts:
            raise InvalidInput.of("form", "There is nothing to add: paste the talk first.")
        return with_parts(routine, parts, paces.common, new_id)

    count = len(_numbers(edit.typed))
    label = f"pasted {count} segments" if count != 1 else "pasted a segment"
    return edit.save(change, label, "script", _paste_page)


def _corrected(typed: Typed, routine: Routine) -> list[tuple[PastedSegment, str]]:
    """The parts after the touch that was posted, each with what its drink is chosen by.

    Raises InvalidInput where a time cannot be read: drawn anew, its field would be empty.
    """
    what, _, rest = typed.text("do").partition("-")
    if what not in ("show", "merge", "split"):
        room = MOST_SEGMENTS - len(routine.segments)
        parts = proposed(typed.values.get("text", ""), routine.language)
        if len(parts) > room:
            told = f"This would be {len(parts)} segments; a routine has room for {room} more."
            raise InvalidInput.of("text", f"{told} Leave blank lines only between segments.")
        named = partial(drink_named, drinks=routine.drinks, language=routine.language)
        return [(part, named(part) or AS_BEFORE) for part in parts]
    chosen = _parts_in(typed, routine)
    typed.check()
    if what == "show":
        return chosen
    parts, drinks = tuple(part for part, _ in chosen), [drink for _, drink in chosen]
    index, _, sentence = rest.partition("-")
    at = _whole(index)
    if what == "merge":
        return list(zip(merged(parts, at), [*drinks[:at], *drinks[at + 1 :]], strict=True))
    cut = split(parts, at, _whole(sentence), routine.language)
    return list(zip(cut, [*drinks[: at + 1], AS_BEFORE, *drinks[at + 1 :]], strict=True))


def _whole(text: str) -> int:
    number = read_whole(text)
    return -1 if number is None else number


def _numbers(typed: Typed) -> list[int]:
    found = (read_whole(key.removeprefix("said-")) for key in typed.values if key[:5] == "said-")
    return sorted(number for number in found if number is not None)


def _parts_in(typed: Typed, routine: Routine) -> list[tuple[PastedSegment, str]]:
    """The parts that the form holds, in their order, and what the drink of each is chosen by."""
    known = {drink.id for drink in routine.drinks}
    found: list[tuple[PastedSegment, str]] = []
    drink_id: str | None = None
    for number in _numbers(typed):
        chosen = typed.text(f"drink-{number}") or AS_BEFORE
        if chosen != AS_BEFORE:
            drink_id = chosen if chosen in known else None
        part = PastedSegment(
            typed.text(f"name-{number}"),
            typed.values[f"said-{number}"],
            drink_id,
            typed.text(f"hands-{number}"),
            typed.optional_duration(f"lasts-{number}"),
        )
        found.append((part, chosen))
    return found


def _fields(parts: Sequence[tuple[PastedSegment, str]]) -> dict[str, str]:
    fields: dict[str, str] = {}
    for number, (part, drink) in enumerate(parts):
        fields |= {f"name-{number}": part.name, f"said-{number}": part.said}
        lasts = "" if part.lasts_s is None else write_duration(part.lasts_s)
        fields |= {f"hands-{number}": part.hands, f"lasts-{number}": lasts}
        fields[f"drink-{number}"] = drink
    return fields


def _paste_page(session: Session, stored: StoredRoutine, form: Form) -> PastePage:
    pace = learn_paces(spoken_in_runs(session, stored.routine)).common
    chosen = _parts_in(Typed(form.values), stored.routine)
    language = stored.routine.language
    parts = tuple(_view(part, drink, pace, language) for part, drink in chosen)
    return PastePage(
        **routine_context(session, stored, "script"),
        parts=parts,
        total_s=sum(planned_s(part, pace, language) for part, _ in chosen),
        drink_names={drink.id: drink.name for drink in stored.routine.drinks},
        form=form,
    )


def _view(part: PastedSegment, drink: str, pace: WordPace, language: str) -> PartView:
    sentences = sentences_of(part.said, language)
    return PartView(
        name=part.name,
        said=part.said,
        hands=part.hands,
        drink=drink,
        spoken_s=spoken_s(part, pace, language),
        sentences=tuple(part.said[each.start : each.end] for each in sentences),
    )
