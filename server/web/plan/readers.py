"""The plan as those see it who may read it, and are shown nothing of its runs."""

from sqlmodel import Session

from server.domain.belief.words_pace import learn_paces
from server.domain.routine.rules import RuleSheet
from server.store.routines import StoredRoutine
from server.web.frame.offered.links import may
from server.web.plan.outlook import Outlook, Outlooks


def seen_outlook(
    outlooks: Outlooks, session: Session, stored: StoredRoutine, rules: RuleSheet
) -> Outlook:
    """The outlook of a routine as far as whoever asks may see it.

    What runs taught is for those who may study them; for others the plan stands by its own
    durations, and its words go at the pace of public talks.
    """
    if may("study"):
        return outlooks.of(session, stored, rules)
    return Outlook(stored.routine, rules, learn_paces(()), ())
