"""What forms change: saved and gone on from, or the form shown again with its faults.

A routine is saved with `Edit.save`, by the name of the form with `Edit.save_form`; all else with
`Sent.save` and `Sent.merged`. A form starts with `opened(values)`, saves with `against=`, and has
`{{ f.marks(form) }}` before its buttons: so `guard` keeps it from overwriting what was changed
elsewhere.
"""

from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import replace
from functools import partial
from typing import Annotated, Any, Protocol
from urllib.parse import quote, urlencode

from fastapi import Depends, Request, Response
from sqlmodel import Session

from server.domain.base.errors import InvalidInput, NotFound
from server.domain.routine.edits import part_of
from server.domain.routine.routine import Routine
from server.domain.routine.touched import touched
from server.store.ids import new_id
from server.store.routines import StoredRoutine, edit_routine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.frame.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm, made_of
from server.web.frame.forms import Form, Typed
from server.web.frame.guard import SHOWN, Values, merged, opened, refused
from server.web.frame.render import page, see
from server.web.frame.shown import Page, RoutinePage
from server.web.frame.strip import strip_of

NEW = "new"
"""Stands in an address for the id of a part that is still to be made."""

TODAY = "today"
"""The first page of a routine, whose address is the routine's own."""

_SHOWN_ON = defaultdict[str, tuple[str, ...]](
    tuple, plan=("segment", "process"), drinks=("drink", "ingredient", "step")
)
"""Page -> the kinds of parts that stand on it, each under its name."""

Context = dict[str, Any]
ContextOf = Callable[[Session, StoredRoutine, Form], RoutinePage]


class _Part(Protocol):
    @property
    def id(self) -> str: ...


class Editor:
    """One edit of one routine, as it was posted; `session` reads what stands before and after."""

    def __init__(
        self,
        request: Request,
        held: HeldDatabase,
        session: ReadSession,
        now_ms: NowMs,
        typed: TypedForm,
        routine_id: str,
    ) -> None:
        self.request = request
        self.held = held
        self.session = session
        self.typed = typed
        self._routine_id = routine_id
        self.now_ms = now_ms

    @property
    def routine(self) -> Routine:
        """The routine as it is stored."""
        return load_routine(self.session, self._routine_id).routine

    def label_of(self, part_id: str) -> str:
        """What the save of a part is called in the history, by the name in its form."""
        return f"{'added' if part_id == NEW else 'changed'} “{self.typed.text('name')}”"

    def save(
        self,
        change: Callable[[Routine], Routine],
        label: str,
        place: str,
        context: ContextOf,
        then: str = "",
        against: Callable[[Routine], Values] | None = None,
        *,
        stays: bool = False,
    ) -> Response:
        """Save `change` under `label` and show the page `place`, the form `then` ready on it.

        Where the routine refuses it, the page that `context` builds around the form is shown at
        once with what was typed. `against` gives the texts with which the form starts: what was
        changed elsewhere since it was opened is then never overwritten unseen (see `guard`). What
        was saved comes into view, unless the page `stays` where it was.
        """

        before: list[Routine] = []

        def guarded(routine: Routine) -> Routine:
            before[:] = [routine]
            if against is not None:
                self.typed = merged(self.typed, against(routine))
            return change(routine)

        try:
            with self.held.writing() as session:
                after = edit_routine(session, self._routine_id, guarded, label, self.now_ms)
        except InvalidInput as error:
            self.session.rollback()  # Others may have changed it since it was first read.
            stored = load_routine(self.session, self._routine_id)
            form = refused(self.typed, error, against and against(stored.routine))
            return page(self.request, context(self.session, stored, form), 422)
        except NotFound:
            if against is None or SHOWN not in self.typed.values:
                raise
            stored = load_routine(self.session, self._routine_id)
            shown = replace(context(self.session, stored, Form()), lost=_written(self.typed))
            return page(self.request, shown, 409)
        return see(place_after(before[0], after, place, then, stays=stays))

    def save_form(
        self,
        change: Callable[[Routine], Routine],
        label: str,
        place: str,
        shown_with: Callable[..., RoutinePage],
        values: Callable[..., Values],
        form: str = "",
        then: str = "",
    ) -> Response:
        """Save what the form of that name says, and show the page `place`, the form `then` ready.

        `shown_with` builds the page around the open form, which it takes as `edit`; `values` gives
        the texts with which that form starts. Without a form nothing is open on the page.
        """
        against = partial(values, edit=form) if form and not is_new(form) else None
        return self.save(change, label, place, partial(shown_with, edit=form), then, against)


