"""The script as it is said by heart: in its place, with words that thin out."""

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter, Request, Response

from server.domain.base.errors import NotFound
from server.domain.base.number_words import count
from server.domain.learn.learning_marks import HOWS, How
from server.domain.learn.script import LearntSentence
from server.domain.learn.thinning import (
    ALL,
    FIRST_WORDS,
    HALVES,
    LETTERS,
    NOTHING,
    STEPS,
    ThinnedWord,
    thinned,
)
from server.domain.learn.today import Standing
from server.domain.routine.routine import Routine
from server.store.routines import load_routine
from server.web.frame.dependencies import NowMs, ReadSession
from server.web.frame.editing import routine_context
from server.web.frame.filters import clock
from server.web.frame.local_zone import today
from server.web.frame.render import page
from server.web.frame.shown import RoutinePage
from server.web.frame.tape import drink_classes
from server.web.learn.gather import Learning
from server.web.learn.pages import learning_now
from server.web.learn.view import why_of

router = APIRouter(prefix="/routines/{routine_id}/learn")

MOST_WORDS = 1200
"""Words on one page: a longer segment is learnt in parts, one after the other."""

MISSED = "missed"


@dataclass(frozen=True)
class SentenceToSay:
    """A sentence in its place. One that only leads to the next has no `start`.

    `start` is the step at which it is said first, `seconds` what it takes at the presenter's pace,
    `planned_s` its share of the segment's planned time.
    """

    words: tuple[tuple[ThinnedWord, bool], ...]
    start: int | None
    seconds: float
    planned_s: float
    why: str


@dataclass(frozen=True)
class SegmentToSay:
    """A segment with the sentences of it that are said."""

    id: str
    number: int
    name: str
    kind: str
    planned: str
    sentences: tuple[SentenceToSay, ...]


@dataclass(frozen=True, kw_only=True)
class SayPage(RoutinePage, folder="say"):
    """What is said now; `whole` is the segment that is learnt from its first word, "" for the day's
    sayings, and `rest` how many sentences come after these.
    """

    headline: str
    beneath: str
    places: tuple[SegmentToSay, ...]
    whole: str
    start: int
    step_names: Sequence[str]
    hows: dict[How, str]
    rest: int
    count: int
    is_written: bool


@router.get("/say")
def say_page(
    request: Request,
    session: ReadSession,
    now_ms: NowMs,
    routine_id: str,
    segment: str = "",
    step: int = ALL,
    show: str = "",
    after: int = 0,
) -> Response:
    stored = load_routine(session, routine_id)
    context = routine_context(session, stored, "script")
    routine = stored.routine
    learning = learning_now(session, routine, context["rules"], today(now_ms))
    start = min(max(step, ALL), NOTHING)
    if segment:
        asked = _of_segment(routine, learning, segment)[max(after, 0) :]
    else:
        asked = _of_today(learning, show)
    kept = _fitting(asked)
    places = _places(routine, learning, kept, None if not segment else start)
    names = {each.id: f"{n} {each.name}" for n, each in enumerate(routine.segments, 1)}
    name = names.get(segment, "")
    return page(
        request,
        SayPage(
            **context,
            headline=name or _headline(len(kept), show),
            beneath="",
            places=places,
            whole=segment,
            start=start,
            step_names=STEPS,
            hows=HOWS,
            rest=len(asked) - len(kept),
            count=len(kept),
            is_written=bool(learning.sentences),
        ),
    )


def _headline(number: int, show: str) -> str:
    if not number:
        return "Nothing to say now"
    if show == MISSED:
        return f"{count(number, 'sentence')} left out on stage"
    return f"{count(number, 'sentence')} to say"


def _of_segment(routine: Routine, learning: Learning, segment_id: str) -> list[LearntSentence]:
    if segment_id not in {each.id for each in routine.segments}:
        raise NotFound("There is no such segment.")
    return [each for each in learning.sentences if each.segment_id == segment_id]


def _of_today(learning: Learning, show: str) -> list[LearntSentence]:
    """What the day asks for, in the order of the script, so that one leads to the next."""
    asked = {each.sentence.words for each in (*learning.session.back, *learning.session.new)}
    if show == MISSED:
        asked = {each.sentence.words for each in learning.standings if each.is_lost}
    found, seen = [], set()
    for each in learning.sentences:
        if each.words in asked and each.words not in seen:
            seen.add(each.words)
            found.append(each)
    return found


def _fitting(asked: Sequence[LearntSentence]) -> list[LearntSentence]:
    kept: list[LearntSentence] = []
    words = 0
    for each in asked:
        words += len(each.words)
        if kept and words > MOST_WORDS:
            break
        kept.append(each)
    return kept


def _places(
    routine: Routine, learning: Learning, kept: Sequence[LearntSentence], start: int | None
) -> tuple[SegmentToSay, ...]:
    known = {each.sentence.words: each for each in learning.standings}
    kinds = drink_classes(routine)
    found = []
    for number, segment in enumerate(routine.segments, 1):
        asked = {each.index for each in kept if each.segment_id == segment.id}
        if not asked:
            continue
        all_ = [each for each in learning.sentences if each.segment_id == segment.id]
        pace = segment.duration.likely_s / (sum(each.seconds for each in all_) or 1.0)
        shown = [
            (each, each.index in asked)
            for place, each in enumerate(all_)
            if each.index in asked or _leads(all_, place, asked)
        ]
        said = tuple(
            _said(each, known[each.words], is_asked, start, pace) for each, is_asked in shown
        )
        found.append(
            SegmentToSay(
                segment.id, number, segment.name, kinds[segment.id],
                clock(segment.duration.likely_s), said,
            )
        )  # fmt: skip
    return tuple(found)


def _leads(all_: Sequence[LearntSentence], place: int, asked: set[int]) -> bool:
    return place + 1 < len(all_) and all_[place + 1].index in asked


def _said(
    sentence: LearntSentence, standing: Standing, is_asked: bool, start: int | None, pace: float
) -> SentenceToSay:
    changed = standing.history.changed
    return SentenceToSay(
        words=tuple((word, at in changed) for at, word in enumerate(thinned(sentence.text))),
        start=(first_step(standing) if start is None else start) if is_asked else None,
        seconds=round(sentence.seconds, 1),
        planned_s=round(sentence.seconds * pace, 1),
        why=why_of(standing) if is_asked and not standing.is_new else "",
    )


def first_step(standing: Standing) -> int:
    """At which step a sentence is said first: the less it sat, the more of it is shown."""
    # What was left out in a recording may never have been said by heart.
    if not standing.history.said_days:
        return ALL
    if standing.is_changed:
        return HALVES
    if standing.missed is not None:
        return FIRST_WORDS
    return {"gone": LETTERS, "stumbled": FIRST_WORDS}.get(standing.history.last or "", NOTHING)
