"""What is known of how a script sits: gathered for the pages of learning and for Today."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlmodel import Session

from server.domain.claims.due import DueClaim, due_claims
from server.domain.claims.pace import Paces
from server.domain.learn.aim import LearningAim
from server.domain.learn.learning_marks import LearningMark
from server.domain.learn.own_memory import OwnMemory, learnt_from, own_memory
from server.domain.learn.said_before import courses_of, histories
from server.domain.learn.script import LearntSentence, sentences_to_learn
from server.domain.learn.today import (
    Missed,
    Sayings,
    Standing,
    session_on,
    spent_on,
    standings,
)
from server.domain.routine.routine import Routine
from server.domain.runs.summary import RunLine
from server.store.learning import aim_of, marks_of
from server.web.drinks.checked import Checked
from server.web.frame.local_zone import LOCAL


@dataclass(frozen=True)
class Learning:
    """How a script sits on a day; `stage` is the day it is learnt for, where there is one."""

    day: date
    sentences: tuple[LearntSentence, ...]
    standings: tuple[Standing, ...]
    marks: tuple[LearningMark, ...]
    due: tuple[DueClaim, ...]
    aim: LearningAim
    stage: date | None
    is_wanted: bool
    """Whether a day is set or anything was said by heart: then Today speaks of it."""
    session: Sayings
    own: OwnMemory

    @property
    def sitting(self) -> int:
        """How many sentences sit."""
        return sum(each.sits(self.day) for each in self.standings)


def learning_of(
    session: Session,
    routine: Routine,
    found: Checked,
    paces: Paces,
    runs: Sequence[RunLine],
    day: date,
) -> Learning:
    """How the script of a routine sits on that day."""
    due = due_claims(routine, found.ledger)
    marks = marks_of(session, routine.id)
    aim = aim_of(session, routine.id)
    given = aim or LearningAim()
    stage = given.stage_day(_stage_day(routine))
    sentences = sentences_to_learn(routine, paces, due)
    own = own_memory(courses_of(marks[: learnt_from(len(marks))], LOCAL))
    past = histories((each.text for each in sentences), marks, LOCAL, own.learner)
    all_ = standings(sentences, past, missed_in(runs, due), own.learner)
    return Learning(
        day=day,
        sentences=sentences,
        standings=all_,
        marks=marks,
        due=due,
        aim=given,
        stage=stage,
        is_wanted=any(each.run_id is None for each in marks)
        or stage is not None
        or aim is not None,
        session=session_on(day, all_, given.minutes, stage, spent_on(day, all_)),
        own=own,
    )


def missed_in(runs: Iterable[RunLine], due: Iterable[DueClaim]) -> dict[str, Missed]:
    """Key -> what was left out or said wrong when it was last listened for.

    Of a run of a part only what was ticked in it counts, like of any other.
    """
    listened = sorted(
        (line for line in runs if line.summary.claims and not line.excluded),
        key=lambda line: line.started_ms or line.created_ms,
    )
    labels = {each.key: each.label for each in due}
    found = {}
    for key, label in labels.items():
        told = [(line, line.summary.claims[key]) for line in listened if key in line.summary.claims]
        if told and told[-1][1] != "heard":
            last = told[-1][0]
            heard = sum(verdict == "heard" for _, verdict in told)
            found[key] = Missed(label, heard, len(told), last.started_ms or last.created_ms)
    return found


def _stage_day(routine: Routine) -> date | None:
    stage_ms = routine.preparation.journey.stage_ms
    return None if stage_ms is None else datetime.fromtimestamp(stage_ms / 1000, LOCAL).date()
