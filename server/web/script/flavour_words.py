"""The words of flavour, aroma and texture: those that are known, and those a routine adds."""

from dataclasses import dataclass, field

from fastapi import APIRouter, Request, Response
from sqlmodel import Session

from server.domain.base.languages import support_note, supported
from server.domain.claims.claim_edits import add_own_word, remove_own_word
from server.domain.claims.lexicon import taxonomy_for
from server.domain.claims.taxonomy import Taxonomy, Word
from server.domain.routine.own_words import OwnWord
from server.domain.routine.routine import Routine
from server.store.routines import StoredRoutine, load_routine
from server.web.frame.dependencies import ReadSession
from server.web.frame.editing import Edit, routine_context
from server.web.frame.forms import Form, Typed
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage

router = APIRouter(prefix="/routines/{routine_id}")


@dataclass(frozen=True)
class Branch:
    """A word with the more particular ones beneath it."""

    word: Word
    below: list["Branch"] = field(default_factory=list)

    @property
    def size(self) -> int:
        """How many words that can be said stand here and below."""
        return (not self.word.is_silent) + sum(branch.size for branch in self.below)


@dataclass(frozen=True, kw_only=True)
class WordsPage(RoutinePage, folder="words"):
    """The words that are known; `looked_up` is the way to the phrase that was asked for."""

    form: Form
    note: str
    families: list[Branch]
    names: list[str]
    find: str
    looked_up: tuple[str, ...] | None


@router.get("/words")
def words_page(request: Request, session: ReadSession, routine_id: str, find: str = "") -> Response:
    stored = load_routine(session, routine_id)
    return page(request, words_context(session, stored, Form(), find))


@router.post("/words/new")
def post_word(edit: Edit) -> Response:
    def change(routine: Routine) -> Routine:
        return add_own_word(routine, own_word_from(edit.typed, routine))

    return edit.save(change, f"added the word “{edit.typed.text('word')}”", "words", words_context)


@router.post("/words/delete")
def post_word_delete(edit: Edit) -> Response:
    word = edit.typed.text("gone")
    return edit.save(
        lambda routine: remove_own_word(routine, word),
        f"deleted the word “{word}”", "words", words_context,
    )  # fmt: skip


def own_word_from(typed: Typed, routine: Routine) -> OwnWord:
    """The word that a form describes; raises InvalidInput with every fault."""
    taxonomy = _taxonomy(routine)
    for name in ("kind_of", "opposite_of"):
        if typed.text(name) and taxonomy.resolve(typed.text(name)) is None:
            typed.fault(name, f"“{typed.text(name)[:60]}” is none of the words below.")
    return typed.built(
        lambda: OwnWord(
            word=typed.text("word"),
            kind_of=typed.choice("kind_of"),
            synonyms=typed.words("synonyms"),
            opposite_of=typed.choice("opposite_of"),
        )
    )


def words_context(session: Session, stored: StoredRoutine, form: Form, find: str = "") -> WordsPage:
    """What the words page shows; `find` is a phrase to be looked up."""
    taxonomy = _taxonomy(stored.routine)
    return WordsPage(
        **routine_context(session, stored, "words"),
        form=form,
        note=support_note(stored.routine.language),
        families=branches(taxonomy),
        names=sorted(taxonomy.words),
        find=find,
        looked_up=_path(taxonomy, find) if find.strip() else None,
    )


def branches(taxonomy: Taxonomy) -> list[Branch]:
    """The families, each with all that stands beneath it."""
    known = {name: Branch(word) for name, word in taxonomy.words.items()}
    top: list[Branch] = []
    for branch in known.values():
        above = known.get(branch.word.parent or "")
        (top if above is None else above.below).append(branch)
    return top


def _taxonomy(routine: Routine) -> Taxonomy:
    return taxonomy_for(supported(routine.language).code, routine.own_words)


def _path(taxonomy: Taxonomy, phrase: str) -> tuple[str, ...]:
    """The words from the family down to a phrase; empty where nothing of it is known."""
    above = tuple(reversed(taxonomy.ancestors(phrase)))
    known = taxonomy.resolve(phrase) or (taxonomy.known_in(phrase) or (None,))[0]
    return (*above, known) if known and known not in above else above
