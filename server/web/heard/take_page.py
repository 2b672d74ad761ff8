"""What the page of a take shows: its sound, its tape, what was heard, and what may become of it."""

from dataclasses import dataclass

from sqlmodel import Session

from server.domain.base.durations import write_duration
from server.domain.base.number_words import count
from server.domain.belief.words_pace import learn_paces
from server.domain.claims.pace import Paces
from server.domain.heard.decided import FINISH, START
from server.domain.heard.words import SOURCES
from server.domain.routine.plan import Plan
from server.hearing.keeper import Hearing
from server.settings import Settings
from server.store.heard.jobs import FAILED, WAITING, WORKING
from server.store.heard.takes import Take, load_take
from server.store.learning import marked_by_run
from server.store.paces import spoken_in_runs
from server.store.plans import frozen_key
from server.store.routines import load_routine
from server.store.rule_sheets import load_rule_sheet
from server.store.uploads.media import MB
from server.store.uploads.media_place import MediaPlace, place_at, whereabouts
from server.web.frame.editing import routine_context
from server.web.frame.filters import clock_ms, short_day
from server.web.frame.forms import Form
from server.web.frame.guard import opened
from server.web.frame.shown import RoutinePage
from server.web.heard.beside import BesideRun, beside_run, runs_by_hand
from server.web.heard.claims_view import HeardClaimsView, heard_claims
from server.web.heard.loudness import wants_loudness
from server.web.heard.manner_view import MannerView, manner_view
from server.web.heard.reading import Reading, read_take
from server.web.heard.said import NearWord, SegmentText, segment_texts, swapped_segments, words_near
from server.web.heard.starts import GUESS, StartLine, folded_words, room_of
from server.web.heard.tape import TakeTape, take_tape
from server.web.heard.ways_in import take_name
from server.web.runs.paper import local_time

BOUNDARY = "start-"
"""Stands in `?open=` before the boundary that is looked at."""


FEW_LINES = 5
FIRST_GUESSES = 4
"""Of more lines than a few only guesses stand open, at most so many."""


@dataclass(frozen=True)
class OpenedStart:
    """The boundary that is looked at: its form, the room it has, and the words around it."""

    line: StartLine
    clock_ms: int
    form: Form
    least_ms: int
    most_ms: int
    words: tuple[NearWord, ...]
    text: SegmentText | None


@dataclass(frozen=True)
class ReadTake:
    """What there is to see of a take with words; times are None where the words have none."""

    kind: str
    is_of_it: bool
    """Whether anything in it is the script's: else it says nothing, of claims neither."""
    start_ms: int
    total_ms: int | None
    lines: tuple[StartLine, ...]
    unsure: int
    edges: str
    """What is a guess of the run as a whole, in words; "" where nothing is."""
    lacks: str
    """Which part of a run is missing, "beginning" or "end"; "" where it is whole."""
    tape: TakeTape | None
    texts: tuple[SegmentText, ...]
    claims: HeardClaimsView
    manner: MannerView | None
    swapped: tuple[str, ...]
    """Segments with sentences that were said out of their turn."""

    @property
    def first_lines(self) -> tuple[StartLine, ...]:
        """What is looked at first: all of a few, else the guesses."""
        if len(self.lines) <= FEW_LINES:
            return self.lines
        return tuple(each for each in self.lines if each.was_guess)[:FIRST_GUESSES]

    @property
    def other_lines(self) -> tuple[StartLine, ...]:
        """The others, folded away."""
        return tuple(each for each in self.lines if each not in self.first_lines)

    @property
    def other_words(self) -> str:
        """What is folded away, in words."""
        return folded_words(self.other_lines, is_all=not self.first_lines)


@dataclass(frozen=True)
class Asked:
    """What the address asks for beside the take."""

    open: str = ""
    edit: str = ""


@dataclass(frozen=True, kw_only=True)
class TakePage(RoutinePage, folder="take"):
    """The page of one take."""

    take: Take
    name: str
    headline: str
    notices: tuple[str, ...]
    sound_state: str
    """"" without sound, "deleted" from its run, "arriving", "missing" or "here"."""
    arrived: int
    most_bytes: int
    is_listening: bool
    wants_loudness: bool
    """Whether the browser is to say how loud its sound is, which nobody else decodes."""
    hearing_trouble: str
    can_listen_again: bool
    """Whether what was not heard can be listened to once more, which was not done."""
    read: ReadTake | None
    opened: OpenedStart | None
    beside: BesideRun | None
    by_hand: tuple[tuple[str, str], ...]
    """Runs of the routine that were marked by hand, for one to be laid beside: id and words."""
    is_todays_script: bool
    went_wrong: int
    """Sentences that this take marked where the script is learnt."""
    form: Form
    open: str
    """The boundary that is looked at, or the fold of claims that stays open."""
    edit: str


