"""How well claims are found and judged, by class of sentence, open and locked half apart.

Each text in both forms: as it is written, and as speech is recognised, in lower case without marks.
Precision and recall of what is found, the share of texts without a claim that are left alone, and
verdicts that are wrong: contradicted though true, held though false.
"""

from tests.bench.figures import Figure
from tests.domain.claims import asked, said

_FORMS = tuple(
    (half, half == "locked", heard) for half in ("open", "locked") for heard in (False, True)
)


def measure(quick):
    """Each class in either half; `quick` changes nothing, it takes a second."""
    del quick
    for half, locked, heard in _FORMS:
        totals = said.totals(locked=locked, heard=heard)
        how = " as recognised" if heard else ""
        for name, tally in totals.items():
            if not tally.right + tally.missed:
                continue  # Of a half without a claim `quiet` tells.
            what = f"{name or 'all classes'}{how}, {half}"
            yield Figure(f"precision, {what}", round(tally.precision, 3), "", aim=aim(name))
            yield Figure(f"recall, {what}", round(tally.recall, 3), "", aim=aim(name))
        if heard:
            told = [found for _, _, found in said.planned_and_said(locked=locked)]
            of = f"words of the card found of {len(told)} said, as recognised, {half}"
            yield Figure(of, round(sum(told) / len(told), 3), "", aim="all")
        else:
            yield quiet(half, locked)
        yield from sureness(f"{how}, {half}", locked=locked, heard=heard)
        every = totals[None]
        share = 100 * len(every.wrong_verdicts) / every.verdicts
        of = f"of {every.verdicts}"
        yield Figure(f"wrong verdicts {of}{how}, {half}", round(share, 2), "%", aim="at most 1 %")


def sureness(what, *, locked, heard):
    """How far what is told for sure can be trusted, and what it costs to be asked the rest."""
    found = asked.totals(locked=locked, heard=heard)
    for name, words in (
        ("sure", "words told for sure that are claims"),
        ("settle", "claims to settle that are claims"),
        ("asked", "words asked about that are claims"),
    ):
        yield Figure(f"{words}{what}", round(asked.share(found, name), 3), "")
    reached = found["reached"] / found["claims"]
    yield Figure(f"recall with what is asked about{what}", round(reached, 3), "")
    each = found["asked in talks"] / found["talks"]
    yield Figure(f"words asked about in a talk{what}", round(each, 1), "")


def aim(name):
    return "at least 0.85" if name else "at least 0.95"


def quiet(half, locked):
    """The share of the texts that claim nothing in which nothing is found."""
    texts = [
        each
        for name in ("noclaim", "hill_noclaim", "fair_noclaim", "barge_noclaim")
        for each in said.read(name)
        if each.is_locked == locked
    ]
    left = sum(not said.tally(each).wrong for each in texts)
    return Figure(
        f"left alone of {len(texts)}, {half}", round(left / len(texts), 3), "", aim="0.85"
    )
