"""What came of a tasting, in words."""

from collections.abc import Mapping

from server.domain.base.number_words import count
from server.domain.tasters.found_words import Findings, Verdict, WordFinding
from server.domain.tasters.taster_answers import STRENGTHS, WHEN
from server.domain.tasters.telling_apart import DifferenceOutcome
from server.web.tasters.results import Result

STUBS: Mapping[Verdict, tuple[str, str]] = {
    "found": ("holds", "Found"),
    "nobody": ("missed", "By nobody"),
    "unsure": ("open", "Not sure"),
}
"""Verdict on a word -> the sign of its stub and the word on it."""


def headline_of(result: Result) -> str:
    """What a tasting says, in one line."""
    if result.found is not None:
        return list_headline(result.found)
    return pair_headline(result.outcome, result.sitting.aim.alpha) if result.outcome else ""


def list_headline(found: Findings) -> str:
    """What a blind list says, in one line."""
    if not found.tasters:
        return "Nobody has tasted yet"
    if found.tasters == 1:
        return "One taster is no result yet"
    if found.tasters < found.fewest:
        return f"{found.tasters} tasters are too few to tell"
    words = f"{found.count('found')} of {count(len(found.stated), 'word')} found"
    missed = found.count("nobody")
    return f"{words}, {missed} by nobody" if missed else words


def pair_headline(seen: DifferenceOutcome, alpha: float) -> str:
    """What a test of two versions says, in one line."""
    if not seen.tasters:
        return "Nobody has tasted yet"
    if seen.tasters == 1:
        return "One taster is no result yet"
    if seen.kind == "triangle":
        return "They taste different" if seen.tells(alpha) else "No difference shown"
    if not seen.tells(alpha):
        return "No preference shown"
    return f"Version {'A' if 2 * seen.hits > seen.tasters else 'B'} is preferred"


def allowed_to_say(seen: DifferenceOutcome, alpha: float) -> tuple[str, ...]:
    """What a test of two versions allows one to say, a sentence each."""
    if not seen.tasters:
        return ()
    least, most = (round(100 * each) for each in (seen.least, seen.most))
    if seen.kind == "triangle":
        told = f"{seen.hits} of {seen.tasters} named the odd glass; {_by_chance(seen.p)}."
        share = f"Between {least} and {most} of 100 people can tell them apart."
        if not seen.tells(alpha):
            share = f"At most {most} of 100 people can tell them apart; perhaps none can."
        return told, _fewest(seen), share
    told = f"{seen.hits} of {seen.tasters} prefer version A; {_by_chance(seen.p)}."
    return told, _fewest(seen), f"Between {least} and {most} of 100 people would choose version A."


def _by_chance(p: float) -> str:
    return f"by chance alone that happens {chance_words(p)}"


def chance_words(p: float) -> str:
    """How often chance alone does as well.

    >>> chance_words(0.00004), chance_words(0.0188), chance_words(0.3), chance_words(1.0)
    ('less than once in 1,000 times', '19 times in 1,000', '30 times in 100', 'every time')
    """
    if p < 0.001:
        return "less than once in 1,000 times"
    if p < 0.1:
        return f"{round(1000 * p)} times in 1,000" if round(1000 * p) > 1 else "once in 1,000 times"
    return "every time" if p > 0.995 else f"{round(100 * p)} times in 100"


def _fewest(seen: DifferenceOutcome) -> str:
    if seen.needed_hits is None:
        return f"With {count(seen.tasters, 'taster')} nothing can be shown: let more taste."
    of = "to claim a difference" if seen.kind == "triangle" else "for one version to claim it"
    return f"Of {seen.tasters}, {seen.needed_hits} are needed {of}."


def finding_words(each: WordFinding) -> str:
    """What is known of a word: its bounds, when and how strongly it is found, chance."""
    low, high = round(100 * each.low), round(100 * each.high)
    parts = [f"{low} to {high} of 100 people"]
    if each.whens:
        when = max(each.whens, key=lambda moment: each.whens[moment])
        parts.append(f"mostly {'at the ' if when != 'nose' else 'on the '}{WHEN[when].lower()}")
    if each.strength is not None:
        parts.append(STRENGTHS[round(each.strength)].lower())
    if each.found and not each.asked.is_decoy:
        parts.append(f"by chance {chance_words(each.p)}")
    return ", ".join(parts)


def found_words(each: WordFinding) -> str:
    """How often a word was found.

    "found by 7 of 9"
    """
    if not each.found:
        return f"found by none of {each.tasters}"
    return f"found by {each.found} of {each.tasters}"
