"""Has takes listened to, one after the other, and keeps the words that were heard.

What is to be done stands in the database, so that a restart loses nothing, and of several processes
that serve one each takes another take. The listening itself is done by another process, which ends
with this one.
"""

import json
import logging
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import ExitStack, contextmanager, suppress
from dataclasses import dataclass
from pathlib import Path

from server.domain.base.errors import DomainError
from server.domain.base.languages import supported
from server.domain.heard.probe import Probe, SecondThought
from server.domain.heard.words import transcript_document, transcript_from
from server.hearing.again import can_listen_again
from server.hearing.asking import asked_of
from server.hearing.lines import probes_line, read
from server.hearing.whisper import trouble_with
from server.settings import Settings
from server.store.between.notices import Notice, Notices, OwnNotices
from server.store.database import Database
from server.store.heard import jobs
from server.store.heard.takes import load_take, words_of
from server.store.plans import load_plan
from server.store.uploads.media_place import place_at

COMMAND = (sys.executable, "-m", "server.hearing")
AGAIN_COMMAND = (sys.executable, "-m", "server.hearing.again")
ROOT = Path(__file__).parents[2]
LEAST_STEP = 4
"""Per cent: how much further it must have come to be noted again, for each note is a write."""

LONGEST_END_S = 5.0
"""How long an end waits for what it interrupted: the database is closed after that."""

RECOGNISED = "the recogniser"

LISTEN, LEAVE = "listen", "leave a take"

_log = logging.getLogger(__name__)


@dataclass(frozen=True)
class _Task:
    """What another process is to do: its command, what it is told, and the probes laid by it."""

    command: tuple[str, ...]
    told: str = ""
    probes: tuple[Probe, ...] | None = None


