"""What a person may do with a routine: how they stand to it, and what an address asks of that.

>>> granted(["coach"]) >= {"study", "remark"}, allows("edit", granted(["coach"]))
(True, False)
>>> allows("follow", granted(["judge"])), allows("follow", granted(["judge"]), is_open=True)
(False, True)
"""

from collections.abc import Iterable
from typing import Literal, get_args

Standing = Literal["owner", "copresenter", "coach", "judge", "viewer"]
"""How a person stands to a routine."""

RoutineAsk = Literal[
    "show",
    "read",
    "study",
    "follow",
    "follow-open",
    "remark",
    "hear",
    "present",
    "send",
    "edit",
    "own",
]
"""What an address asks of whoever wants something of a routine."""

Ask = RoutineAsk | Literal["all", "pass", "person", "admin", "sheet", "sheet-edit", "team", "lead"]
"""The same of every address: those of no routine ask for nothing, for the pass of one who watches
or tastes, for anybody with an account, for the admin, for a rule sheet to read or to change, or for
a team one is in or leads."""

STANDINGS: dict[Standing, str] = {
    "owner": "Owner",
    "copresenter": "Co-presenter",
    "coach": "Coach",
    "judge": "Judge",
    "viewer": "Viewer",
}
"""Standing -> the word for it, the one that may most first."""

MEANINGS: dict[Standing, str] = {
    "owner": "does everything, and says who else may",
    "copresenter": "writes, rehearses and records; does not delete the routine or hand it on",
    "coach": "reads all of it, follows runs, remarks and gives points; changes nothing",
    "judge": "sees what is declared, and follows a run while it is open to watchers",
    "viewer": "reads plan, script and drinks",
}
"""Standing -> what it is, in one line."""

_READS: frozenset[RoutineAsk] = frozenset({"show", "read"})
_STUDIES: frozenset[RoutineAsk] = _READS | {"study", "follow", "remark"}
_PRESENTS: frozenset[RoutineAsk] = _STUDIES | {"hear", "present", "send", "edit"}

GRANTS: dict[Standing, frozenset[RoutineAsk]] = {
    "owner": _PRESENTS | {"own"},
    "copresenter": _PRESENTS,
    "coach": _STUDIES,
    # Before the slot what lies before a judge on paper; at it what happens on the stage. Nothing of
    # the script, of forecasts, of earlier runs or of recordings.
    "judge": frozenset({"show", "follow-open"}),
    "viewer": _READS,
}
"""Standing -> what it may be asked for: the one table of what a person may."""

EVERYTHING: frozenset[RoutineAsk] = frozenset(get_args(RoutineAsk))
"""What holds where nobody is told apart."""


def granted(standings: Iterable[Standing], *, hears: bool = False) -> frozenset[RoutineAsk]:
    """All that these standings to one routine may be asked for; none for none.

    `hears` is what an owner ticked for a coach: that they may hear recordings.
    """
    held = set(standings)
    found = {ask for each in held for ask in GRANTS[each]}
    if hears and "coach" in held:
        found.add("hear")
    return frozenset(found)


def follows_alone(held: frozenset[RoutineAsk]) -> bool:
    """Whether who holds `held` follows open runs and presents none: to those a way there is shown.

    >>> [follows_alone(GRANTS[each]) for each in ("coach", "judge", "viewer", "copresenter")]
    [True, True, False, False]
    """
    return allows("follow", held, is_open=True) and "present" not in held


def allows(ask: Ask, held: frozenset[RoutineAsk], *, is_open: bool = False) -> bool:
    """Whether who holds `held` may have what asks `ask` of a routine.

    `is_open` says that the run in question is open to watchers just now.
    """
    return ask in held or (ask == "follow" and is_open and "follow-open" in held)
