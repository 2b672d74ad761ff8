"""Marks as they are posted: stored together with those of others, told to who follows each run."""

from collections.abc import Sequence
from dataclasses import dataclass

from sqlmodel import Session

from server.domain.runs.events import Event, is_desk
from server.store.marks_together import Sent, append_together
from server.store.runs import Appended, append_events
from server.web.frame.door import Asker
from server.web.live.bus import LiveBus
from server.web.live.followers import tell_followers
from server.web.stage.own_names import require_may_begin, require_own


@dataclass(frozen=True)
class Posted:
    """Events that came for a run, from whom, and who is told of them."""

    run_id: str
    events: tuple[Event, ...]
    now_ms: int
    asker: Asker
    bus: LiveBus

    @property
    def is_plain(self) -> bool:
        """Whether it may be stored together with others: marks of those who hold the clock."""
        return (
            self.asker.watcher is None
            and self._is_there
            and all(
                event.kind not in ("about", "retract")
                and event.from_run is None
                and not is_desk(event.device_id)
                for event in self.events
            )
        )

    @property
    def _is_there(self) -> bool:
        """Whether the door has looked whose the run is, where people are told apart."""
        return self.asker.person is None or self.asker.grants.routine_id is not None

    def append(self, session: Session) -> Appended:
        """Store it alone; raises as `require_may_begin`, `require_own`, `append_events` do."""
        require_may_begin(session, self.run_id, self.events, self.asker)
        require_own(session, self.run_id, self.events, self.asker)
        appended = append_events(session, self.run_id, self.events, self.now_ms)
        tell_followers(session, self.bus, self.run_id, appended)
        return appended


def append_posted(session: Session, asked: Sequence[object]) -> list[Appended | None]:
    """Store what was posted for many runs; None for what must be stored alone."""
    posted = [each for each in asked if isinstance(each, Posted)]
    sent = [
        Sent(each.run_id, each.events, each.now_ms, each.asker.key, each.asker.keys)
        for each in posted
    ]
    answers = append_together(session, sent)
    pairs = zip(posted, answers, strict=True)
    arrived = {each.run_id: answer.arrived for each, answer in pairs if answer is not None}
    if arrived:
        posted[0].bus.tell(session, arrived)
    return answers