class Hearing:
    """The one who has takes listened to; `trouble` says why that cannot be, "" where it can."""

    def __init__(
        self,
        settings: Settings,
        database: Database,
        command: Sequence[str] = COMMAND,
        trouble: Callable[[str], str] = trouble_with,
        notices: Notices | None = None,
        again: Sequence[str] = AGAIN_COMMAND,
        has_again: Callable[[], bool] = can_listen_again,
    ) -> None:
        self._settings = settings
        self._database = database
        self._command = tuple(command)
        self._trouble = trouble
        self._again = tuple(again)
        self._has_again = has_again
        self._folder = place_at(settings.files, settings.recordings_folder)
        self._wanted = threading.Event()
        self._ended = threading.Event()
        self._lock = threading.Lock()
        self._thread = threading.Thread(target=self._work, name="hearing", daemon=True)
        self._process: subprocess.Popen[str] | None = None
        self._take_id = ""
        self._notices = notices or OwnNotices()
        self._notices.hear(LISTEN, lambda _: self._wanted.set())
        self._notices.hear(LEAVE, self._leave_all)

    @property
    def trouble(self) -> str:
        """Why nothing can be listened to here."""
        return self._trouble(self._settings.speech_folder)

    @property
    def listens_again(self) -> bool:
        """Whether what was not heard can be listened to once more."""
        # Of several processes only one with a recogniser takes what there is to do.
        return self._has_again() and not (self._notices.is_shared and self.trouble)

    def begin(self) -> None:
        """Go on with what waits, also from before a restart, on a thread that ends with the app."""
        if not self._notices.is_shared:  # Elsewhere others may be at it.
            with self._database.writing() as session:
                jobs.begin_anew_after_restart(session)
        self._wanted.set()
        self._thread.start()

    def look(self) -> None:
        """There is something new to be listened to, by whichever process."""
        self._notices.say(LISTEN)

    def leave(self, take_id: str) -> None:
        """Stop listening to a take, wherever that is done."""
        self._notices.say(LEAVE, take_id)

    def _leave_all(self, notices: Sequence[Notice]) -> None:
        for each in notices:
            self._leave(each.about)

    def _leave(self, take_id: str) -> None:
        with self._lock:
            if self._take_id == take_id and self._process is not None:
                self._process.kill()

    def end(self) -> None:
        """Stop; what was not finished waits for the next start."""
        self._ended.set()
        self._wanted.set()
        with self._lock:
            if self._process is not None:
                self._process.kill()
        if self._thread.ident is not None:
            self._thread.join(LONGEST_END_S)

    def _work(self) -> None:
        while not self._ended.is_set():
            # Another process may have ended in the middle of a take, and nobody says so.
            self._wanted.wait(jobs.LEASE_MS / 1000 if self._notices.is_shared else None)
            self._wanted.clear()
            try:
                while not self._ended.is_set() and self.listen_to_next():
                    pass
            except Exception:
                # The next take may go better; without the thread none would.
                _log.exception("A take could not be listened to.")

    def listen_to_next(self) -> bool:
        """Have the take whose turn it is listened to; False where none waits."""
        if self._notices.is_shared and (self.trouble or not self._are_some()):
            return False  # One that has a recogniser takes it.
        with self._database.writing() as session:
            take_id = jobs.next_job(session, self._notices.own, _now_ms())
        if take_id is None:
            return False
        with ExitStack() as stack:
            try:
                task = stack.enter_context(self._task_of(take_id))
            except DomainError as error:
                self._fail(take_id, error.message)
                return True
            if task.probes == ():
                self._keep_thoughts(take_id, ())
            else:
                self._listen(take_id, task)
        return True

    @contextmanager
    def _task_of(self, take_id: str) -> Iterator[_Task]:
        with self._database.reading() as session:
            take = load_take(session, take_id)
            plan = load_plan(session, take.plan_key)
            words = words_of(session, take_id) if take.job_what == jobs.AGAIN else None
        with self._folder.at_hand(take.sound.file if take.sound else "") as file:
            if words is not None:
                asked = asked_of(plan, words)
                yield _Task((*self._again, str(file)), probes_line(asked), asked)
            else:
                language = supported(plan.routine.language).code
                folder = self._settings.speech_folder
                yield _Task((*self._command, str(file), folder, language))

    def _listen(self, take_id: str, task: _Task) -> None:
        with self._lock:
            if self._ended.is_set():
                return
            self._take_id = take_id
            self._process = process = subprocess.Popen(  # noqa: S603  (our own command)
                task.command, cwd=ROOT, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True,
                encoding="utf-8",
            )  # fmt: skip
        try:
            with self._saying_so(take_id):
                # One that ended before it was told is found by what it says.
                with suppress(OSError):
                    if task.told and process.stdin is not None:
                        process.stdin.write(task.told)
                        process.stdin.flush()
                self._follow(take_id, process, task)
        finally:
            with self._lock:
                self._process, self._take_id = None, ""
            process.kill()
            for pipe in (process.stdin, process.stdout):
                if pipe is not None:
                    with suppress(OSError):
                        pipe.close()
            process.wait()

    @contextmanager
    def _saying_so(self, take_id: str) -> Iterator[None]:
        """Within this block it is said again and again that the take is being listened to."""
        is_over = threading.Event()

        def say_so() -> None:
            while not is_over.wait(jobs.LEASE_MS / 3000):
                try:
                    with self._database.writing() as session:
                        goes_on = jobs.go_on(session, take_id, self._notices.own, _now_ms())
                except Exception:
                    # Said too seldom, another takes it; nothing of this one then counts.
                    _log.exception("It could not be said that a take is being listened to.")
                    continue
                if not goes_on:
                    self._leave(take_id)

        threading.Thread(target=say_so, name="hearing goes on", daemon=True).start()
        try:
            yield
        finally:
            is_over.set()

    def _are_some(self) -> bool:
        with self._database.reading() as session:
            return jobs.are_waiting(session, _now_ms())

    def _follow(self, take_id: str, process: "subprocess.Popen[str]", task: _Task) -> None:
        noted = 0
        for line in process.stdout or ():
            said = read(line)
            if said.share is not None and said.share >= noted + LEAST_STEP:
                noted = said.share
                with self._database.writing() as session:
                    jobs.note_share(session, take_id, self._notices.own, noted)
            if said.trouble is not None:
                self._fail(take_id, said.trouble)
                return
            if said.words is not None and task.probes is None:
                self._keep(take_id, said.words)
                return
            if said.fits is not None and task.probes is not None:
                self._think(take_id, task.probes, said.fits)
                return
        if not self._ended.is_set():
            self._fail(take_id, "The recogniser stopped before its end. Try it again.")

    def _keep(self, take_id: str, rows: Sequence[object]) -> None:
        document = {"kind": "recognised", "timed": True, "words": list(rows)}
        try:
            words = json.dumps(transcript_document(transcript_from(document)), ensure_ascii=False)
        except DomainError:
            self._fail(take_id, "The recogniser wrote something that cannot be read.")
            return
        with self._database.writing() as session:
            is_kept = jobs.end_job(session, take_id, self._notices.own, words, RECOGNISED)
            if is_kept and self.listens_again:
                jobs.ask_again(session, take_id)

    def _think(
        self,
        take_id: str,
        asked: Sequence[Probe],
        fits: Sequence[Sequence[float | None] | None],
    ) -> None:
        # Loaded with the first take: the start of the app does without.
        from server.domain.heard.again import thoughts

        if len(fits) == len(asked):
            self._keep_thoughts(take_id, thoughts(asked, fits))
        else:
            self._fail(take_id, "The recogniser wrote something that cannot be read.")

    def _keep_thoughts(self, take_id: str, found: Sequence[SecondThought]) -> None:
        with self._database.writing() as session:
            jobs.end_again(session, take_id, self._notices.own, found)

    def _fail(self, take_id: str, why: str) -> None:
        with self._database.writing() as session:
            jobs.fail_job(session, take_id, self._notices.own, why)


def _now_ms() -> int:
    return time.time_ns() // 1_000_000
