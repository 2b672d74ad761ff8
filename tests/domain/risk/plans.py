"""Small plans to test with."""

from server.domain.risk.activities import Activity, build
from server.domain.risk.parts import Parts, TimedProcess, TimedSegment
from server.domain.routine.estimate import TimeEstimate
from server.domain.routine.rules import RuleSheet

RULES = RuleSheet("rules", "House", slot_s=600.0, target_s=590.0)


def certain(seconds):
    return TimeEstimate(seconds, seconds, seconds)


def segment(name, seconds=10.0, **changes):
    planned = changes.pop("planned", certain(seconds))
    return TimedSegment(id=name, name=name, planned=planned, **changes)


def estimated(name, likely_s, **changes):
    """A segment that may take a tenth less or a fifth more."""
    return segment(name, planned=TimeEstimate(likely_s * 0.9, likely_s, likely_s * 1.2), **changes)


def process(seconds=30.0, after="a", before="c", **changes):
    duration = changes.pop("duration", certain(seconds))
    name = changes.pop("name", "p")
    return TimedProcess(name, {"p": "Drip"}.get(name, name), duration, after, before, **changes)


def parts(*segments, processes=()):
    return Parts(tuple(segments), tuple(processes))


def sheet(slot_s, **changes):
    changes.setdefault("target_s", slot_s)
    return RuleSheet("rules", "House", slot_s=slot_s, **changes)


def activities(links):
    """A network from id -> ids it comes after."""
    return build([Activity(each, each, after=tuple(after)) for each, after in links.items()])
