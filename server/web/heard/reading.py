"""A take read: its words laid against the script of its plan, which takes a part of a second."""

import json
from collections import OrderedDict
from contextlib import nullcontext
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Lock

from sqlmodel import Session

from server.domain.base.errors import NotFound
from server.domain.base.languages import supported
from server.domain.heard.again import raised
from server.domain.heard.alignment import Alignment, spoken_segments
from server.domain.heard.claims import HeardClaims, hear_claims
from server.domain.heard.marks import Accepted, accepted_as_found
from server.domain.heard.words import Transcript, transcript_from
from server.domain.routine.plan import Plan
from server.store.database import refuse_while_writing
from server.store.heard.takes import Take, load_take, words_of
from server.store.plans import load_plan
from server.store.uploads.media_place import MediaPlace
from server.web.drinks.checked import checked
from server.web.heard.onsets import onsets_of
from server.web.heard.starts import StartLine, settled, start_lines

READINGS_KEPT = 6

WAV = "audio/wav"


@dataclass(frozen=True)
class Heard:
    """What was heard, before anybody moved anything."""

    transcript: Transcript
    alignment: Alignment
    claims: HeardClaims


@dataclass(frozen=True)
class Reading:
    """A take with its words laid against its plan; `now` has the boundaries as they are set."""

    take: Take
    plan: Plan
    transcript: Transcript
    heard: Alignment
    now: Alignment
    claims: HeardClaims
    lines: tuple[StartLine, ...]

    @property
    def language(self) -> str:
        """The code of the language the routine is held in."""
        return supported(self.plan.routine.language).code


_Key = tuple[str, str, str, tuple[int, ...]]
_kept: OrderedDict[_Key, Heard] = OrderedDict()
_lock = Lock()


def read_take(session: Session, take_id: str, folder: MediaPlace) -> Reading | None:
    """A take read; None while it has no words. Raises NotFound, Gone, Conflict and Unreachable."""
    take = load_take(session, take_id)
    words = words_of(session, take_id)
    if words is None:
        return None
    plan = load_plan(session, take.plan_key)
    sound = take.sound
    file = sound.file if sound and sound.media_type == WAV and sound.done else ""
    heard = _heard((words, take.plan_key, file, take.onsets_ms), plan, folder)
    now = settled(heard.alignment, take.decided)
    script = spoken_segments(plan.routine)
    planned_s = {each.id: each.planned_s for each in script}
    lines = start_lines(plan.routine, heard.alignment, now, take.decided, planned_s)
    claims = raised(heard.claims, take.thoughts)
    return Reading(take, plan, heard.transcript, heard.alignment, now, claims, lines)


def require_reading(session: Session, take_id: str, folder: MediaPlace) -> Reading:
    """The same for a take that must have its words. Raises NotFound besides."""
    reading = read_take(session, take_id, folder)
    if reading is None:
        raise NotFound("This take has no words yet.")
    return reading


def accepted(reading: Reading) -> Accepted:
    """The boundaries as they are set: what becomes a run."""
    found = accepted_as_found(reading.now)
    # A segment of which nothing was heard has a start all the same where the person set one.
    told = dict(found.starts_s)
    by_hand = {
        each.segment_id: each.at_ms / 1000
        for each in reading.lines
        if each.is_moved and each.segment_id
    }
    return replace(found, starts_s=tuple((told | by_hand).items()))


def _heard(key: _Key, plan: Plan, folder: MediaPlace) -> Heard:
    # A plan's key stands for one content for ever, and so do the words and the name of a file.
    with _lock:
        if key in _kept:
            _kept.move_to_end(key)
            return _kept[key]
    words, _, file, onsets_ms = key
    with folder.at_hand(file) if file else nullcontext() as path:
        found = _laid(words, plan, path, onsets_ms)
    with _lock:
        _kept[key] = found
        while len(_kept) > READINGS_KEPT:
            _kept.popitem(last=False)
    return found


def _laid(words: str, plan: Plan, file: Path | None, onsets_ms: tuple[int, ...]) -> Heard:
    refuse_while_writing("A talk is laid against its script")
    # Loaded with the first take: the start does without.
    from server.domain.heard.aligning import align

    transcript = transcript_from(json.loads(words))
    language = supported(plan.routine.language).code
    script = spoken_segments(plan.routine)
    told_s = tuple(each / 1000 for each in onsets_ms)
    onsets_s = onsets_of(file) if file is not None else told_s
    alignment = align(transcript, script, onsets_s, language)
    found = checked(plan.routine, plan.rules)
    claims = hear_claims(plan.routine, found.case, found.ledger, transcript, alignment)
    return Heard(transcript, alignment, claims)
