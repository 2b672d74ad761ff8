"""What was heard of the claims when somebody last listened to a run."""

from dataclasses import dataclass

from sqlmodel import Session

from server.domain.routine.routine import Routine
from server.store.runs import list_runs


@dataclass(frozen=True)
class OnStage:
    """The latest run in which claims were ticked; its words by verdict: heard, missed, wrong."""

    run_id: str
    created_ms: int
    heard: tuple[str, ...]
    missed: tuple[str, ...]
    wrong: tuple[str, ...]

    @property
    def gist(self) -> str:
        """What came of them in a few words."""
        told = [f"{len(self.heard)} heard"]
        if self.missed:
            told.append(f"{len(self.missed)} missed")
        told += [f"{word} said wrong" for word in self.wrong]
        return ", ".join(told)


def last_on_stage(session: Session, routine: Routine) -> OnStage | None:
    """What was heard in the latest run that counts and that somebody listened to."""
    lines = [line for line in list_runs(session, routine.id) if line.counts and line.summary.claims]
    if not lines:
        return None
    last = max(lines, key=lambda line: line.created_ms)
    words: dict[str, list[str]] = {"heard": [], "missed": [], "wrong": []}
    for key, verdict in last.summary.claims.items():
        # The words stand at the end of a key: "drink-1:descriptor:ripe pear".
        words.setdefault(verdict, []).append(key.split(":", 2)[-1])
    return OnStage(
        last.id,
        last.created_ms,
        *(tuple(words[each]) for each in ("heard", "missed", "wrong")),
    )
