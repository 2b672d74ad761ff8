"""How well claims are found and judged, by class of sentence, open and locked half apart.

Precision and recall of what is found, the share of texts without a claim that are left alone, and
verdicts that are wrong: contradicted though true, held though false.
"""

from tests.bench.figures import Figure
from tests.domain.claims import said


def measure(quick):
    """Each class in either half; `quick` changes nothing, it takes a second."""
    del quick
    for half, locked in (("open", False), ("locked", True)):
        totals = said.totals(locked=locked)
        for name, tally in totals.items():
            what = f"{name or 'all classes'}, {half}"
            yield Figure(f"precision, {what}", round(tally.precision, 3), "", aim=aim(name))
            yield Figure(f"recall, {what}", round(tally.recall, 3), "", aim=aim(name))
        yield quiet(half, locked)
        every = totals[None]
        share = 100 * len(every.wrong_verdicts) / every.verdicts
        of = f"of {every.verdicts}"
        yield Figure(f"wrong verdicts {of}, {half}", round(share, 2), "%", aim="at most 1 %")


def aim(name):
    return "at least 0.85" if name else "at least 0.95"


def quiet(half, locked):
    """The share of the texts that claim nothing in which nothing is found."""
    texts = [each for each in said.read("noclaim") if each.is_locked == locked]
    left = sum(not said.tally(each).wrong for each in texts)
    return Figure(
        f"left alone of {len(texts)}, {half}", round(left / len(texts), 3), "", aim="0.85"
    )