def take_page_of(
    session: Session,
    settings: Settings,
    take_id: str,
    hearing: Hearing,
    asked: Asked,
    form: Form | None = None,
) -> TakePage:
    """The page of a take; `form` holds what was typed and refused in the one that is open."""
    take = load_take(session, take_id)
    stored = load_routine(session, take.routine_id)
    folder = place_at(settings.files, settings.recordings_folder)
    reading = read_take(session, take_id, folder)
    context = routine_context(session, stored, "runs")
    todays = Plan(stored.routine, load_rule_sheet(session, stored.routine.rule_sheet_id))
    # A run that was marked by hand keeps the plan of its day, and so does what is beside it.
    is_todays = take.beside_run_id is not None or take.plan_key == frozen_key(todays)
    paces = learn_paces(spoken_in_runs(session, stored.routine))
    read = None if reading is None else _read(reading, paces)
    sound_state = _sound_state(take, folder)
    return TakePage(
        **context,
        take=take,
        name=take_name(take),
        headline=_headline(take, read),
        notices=_notices(take, reading, is_todays=is_todays),
        sound_state=sound_state,
        arrived=take.sound.received_bytes * 100 // take.sound.size_bytes if take.sound else 0,
        most_bytes=settings.recording_mb * MB,
        is_listening=take.job in (WAITING, WORKING),
        wants_loudness=read is not None and read.tape is not None and wants_loudness(take),
        hearing_trouble=hearing.trouble,
        can_listen_again=_can_listen_again(take, read, sound_state, hearing),
        read=read,
        opened=None if reading is None else _opened(reading, read, asked.open, form),
        beside=None if reading is None else beside_run(session, reading),
        by_hand=runs_by_hand(session, take) if asked.edit == "beside" else (),
        is_todays_script=is_todays,
        went_wrong=marked_by_run(session, take.run_id) if take.run_id else 0,
        form=form or _run_form(take, read),
        open=asked.open,
        edit=asked.edit,
    )


def _can_listen_again(
    take: Take, read: ReadTake | None, sound_state: str, hearing: Hearing
) -> bool:
    if read is None or read.tape is None or sound_state != "here" or take.was_heard_again:
        return False
    is_free = take.run_id is None and take.job not in (WAITING, WORKING)
    missed = any(each.claim.hearing == "not heard" for each in read.claims.missed_lines)
    return is_free and missed and hearing.listens_again


def _run_form(take: Take, read: ReadTake | None) -> Form:
    began_ms = take.created_ms
    if take.started_ms is not None:
        began_ms = take.started_ms + (read.start_ms if read else 0)
    return Form({"when": f"{local_time(began_ms):%Y-%m-%dT%H:%M}"})


def start_form(line: StartLine) -> Form:
    """The form of a boundary, as it stands."""
    return opened({"at": write_duration(line.at_ms / 1000)})


def _read(reading: Reading, paces: Paces) -> ReadTake:
    transcript, lines = reading.transcript, reading.lines
    is_timed = transcript.timed and reading.now.quality.verdict != "none"
    sound = reading.take.sound
    lasts_ms = max(sound.lasts_ms if sound else 0, round(transcript.end_s * 1000))
    start_ms = round(reading.now.start_s * 1000)
    return ReadTake(
        kind=SOURCES[transcript.kind],
        is_of_it=reading.now.quality.verdict != "none",
        start_ms=start_ms,
        total_ms=round(reading.now.finish_s * 1000) - start_ms if is_timed else None,
        lines=lines if is_timed else (),
        unsure=sum(each.how_sure == GUESS for each in lines),
        edges=_unsure_edges(lines),
        lacks=_lacks(reading),
        tape=take_tape(reading.plan.routine, lines, lasts_ms) if is_timed else None,
        texts=segment_texts(reading.plan.routine, reading.now, reading.language),
        claims=heard_claims(reading),
        manner=manner_view(reading, paces) if is_timed else None,
        swapped=swapped_segments(reading.plan.routine, reading.now),
    )


def _unsure_edges(lines: tuple[StartLine, ...]) -> str:
    unsure = {each.key for each in lines if each.how_sure == GUESS}
    told = [words for key, words in ((START, "starts"), (FINISH, "stops")) if key in unsure]
    return " and ".join(told)


def _lacks(reading: Reading) -> str:
    return "beginning" if reading.now.lacks_beginning else "end" if reading.now.lacks_end else ""


def _opened(
    reading: Reading, read: ReadTake | None, asked: str, form: Form | None
) -> OpenedStart | None:
    key = asked.removeprefix(BOUNDARY) if asked.startswith(BOUNDARY) else ""
    line = next((each for each in reading.lines if each.key == key), None)
    if read is None or read.tape is None or line is None:
        return None
    before, behind = room_of(reading.lines, key)
    text = next((each for each in read.texts if each.segment_id == line.segment_id), None)
    return OpenedStart(
        line=line,
        clock_ms=line.at_ms - read.start_ms,
        form=form or start_form(line),
        least_ms=before.at_ms if before else 0,
        most_ms=behind.at_ms if behind else max(read.tape.to_ms, line.at_ms),
        words=words_near(reading.transcript, line.at_ms),
        text=text,
    )


def _headline(take: Take, read: ReadTake | None) -> str:
    if read is None:
        return "Being listened to" if take.job in (WAITING, WORKING) else "No words yet"
    if not read.is_of_it:
        return "Nothing here is of this routine"
    claims = read.claims
    told = f"{claims.said} of {count(claims.number, 'claim')} heard" if claims.number else ""
    timed = f"{clock_ms(read.total_ms)} as heard" if read.total_ms is not None else "Without times"
    return ", ".join(filter(None, (timed, told)))


def _notices(take: Take, reading: Reading | None, *, is_todays: bool) -> tuple[str, ...]:
    found = [take.job_says] if take.job == FAILED else []
    if reading is not None:
        quality = reading.now.quality
        if quality.verdict != "good":
            found.append(quality.why)
        if not reading.transcript.timed:
            found.append("This text has no times, so it tells of claims alone: no run can be made.")
        found += reading.now.notes
    if not is_todays and take.run_id is None:
        when = short_day(take.created_ms)
        found.append(
            f"The script or the plan has changed since. This is laid against that of {when}."
        )
    return tuple(filter(None, found))


def _sound_state(take: Take, folder: MediaPlace) -> str:
    if take.sound is None:
        return "deleted" if take.recording_id else ""
    if not take.sound.done:
        return "arriving"
    return whereabouts(folder, take.sound.file, take.sound.received_bytes)
