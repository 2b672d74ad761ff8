"""Strips under the sessions they belong to, and the few that stand thin beneath the latest."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.number_words import count
from server.domain.drift.sessions import Session, sessions
from server.domain.runs.summary import RunLine
from server.web.frame.filters import clock_ms, date_words, short_day
from server.web.frame.local_zone import LOCAL
from server.web.runs.run_words import earlier_words
from server.web.runs.strips import RunStrip, StripMaker

LISTED = 60
"""Sessions listed unless all are asked for."""

MOST_THIN = 12
"""Earlier runs drawn beneath the latest: more would be no thicker than a line."""


@dataclass(frozen=True)
class SessionGroup:
    """A session as a heading over its strips; `key` is the id of its first run."""

    key: str
    name: str
    venue: str
    tags: tuple[str, ...]
    words: str
    runs: int
    strips: tuple[RunStrip, ...]


@dataclass(frozen=True)
class Earlier:
    """The runs before those that are drawn large, folded into one line."""

    words: str
    span: str
    quickest: str
    slowest: str
    strips: tuple[RunStrip, ...]
    height: int
    """Of one strip, in pixels."""


def keyed_sessions(lines: Sequence[RunLine]) -> dict[str, Session]:
    """Key -> session, latest first."""
    return {each.runs[0].id: each for each in sessions(lines, LOCAL)}


def session_values(venue: str) -> dict[str, str]:
    """The texts with which the form of a session starts; tags are only added."""
    return {"venue": venue}


def session_groups(
    lines: Sequence[RunLine], maker: StripMaker, slot_s: float
) -> tuple[SessionGroup, ...]:
    """The sessions of `lines`, latest first, the latest run of each on top."""
    return tuple(
        SessionGroup(
            key=key,
            name=date_words(each.day) if each.day else "Day unknown",
            venue=each.venue,
            tags=each.tags,
            words=_words(each, slot_s),
            runs=len(each.runs),
            strips=tuple(maker.strip(line) for line in reversed(each.runs)),
        )
        for key, each in keyed_sessions(lines).items()
    )


def earlier_of(lines: Sequence[RunLine], maker: StripMaker) -> Earlier | None:
    """The runs of `lines`, oldest first, as one line; None where there is none."""
    if not lines:
        return None
    totals_ms = [line.total_ms for line in lines if line.counts and line.total_ms]
    first, last = (short_day(each.started_ms or each.created_ms) for each in (lines[0], lines[-1]))
    drawn = [maker.strip(line) for line in reversed(lines[-MOST_THIN:])]
    return Earlier(
        words=earlier_words(len(lines)),
        span=first if first == last else f"{first} to {last}",
        quickest=clock_ms(min(totals_ms, default=None)),
        slowest=clock_ms(max(totals_ms)) if len(totals_ms) > 1 else "",
        strips=tuple(drawn),
        height=max(3, min(6, 44 // len(drawn) - 2)),
    )


def _words(session: Session, slot_s: float) -> str:
    totals = session.totals_ms
    parts = [count(len(totals), "run that counts", "runs that count")]
    if len(totals) > 1:
        parts.append(f"{session.inside(slot_s)} of {len(totals)} inside the slot")
        first, usual, best = (
            clock_ms(each) for each in (session.first_ms, session.median_ms, session.best_ms)
        )
        parts.append(f"first {first}, typical {usual}, shortest {best}")
    if session.incidents:
        parts.append(count(session.incidents, "incident"))
    return ", ".join(parts)
