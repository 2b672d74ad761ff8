"""What a presenter should do next: at most five things, the most costly first.

`Open` (see `open_things`) is gathered by the caller; nothing else is asked for, and the order of
what is given does not matter. A `NextStep` has a `kind` (for its sign), a `sentence`, a `detail`
beneath and `cures`: each a `label`, the name of an `action` and its `parameters` (ids and values as
text; the table stands in `step`). A cure that `acts` changes something, undoably, at one touch; any
other opens the place where it is done. `readiness` has the lines beside the list.

The cost of a step is the number of runs in a hundred that it spoils, times how bad that is
(`step.WEIGHTS`). Of one kind at most two are listed, so that ten unsaid words do not hide a
remark; contradictions are all listed, because each is a false word before the judges.

>>> from server.domain.whole.open_things import OpenClaim
>>> found = next_steps(Open(rules_invented=True, claims=(OpenClaim("c1", "unsaid", "rosehip"),)))
>>> [step.sentence for step in found]
['Rosehip is on the card, nobody says it.', 'These rules are invented.']
"""

from collections.abc import Iterator

from server.domain.whole import step_kinds as kinds
from server.domain.whole.open_things import Grown, Open
from server.domain.whole.readiness import plan_told
from server.domain.whole.step import NextStep

MOST = 5
MOST_OF_A_KIND = 2

LEAST_OVER_S = 1.0
"""A segment or its words less over the plan than this are on plan: hands mark no better."""

LEAST_RUNS = 2
"""A segment that was longer once is no habit."""

SURE_ENOUGH = 0.95
"""A process with a better chance to be ready than this is left alone."""

FORGOTTEN_AFTER_RUNS = 3
"""A remark made so many runs before the last is no longer listed."""


def next_steps(open_: Open) -> tuple[NextStep, ...]:
    """At most five things to do, the most costly first; none where there is nothing to do."""
    kept: list[NextStep] = []
    for step in sorted(_steps(open_), key=lambda step: (-step.cost, step.id)):
        alike = sum(each.kind == step.kind for each in kept)
        if step.kind == "wrong" or alike < MOST_OF_A_KIND:
            kept.append(step)
    return tuple(kept[:MOST])


def _steps(open_: Open) -> Iterator[NextStep]:
    yield from (kinds.claim_step(c) for c in open_.claims if c.state in kinds.CLAIM_KINDS)
    yield from (kinds.grown_step(each) for each in open_.grown if _is_habit(each))
    yield from (kinds.wordy_step(each) for each in open_.wordy if each.over_s >= LEAST_OVER_S)
    if plan_told(open_.beyond_slot_s):
        yield kinds.plan_step(open_.beyond_slot_s)
    yield from (kinds.late_step(p) for p in open_.processes if p.chance_ready < SURE_ENOUGH)
    yield from (
        kinds.remark_step(each) for each in open_.remarks if each.runs_ago < FORGOTTEN_AFTER_RUNS
    )
    yield from (kinds.pending_step(each) for each in open_.runs)
    found, goal = open_.unheard, open_.goal
    if found is not None and (found.missed or found.wrong):
        yield kinds.unheard_step(found, goal is not None and goal.with_claims and goal.left > 0)
    if open_.to_say is not None and open_.to_say.sentences:
        yield kinds.learn_step(open_.to_say)
    yield from (kinds.unfound_step(each) for each in open_.unfound)
    if open_.drinkless_segment_id is not None:
        yield kinds.drinkless_step(open_.drinkless_segment_id)
    if open_.rules_invented:
        yield kinds.rules_step(open_.rule_sheet_id)


def _is_habit(grown: Grown) -> bool:
    return grown.runs >= LEAST_RUNS and grown.over_s >= LEAST_OVER_S