def place_after(
    before: Routine, after: Routine, place: str, then: str = "", *, stays: bool = False
) -> str:
    """The address of a page after an edit: what was touched is named, for the page to mark it.

    The page also brings it into view, unless it `stays` where it was. That is a fragment for
    browsers alone, and a query because a script is not told of fragments.
    """
    found = [name for name in touched(before, after) if name.split("-")[0] in _SHOWN_ON[place]]
    asked = {"edit": then, "touched" if stays else "saved": found[0] if found else ""}
    query = urlencode({name: text for name, text in asked.items() if text})
    fragment = f"#{quote(found[0])}" if found and not then and not stays else ""
    path = "" if place == TODAY else f"/{place}"
    return f"/routines/{after.id}{path}{'?' if query else ''}{query}{fragment}"


Edit = Annotated[Editor, Depends(made_of(Editor))]


class SentForm:
    """One form as it was posted, of what no history of a routine keeps."""

    def __init__(self, request: Request, held: HeldDatabase, typed: TypedForm) -> None:
        self.request = request
        self.held = held
        self.typed = typed
        self._now: Values | None = None

    def merged(self, now: Values) -> Typed:
        """What was typed, joined with what was changed elsewhere (see `guard`); `now` is what is
        stored. Raises Clashed."""
        self._now = now
        self.typed = merged(self.typed, now)
        return self.typed

    def save(
        self, change: Callable[[Session], str], again: Callable[[Session, Form], Page]
    ) -> Response:
        """Write what `change` says and go on to the address that it gives.

        Where it refuses what was typed, the page is shown at once with it; `again` builds that page
        around the form. What is noted of the typed as wrong already is refused before the writer
        is held.
        """
        try:
            self.typed.check()
            with self.held.writing() as session:
                address = change(session)
        except InvalidInput as error:
            form = refused(self.typed, error, self._now)
            with self.held.reading() as session:
                shown = again(session, form)
            return page(self.request, shown, 422)
        return see(address)


Sent = Annotated[SentForm, Depends(made_of(SentForm))]


def id_or_new(parts: Iterable[_Part], part_id: str) -> str:
    """The id of a part that must be there, or a fresh one for a part still to be made."""
    return new_id() if part_id == NEW else part_of(parts, part_id).id


def is_new(edit: str) -> bool:
    """Whether the open form is for a part still to be made."""
    return not edit or NEW in edit.split("-")[1:2]


def start_of_form(edit: str, values: Values) -> Form:
    """The open form as it starts, guarded where it changes something that is stored."""
    return Form(values) if is_new(edit) or not values else opened(values)


def _written(typed: Typed) -> tuple[str, ...]:
    """What stands in a form, the longest texts first: they are the dearest to lose."""
    texts = {text for name, text in typed.values.items() if text.strip() and name != SHOWN}
    return tuple(sorted(texts, key=len, reverse=True))


def routine_context(session: Session, stored: StoredRoutine, place: str) -> Context:
    """What the head of every page of a routine shows; `place` is the page one is on."""
    rules = load_rule_sheet(session, stored.routine.rule_sheet_id)
    return {
        "stored": stored,
        "routine": stored.routine,
        "rules": rules,
        "strip": strip_of(stored.routine, rules),
        "place": place,
        "lost": (),
    }
