"""The followers of each run where several processes serve one database.

Each process holds its own followers and hears from the others what came new. Of marks only the
number goes round: each process reads them from the log, so that none is lost, doubled or out of
order. Who follows elsewhere is known from what is said there: a process that was killed says
nothing more, and its followers are forgotten as any that are silent.
"""

import asyncio
import logging
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass

from sqlmodel import Session

from server.domain.runs.joining import MOST_WATCHING
from server.store.between.notices import Ear, Notice, Notices
from server.store.database import Database
from server.store.run_logs import Arrival, arrivals_after
from server.web.live.bus import HEARD_WITHIN_S, MOST_OF_ONE_PASS, Follower, LiveBus, key_of
from server.web.live.frames import StreamFrame, mark_frame

MARKS, PULSE, END, END_PASS = "marks", "pulse", "end", "end pass"
END_PASSES = "end passes"
HERE, STILL, GONE, HEARD, WHO = "here", "still here", "gone", "heard", "who is here"

FORGOTTEN_AFTER_S = 5 * HEARD_WITHIN_S

_log = logging.getLogger(__name__)


@dataclass
class _Place:
    """A connection by which a run is followed, in this process or another."""

    sender: str
    device: str
    name: str
    heard_s: float


class SharedBus(LiveBus):
    """The followers of this process, joined with those of all others."""

    def __init__(
        self,
        loop: asyncio.AbstractEventLoop,
        notices: Notices,
        database: Database,
        most: int = MOST_WATCHING,
        now_s: Callable[[], float] = time.monotonic,
    ) -> None:
        super().__init__(loop, most, now_s)
        self._notices = notices
        self._database = database
        # Run -> connection -> who, in the order in which all processes heard of them.
        self._places: dict[str, dict[str, _Place]] = {}
        self._links: dict[Follower, str] = {}
        self._made = 0
        # Run -> the rev up to which its followers here were told.
        self._told: dict[str, int] = {}
        notices.hear(MARKS, self._read_marks)
        in_loop = {
            PULSE: self._pulse, END: self._end_run, END_PASS: self._end_one_pass, HERE: self._here,
            END_PASSES: lambda notice: self._end_everywhere(notice.about),
            STILL: self._still, GONE: self._gone, HEARD: self._heard, WHO: self._say_who,
        }  # fmt: skip
        for kind, take in in_loop.items():
            notices.hear(kind, self._into_loop(take))
        notices.after_gap(lambda: self._call(self._begin_anew))

    def names(self, run_id: str) -> list[str]:
        """Who follows a run just now, through whichever process."""
        here = {each.device for each in self._of(run_id)}
        elsewhere = {
            each.device: each.name
            for _, each in self._of_run(run_id)
            if each.sender != self._notices.own
            and each.device not in here
            and not self._is_old(each, HEARD_WITHIN_S)
        }
        return [*super().names(run_id), *elsewhere.values()]

    def heard(self, run_id: str, device: str) -> None:
        """A device that follows a run, perhaps elsewhere, said that it is there."""
        self._note_heard(run_id, device)
        self._notices.say(HEARD, run_id, device=device)

    def tell(self, session: Session, arrived: Mapping[str, Sequence[Arrival]]) -> None:
        """Have every process look into the logs of some runs, once what came new is durable."""
        revs = {run_id: [each.rev for each in some] for run_id, some in arrived.items()}
        told = {run_id: {"first": min(some), "last": max(some)} for run_id, some in revs.items()}
        self._notices.tell_of_many(session, MARKS, told)

    def pulse(self, run_id: str, frame: StreamFrame) -> None:
        """Hand on what is true just now, to the followers of all processes."""
        self.publish(run_id, [frame])
        self._notices.say(PULSE, run_id, data=frame.data.decode())

    def end_with(self, session: Session, run_id: str) -> None:
        """Have every process let go of all who follow a run."""
        self._notices.tell(session, END, run_id)

    def end_pass_with(self, session: Session, run_id: str, key: str) -> None:
        """Have every process let go of all that follow a run on one pass."""
        self._notices.tell(session, END_PASS, run_id, key=key)

    def end_passes_with(self, session: Session, key: str) -> None:
        """Have every process let go of all that follow any run on passes of one key."""
        self._notices.tell(session, END_PASSES, key)

    @contextmanager
    def following(self, run_id: str, name: str, device: str) -> Iterator[Follower]:
        """Follow a run inside the block, and let the others know. Raises TooMany."""
        # It may come from a process that was killed: it has its place already.
        for link, each in self._of_run(run_id):
            if each.device == device and each.sender != self._notices.own:
                del self._places[run_id][link]
        with super().following(run_id, name, device) as follower:
            self._made += 1
            link = self._links[follower] = f"{self._notices.own}-{self._made}"
            self._notices.say(HERE, run_id, link=link, device=device, name=name)
            try:
                yield follower
            finally:
                self._links.pop(follower, None)
                self._notices.say(GONE, run_id, link=link)

    def _into_loop(self, take: Callable[[Notice], None]) -> Ear:
        def take_all(notices: Sequence[Notice]) -> None:
            for each in notices:
                take(each)

        return lambda notices: self._call(take_all, notices)

    def _call(self, what: Callable[..., None], *given: object) -> None:
        if not self._closed:
            self.waking.call(what, *given)

    def _read_marks(self, notices: Sequence[Notice]) -> None:
        """On the thread of the notices, so that runs are read in the order they were told of."""
        first: dict[str, int] = {}
        last: dict[str, int] = {}
        for each in notices:
            first.setdefault(each.about, each.more["first"])
            last[each.about] = each.more["last"]
        due: dict[str, int] = {}
        for run_id, rev in first.items():
            if not self._of(run_id):
                self._told.pop(run_id, None)
                continue
            told = self._told.get(run_id, rev - 1)
            if told < last[run_id]:
                due[run_id] = told
        if due:
            self._read_on(due)

    def _read_on(self, due: Mapping[str, int]) -> None:
        """Tell the followers of some runs what came after the rev up to which they were told."""
        left = dict(due)
        try:
            with self._database.reading() as session:
                for run_id, told in due.items():
                    arrived = arrivals_after(session, run_id, told)
                    del left[run_id]
                    if arrived:
                        self._told[run_id] = arrived[-1].rev
                        self.publish(run_id, [mark_frame(each) for each in arrived])
        except Exception:
            # They resume from the log when it can be read again.
            _log.exception("The followers of a run could not be told.")
            for run_id in left:
                self.end(run_id)

    def _begin_anew(self) -> None:
        """Something may have been missed: who follows here resumes, from the log."""
        for run_id in list(self._followers):
            self._end(run_id)
        self._places.clear()
        self._notices.say(WHO)

    def _pulse(self, notice: Notice) -> None:
        if notice.sender != self._notices.own:
            self._deliver(notice.about, [StreamFrame(notice.more["data"].encode())])

    def _end_run(self, notice: Notice) -> None:
        self._end(notice.about)

    def _end_one_pass(self, notice: Notice) -> None:
        self._end_of(notice.about, notice.more["key"])

    def _here(self, notice: Notice) -> None:
        """All processes hear of all connections in one order, so all agree on who makes room."""
        self._forget_old()
        run_id, device = notice.about, notice.more["device"]
        self._make_room(
            run_id, [key for key, each in self._of_run(run_id) if each.device == device]
        )
        self._still(notice)
        of_pass = [
            key for key, each in self._of_run(run_id) if key_of(each.device) == key_of(device)
        ]
        self._make_room(run_id, of_pass[:-MOST_OF_ONE_PASS])
        # Two processes may have let one in at the same instant: who was told of last goes, and
        # the process that holds it says so to the others.
        if notice.sender == self._notices.own and self._are_too_many(run_id):
            self._make_room(run_id, [notice.more["link"]])

    def _still(self, notice: Notice) -> None:
        more = notice.more
        heard_s = self._now_s() - more.get("silent_s", 0.0)
        place = _Place(notice.sender, more["device"], more["name"], heard_s)
        self._places.setdefault(notice.about, {}).setdefault(more["link"], place)

    def _gone(self, notice: Notice) -> None:
        self._places.get(notice.about, {}).pop(notice.more["link"], None)

    def _heard(self, notice: Notice) -> None:
        if notice.sender != self._notices.own:
            self._note_heard(notice.about, notice.more["device"])

    def _note_heard(self, run_id: str, device: str) -> None:
        super().heard(run_id, device)
        for _, each in self._of_run(run_id):
            if each.device == device:
                each.heard_s = self._now_s()

    def _say_who(self, notice: Notice) -> None:
        if notice.sender == self._notices.own:
            return
        for run_id, followers in self._followers.items():
            for each in followers:
                if each in self._links:
                    self._notices.say(
                        STILL, run_id, link=self._links[each], device=each.device, name=each.name,
                        silent_s=self._now_s() - each.heard_s,
                    )  # fmt: skip

    def _make_room(self, run_id: str, links: Sequence[str]) -> None:
        for link in links:
            self._places[run_id].pop(link, None)
            for follower in self._of(run_id):
                if self._links.get(follower) == link:
                    self._let_go(run_id, follower)

    def _are_too_many(self, run_id: str) -> bool:
        heard = (each for _, each in self._of_run(run_id) if not self._is_old(each, HEARD_WITHIN_S))
        return len(list(heard)) > self._most

    def _of_run(self, run_id: str) -> list[tuple[str, _Place]]:
        return list(self._places.get(run_id, {}).items())

    def _is_old(self, place: _Place, after_s: float) -> bool:
        return self._now_s() - place.heard_s > after_s

    def _forget_old(self) -> None:
        for run_id in list(self._places):
            for link, each in self._of_run(run_id):
                if each.sender != self._notices.own and self._is_old(each, FORGOTTEN_AFTER_S):
                    del self._places[run_id][link]
            if not self._places[run_id]:
                del self._places[run_id]


def bus_of(loop: asyncio.AbstractEventLoop, notices: Notices, database: Database) -> LiveBus:
    """The followers of the runs of a database, joined where others may serve it too."""
    return SharedBus(loop, notices, database) if notices.is_shared else LiveBus(loop)
