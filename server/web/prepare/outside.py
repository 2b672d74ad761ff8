"""Setting up and clearing away: their parts, what runs of them took, and the way to their clock."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import partial

from server.domain.base.durations import (
    format_apart,
    format_duration,
    parse_duration,
    write_duration,
)
from server.domain.base.errors import InvalidInput
from server.domain.base.number_words import count
from server.domain.prepare.outside import Outside
from server.domain.routine.plan import PHASES
from server.domain.routine.preparing import Chore, Phase, Preparation
from server.store.ids import new_id
from server.web.frame.forms import Typed
from server.web.frame.guard import Values

OUTSIDE = "outside"
TIMES_SHOWN = 10


@dataclass(frozen=True)
class OutsideShown:
    """A phase in words; its parts as rows of name, planned, typical and last time, and trend."""

    phase: Phase
    name: str
    words: str
    rows: tuple[tuple[str, str, str, str, str], ...]
    times: tuple[str, ...]
    """What its latest runs took, the latest last."""


def with_chores(typed: Typed, given: Preparation) -> Preparation:
    """What is prepared, with the parts that a form describes, one a line."""
    setting_up = _chores(typed, "set_up", given.setting_up)
    clearing = _chores(typed, "clear", given.clearing)
    return typed.built(lambda: replace(given, setting_up=setting_up, clearing=clearing))


def outside_values(given: Preparation) -> Values:
    """The texts with which the form starts."""
    texts: Mapping[Phase, str] = {phase: _written(given.chores(phase)) for phase in PHASES}
    return {str(phase): text for phase, text in texts.items()}


def outside_shown(found: Iterable[Outside]) -> tuple[OutsideShown, ...]:
    """Both phases as the page shows them."""
    return tuple(
        OutsideShown(each.phase, PHASES[each.phase], _words(each), _rows(each), _times(each))
        for each in found
    )


def _chores(typed: Typed, field: Phase, known: tuple[Chore, ...]) -> tuple[Chore, ...]:
    ids = {chore.name.casefold(): chore.id for chore in known}
    lines = [line for line in typed.values.get(field, "").splitlines() if line.strip()]
    read = (typed.take(partial(_chore, line, field, ids), None) for line in lines)
    return tuple(chore for chore in read if chore is not None)


def _chore(line: str, field: str, ids: dict[str, str]) -> Chore:
    """A line as "1:30 Machine and grinder on"; its id stays that of the name."""
    time, _, name = line.strip().partition(" ")
    if not name.strip():
        words = f"“{line.strip()[:40]}”: write a time, then what is done, as 1:30 Cups out."
        raise InvalidInput.of(field, words)
    planned_s = parse_duration(time, field)
    name = name.strip()
    return Chore(ids.pop(name.casefold(), "") or new_id(), name, planned_s)


def _written(chores: Iterable[Chore]) -> str:
    return "\n".join(f"{write_duration(each.planned_s)} {each.name}" for each in chores)


def _words(found: Outside) -> str:
    if not found.chores:
        allowed = found.allowed_s
        return "" if allowed is None else f"{format_duration(allowed)} allowed, nothing planned yet"
    planned = f"planned {format_duration(found.planned_s)}"
    if found.allowed_s is not None:
        planned += f" of {format_duration(found.allowed_s)} allowed"
        if found.planned_s > found.allowed_s:
            planned += f", {format_apart(found.planned_s - found.allowed_s)}"
    if found.typical_s is None:
        return planned
    runs = count(len(found.totals_s), "run")
    last = format_duration(found.totals_s[-1])
    told = f"{planned} · takes {format_duration(found.typical_s)}, last {last}, from {runs}"
    if not found.tells_trend:
        return told
    return f"{told}, {_moving(found.moves_s) or 'no trend'}"


def _moving(moves_s: float | None) -> str:
    """How a time moves from run to run.

    >>> _moving(-6.2), _moving(1.0), _moving(None)
    ('6 s faster a run', '1 s slower a run', '')
    """
    if moves_s is None:
        return ""
    by = f"{abs(moves_s):.0f}" if abs(moves_s) >= 0.95 else f"{abs(moves_s):.1f}"
    return f"{by} s {'faster' if moves_s < 0 else 'slower'} a run"


def _times(found: Outside) -> tuple[str, ...]:
    return tuple(format_duration(each) for each in found.totals_s[-TIMES_SHOWN:])


def _rows(found: Outside) -> tuple[tuple[str, str, str, str, str], ...]:
    return tuple(
        (
            each.chore.name,
            format_duration(each.chore.planned_s),
            _told(each.typical_s),
            _told(each.last_s),
            _moving(each.moves_s) or "–",
        )
        for each in found.chores
    )


def _told(seconds: float | None) -> str:
    return "–" if seconds is None else format_duration(seconds)
