"""What the person says of a run as a whole: whether it counts, its name, place and a remark.

It is asked at the finish, on a device that may be offline, so it travels as events of the run's
log. The desk keeps the same in columns, where it may be changed later; what arrives changes only
what nobody changed here meanwhile.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from server.domain.runs.clock import in_order
from server.domain.runs.events import Event


@dataclass(frozen=True)
class About:
    """What is said of a run; `excluded` is None where it was left open whether it counts."""

    excluded: bool | None = None
    label: str = ""
    venue: str = ""
    notes: str = ""


def about_of(events: Iterable[Event]) -> About:
    """What the log of a run says of it: the latest word."""
    said = [event for event in in_order(events) if event.kind == "about"]
    if not said:
        return About()
    last = said[-1]
    return About(
        excluded=None if last.counts is None else not last.counts,
        label=(last.label or "").strip(),
        venue=(last.venue or "").strip(),
        notes=(last.text or "").strip(),
    )


def taken_over(kept: About, before: About, now: About) -> About:
    """What is kept of a run whose log said `before` until now and says `now`.

    What was changed here since stands: a device that was away must not undo it.
    """
    return About(
        excluded=now.excluded if kept.excluded in (None, before.excluded) else kept.excluded,
        label=_newer(kept.label, before.label, now.label),
        venue=_newer(kept.venue, before.venue, now.venue),
        notes=_newer(kept.notes, before.notes, now.notes),
    )


def _newer(kept: str, before: str, now: str) -> str:
    return now if kept in ("", before) else kept
