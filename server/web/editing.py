"""Edits of a routine from its pages: save and go back, or show the form again with its faults."""

from collections.abc import Callable, Iterable
from typing import Annotated, Any, Protocol

from fastapi import Depends, Request, Response
from sqlmodel import Session

from server.domain.edits import part_of
from server.domain.errors import InvalidInput
from server.domain.routine import Routine
from server.store.ids import new_id
from server.store.routines import StoredRoutine, edit_routine, load_routine
from server.store.rule_sheets import load_rule_sheet
from server.web.dependencies import HeldDatabase, NowMs, ReadSession, TypedForm
from server.web.forms import Form
from server.web.render import page, see

NEW = "new"
"""Stands in an address for the id of a part that is still to be made."""

Context = dict[str, Any]
ContextOf = Callable[[Session, StoredRoutine, Form], Context]


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

    def save(
        self,
        change: Callable[[Routine], Routine],
        label: str,
        place: str,
        context: ContextOf,
        then: str = "",
        refused_at: str = "",
    ) -> Response:
        """Save `change` under `label` and show the page `place`, the form `then` ready on it.

        Where the routine refuses it, the page is shown at once with what was typed; `context`
        builds it around the form. `refused_at` is that page, where it is another than `place`.
        """
        try:
            with self.held.writing() as session:
                edit_routine(session, self._routine_id, change, label, self.now_ms)
        except InvalidInput as error:
            self.session.rollback()  # Others may have changed it since it was first read.
            stored = load_routine(self.session, self._routine_id)
            form = Form(self.typed.values, error.faults)
            return page(self.request, refused_at or place, context(self.session, stored, form), 422)
        query = f"?edit={then}" if then else ""
        return see(f"/routines/{self._routine_id}/{place}{query}")


Edit = Annotated[Editor, Depends()]


def id_or_new(parts: Iterable[_Part], part_id: str) -> str:
    """The id of a part that must be there, or a fresh one for a part still to be made."""
    return new_id() if part_id == NEW else part_of(parts, part_id).id


def label_of_save(part_id: str, name: str) -> str:
    """What a save of a part is called in the history."""
    return f"{'added' if part_id == NEW else 'changed'} “{name}”"


def routine_context(session: Session, stored: StoredRoutine, place: str) -> Context:
    """What the head of every page of a routine shows; `place` is the page one is on."""
    return {
        "stored": stored,
        "routine": stored.routine,
        "rules": load_rule_sheet(session, stored.routine.rule_sheet_id),
        "place": place,
    }
