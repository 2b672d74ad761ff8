"""What the page of one tasting says of it, line by line."""

from collections.abc import Sequence
from dataclasses import dataclass

from server.domain.base.number_words import count
from server.domain.base.text import LINE, plain_name
from server.domain.risk.saying import in_a_hundred
from server.domain.routine.drink import Drink
from server.domain.tasters.exact import LEVEL
from server.domain.tasters.found_words import Findings, WordFinding, beside
from server.domain.tasters.sitting import KINDS, Sitting, recipe_key
from server.domain.tasters.telling_apart import needed, power
from server.store.tastings.tasters import Taster
from server.web.frame.filters import day
from server.web.tasters.conclusion import STUBS, allowed_to_say, chance_words, finding_words
from server.web.tasters.results import Result, TasterLine, in_both, odd_tasters

NAMED_AT_MOST = 3
"""Who found a word, or did not, is named where they are no more than so many."""

LEAST_WORDS, LEAST_TASTERS = 2, 4
"""Of fewer it is not told whether words are found unequally often: chance does that too easily."""


@dataclass(frozen=True)
class WordLine:
    """A word and how often it was found; the bounds in hundredths, for its strip."""

    word: str
    found: str
    detail: str
    stub: str
    verdict: str
    low: int
    share: int
    high: int


@dataclass(frozen=True)
class BesideLine:
    """A word in this tasting and in another."""

    word: str
    here: str
    there: str
    verdict: str


def beneath_of(result: Result) -> str:
    """What it is called, of what it was, when, and how many tasted."""
    sitting = result.sitting
    names = " and ".join(dict.fromkeys(drink.name for drink in sitting.drinks))
    told = f"{KINDS[sitting.kind]}: {names}, {day(sitting.made_ms)}"
    # One that nobody named is called by its drinks.
    called = "" if sitting.name == names[:LINE] else f"{sitting.name}. "
    return f"{called}{told}, {count(result.tasters, 'taster')}"


def notices_of(
    sitting: Sitting, drinks: Sequence[Drink], lines: Sequence[TasterLine]
) -> tuple[str, ...]:
    """What one must know before one reads the result."""
    known = {drink.id: recipe_key(drink) for drink in drinks}
    found = [
        f"“{drink.name}” was {'changed' if drink.id in known else 'deleted'} since: what stands "
        "here is true of the version that was tasted."
        for drink in sitting.drinks
        if known.get(drink.id) != recipe_key(drink)
    ]
    decoys = sum(each.is_decoy for each in sitting.words)
    if decoys < sitting.decoys_wanted:
        found.append(
            f"Only {count(decoys, 'decoy')} of {sitting.decoys_wanted} wanted: no more fit."
        )
    if odd := odd_tasters(lines):
        found.append(
            f"{count(odd, 'taster')} ticked everything or nothing: such a card tells no words "
            "apart. Keep it apart below, if you think so too."
        )
    again = sum(each.taster.joins > 1 for each in lines)
    if again:
        found.append(f"{count(again, 'phone')} joined more than once: each counts as one taster.")
    return tuple(found)


def word_line(each: WordFinding, result: Result) -> WordLine:
    """A word as a line."""
    stub, verdict = STUBS[each.verdict]
    told = (finding_words(each), who_found(each, result)) if each.tasters else ()
    return WordLine(
        word=each.word,
        found=f"{each.found} of {each.tasters}",
        detail="; ".join(filter(None, told)),
        stub=stub,
        verdict=verdict,
        low=round(100 * each.low),
        share=hundredths(each.found, each.tasters),
        high=round(100 * each.high),
    )


def who_found(each: WordFinding, result: Result) -> str:
    """Who of the tasters that count found a word, or did not; "" where that are many, or all."""
    place = result.sitting.words.index(each.asked)
    counted = [taster for taster in result.people if taster.counts]
    named = {taster.key: _name_of(taster, counted) for taster in counted}
    found = [named[taster.key] for taster in counted if taster.answer.has(place)]
    missed = [named[taster.key] for taster in counted if not taster.answer.has(place)]
    if not found or not missed:
        return ""
    if len(found) <= NAMED_AT_MOST:
        return f"found by {', '.join(found)}"
    return f"not by {', '.join(missed)}" if len(missed) <= NAMED_AT_MOST else ""


def _name_of(taster: Taster, others: Sequence[Taster]) -> str:
    """A name, with the taster's number where somebody else has it too."""
    alike = [each for each in others if plain_name(each.name) == plain_name(taster.name)]
    return taster.name if len(alike) == 1 else f"{taster.name} ({taster.place})"


def hundredths(part: int, whole: int) -> int:
    """A part of a whole in hundredths; 0 of nothing."""
    return round(100 * part / whole) if whole else 0


def decoys_told(found: Findings) -> str:
    """How often decoys were ticked, and whether some words are found more often than others."""
    line = "The upright line on each strip is that rate."
    if not found.decoys_shown:
        return f"{count(len(found.decoys), 'decoy')} stand among them. {line}"
    rate = in_a_hundred(found.decoy_ticks / found.decoys_shown)
    told = f"Decoys are ticked {rate}: {found.decoy_ticks} of {found.decoys_shown} times. {line}"
    if found.tasters < found.fewest:
        few = f"With {count(found.tasters, 'taster')} no word can be told from a lucky guess"
        return f"{told} {few}, even if all find it: let {found.fewest} or more taste."
    if len(found.stated) < LEAST_WORDS or found.tasters < LEAST_TASTERS:
        return told
    apart = "Some words are found more often than others"
    if found.apart_p > LEVEL:
        apart = "No word is surely found more often than another"
    return f"{told} {apart}: chance sets them so far apart {chance_words(found.apart_p)}."


def told_of(result: Result) -> tuple[str, ...]:
    """What a test of two versions allows one to say, and what it was planned for."""
    sitting, seen = result.sitting, result.outcome
    if seen is None or sitting.kind == "list":
        return ()
    aim = sitting.aim
    wanted = needed(sitting.kind, aim)
    shown = round(100 * power(sitting.kind, len(sitting.sets), aim))
    plan = (
        f"For a difference that {round(100 * aim.pd)} in 100 can tell, {wanted} tasters are "
        f"needed; with the {len(sitting.sets)} planned it shows in {shown} of 100 tastings."
    )
    return (*allowed_to_say(seen, aim.alpha), plan)


def others_of(sittings: Sequence[Sitting], sitting: Sitting) -> list[Sitting]:
    """Blind lists that ask for a word of this one too, of this version or another."""
    mine = _stated(sitting)
    return [each for each in sittings if each.id != sitting.id and mine & _stated(each)]


def _stated(sitting: Sitting) -> set[str]:
    return {each.word.casefold() for each in sitting.words if not each.is_decoy}


def beside_lines(here: Result, there: Result) -> tuple[BesideLine, ...]:
    """The words of two blind lists side by side."""
    found, other = here.found, there.found
    if found is None or other is None:
        return ()
    return tuple(
        BesideLine(
            each.word,
            f"{each.one.found} of {each.one.tasters}",
            f"{each.other.found} of {each.other.tasters}",
            f"differs, by chance {chance_words(each.p)}" if each.differs else "no difference shown",
        )
        for each in beside(found, other, in_both(here, there))
    )
