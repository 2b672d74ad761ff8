"""Claims that were said and not planned: found in what was heard, held against the glass."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.base.languages import supported
from server.domain.claims.ledger import Ledger, ledger
from server.domain.claims.lexicon import taxonomy_for
from server.domain.claims.planned_claims import covers
from server.domain.claims.rows import LedgerRow, ScriptCase
from server.domain.claims.sayings import Saying
from server.domain.heard.hearing import HeardClaim
from server.domain.heard.passages import HeardPassage
from server.domain.heard.phrases import Talk


def unplanned(
    case: ScriptCase, planned: Ledger, talk: Talk, passages: Sequence[HeardPassage]
) -> tuple[HeardClaim, ...]:
    """The claims in the talk that script and drinks do not have, each to be listened to.

    `why` tells what the glass says of it.
    """
    said = ledger(
        replace(case, passages=tuple(each.passage for each in passages), corrections=(), hands=())
    )
    by_segment = {each.passage.segment_id: each for each in passages}
    exact = _script_places(talk)
    found = []
    for row in said.rows:
        if not row.sayings or row.in_hands or _is_planned(row, planned, case):
            continue
        for saying in row.sayings:
            first, stop = by_segment[saying.segment_id].words_of(saying.start, saying.end)
            # Words that the script has there too are no news, however they are found now.
            if not set(range(first, stop)) <= exact:
                found.append(_news(row, saying, talk, first, stop))
                break
    return tuple(found)


def _is_planned(row: LedgerRow, planned: Ledger, case: ScriptCase) -> bool:
    """Whether the script or the card has the claim, in these words or like ones."""
    if any(row.key == each.key for each in planned.rows):
        return True
    if row.kind != "descriptor":
        return False
    taxonomy = taxonomy_for(supported(case.language).code, case.own_words)
    return any(
        each.kind == "descriptor"
        and each.drink_id in (row.drink_id, None)
        and covers(row.word, each.word or each.label, taxonomy)
        and (row.polarity == "lacks") == (each.polarity == "lacks")
        for each in planned.rows
    )


def _script_places(talk: Talk) -> set[int]:
    """The words of the talk that are the very words of the script."""
    return {
        place for match in talk.alignment.matched for at, place in match.pairs if at in match.exact
    }


def _news(row: LedgerRow, saying: Saying, talk: Talk, first: int, stop: int) -> HeardClaim:
    start_s, end_s = talk.clip(first, stop) or (None, None)
    return HeardClaim(
        row.key, row.label, row.kind, row.drink_id, saying.segment_id, "listen", row.why[0],
        talk.text(first, stop), start_s, end_s,
    )  # fmt: skip
