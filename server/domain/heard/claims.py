"""What the judges heard of each planned claim.

*Heard* is only what stands word for word in the plain transcript, where the script or the grammar
shows that it was said of the drink. *Listen* is what may have been said, and every number that
differs: a person decides by the clip. *Not heard* needs a transcript that tells.
"""

from server.domain.claims.due import due_claims
from server.domain.claims.finder import find_claims
from server.domain.claims.ledger import Ledger
from server.domain.claims.rows import ScriptCase
from server.domain.heard.alignment import Alignment
from server.domain.heard.hearing import HEARINGS as HEARINGS
from server.domain.heard.hearing import HeardClaim as HeardClaim
from server.domain.heard.hearing import HeardClaims as HeardClaims
from server.domain.heard.hearing import Hearing as Hearing
from server.domain.heard.listening import Listener
from server.domain.heard.passages import heard_passages
from server.domain.heard.phrases import Talk
from server.domain.heard.unplanned import unplanned
from server.domain.heard.words import Transcript
from server.domain.routine.routine import Routine


def hear_claims(
    routine: Routine, case: ScriptCase, ledger: Ledger, transcript: Transcript, alignment: Alignment
) -> HeardClaims:
    """What was heard of the claims of a script: its `case` and its `ledger`."""
    talk = Talk(transcript, alignment, routine.language)
    passages = heard_passages(routine, transcript, alignment)
    finds = find_claims(
        [each.passage for each in passages], case.drinks, case.language, case.own_words
    )
    script_finds = find_claims(case.passages, case.drinks, case.language, case.own_words)
    listener = Listener(routine, ledger, talk, passages, finds, script_finds)
    planned = [listener.descriptor(due) for due in due_claims(routine, ledger)]
    planned += [
        listener.spoken(row)
        for row in ledger.rows
        if row.kind != "descriptor" and row.sayings and not row.in_hands
    ]
    order = {segment.id: number for number, segment in enumerate(routine.segments)}
    planned.sort(key=lambda each: order.get(each.segment_id or "", len(order)))
    return HeardClaims(
        tuple(planned),
        unplanned(case, ledger, talk, passages),
        alignment.improvised,
        alignment.quality.why,
    )
