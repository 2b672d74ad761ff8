"""What of a labelled text is told for sure, what is to be settled, and what is asked about."""

from collections import Counter
from dataclasses import replace

from server.domain.claims.finder import find_claims
from server.domain.claims.ledger import ledger
from tests.domain.claims import said


def counted(text):
    """("sure", "settle" or "asked", whether it is a claim) -> how many; "claims", "reached"."""
    case = said.case_of(text)
    told = ledger(case)
    places = {
        name: {(one.start, one.end, row.kind) for row in rows for one in row.sayings}
        for name, rows in (
            ("settle", [row for row in told.rows if row.is_open]),
            ("asked", told.perhaps),
        )
    }
    found = Counter(claims=len(text.labels))
    left = list(text.labels)
    finds = find_claims(case.passages, case.drinks, text.language)
    # What is hardly a claim is nobody's label that something surer has.
    for find in sorted(finds, key=lambda one: one.kind == "perhaps"):
        as_told = replace(find, kind="descriptor") if find.kind == "perhaps" else find
        place = find.start, find.end, as_told.kind
        is_shown = find.kind != "perhaps" or place in places["asked"]
        if find.kind == "ingredient" or not is_shown:
            continue
        wanted = next((one for one in left if said.agrees(as_told, one)), None)
        if wanted is not None:
            left.remove(wanted)
            found["reached"] += 1
        if find.kind == "descriptor" and not find.is_doubtful:
            found["sure", wanted is not None] += 1
        for name, each in places.items():
            found[name, wanted is not None] += place in each
    return found


def totals(*, locked, heard=False, names=said.CLASSES):
    """The same of all texts of one half, with how many of them are talks and asked about there."""
    every = Counter()
    for name in names:
        for text in said.read(name):
            if text.is_locked == locked:
                one = counted(said.as_heard(text) if heard else text)
                every += one
                if name.endswith("talks"):
                    every["talks"] += 1
                    every["asked in talks"] += one["asked", True] + one["asked", False]
    return every


def share(found, name):
    """Which share of what stands under a name are claims."""
    return found[name, True] / (found[name, True] + found[name, False])
