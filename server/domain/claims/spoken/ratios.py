"""Ratios in words: "one to fifteen", "1:15", "equal parts", "twice as much tea as gin".

A ratio is a quantity whose `low` stands to its `high`: "one to fifteen" is 1 to 15.
"""

from collections.abc import Mapping, Sequence
from functools import cache
from itertools import pairwise

from server.domain.base.languages import Language, supported
from server.domain.base.tokens import Token, places_of
from server.domain.claims.mentions import Mention
from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber, is_cardinal
from server.domain.claims.spoken.in_parts import parts_to_one, parts_to_parts, ratio

CUES = frozenset(
    [
        "ratio", "ratios", "proportion", "proportions", "parts", "brew", "brewed", "brews",
        "brewing", "syrup", "dose", "against", "mix", "mixed", "dilute", "diluted", "water",
        "ratio's", "stand", "stands", "verhältnis", "rapport", "proportion", "proporción",
        "rapporto", "proporzione", "proporção", "razão"
    ]
)  # fmt: skip
CLOCK = frozenset(
    [
        "takes", "take", "took", "runs", "run", "ran", "time", "timer", "minutes", "clock", "stop",
        "stops", "until", "after", "stopwatch", "lasts", "done", "dauert", "läuft", "dure", "dura",
        "tarda", "minuti", "minutos"
    ]
)  # fmt: skip
BEHIND = frozenset(
    [
        "brew", "ratio", "syrup", "mix", "blend", "and", "with", "of", "for", "in", "on", "by",
        "that", "which", "is", "are", "from", "as", "against", "so", "not", "but", "or", "then",
        "coffee", "water"
    ]
)  # fmt: skip
"""Words that may follow a ratio at once; another noun would be what the numbers count."""

TIMES = {"twice": 2.0, "double": 2.0, "half": 0.5, "thrice": 3.0, "triple": 3.0}


def ratios_in(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    found: Sequence[Quantity],
    lang: Language,
    mentions: Sequence[Mention] = (),
    *,
    runs_on: bool = False,
) -> list[Quantity]:
    """The ratios of a sentence (first token, end), in order; `mentions` are what it names,
    `runs_on` whether the text has no marks at all.
    """
    words = frozenset(token.norm for token in tokens[span[0] : span[1]])
    busy = places_of(found)
    ratios = [
        *_pairs(tokens, span, numbers, busy, words, lang, runs_on=runs_on),
        *parts_to_parts(tokens, found),
    ]
    ratios += parts_to_one(tokens, span, numbers, found)
    if lang.code == "en":
        ratios += _of_each(tokens, span, numbers, busy)
    ratios += _phrases_in(tokens, span, lang)
    if lang.code == "en" and "as" in words:
        ratios += _times_as_much(tokens, span, numbers)
        ratios += _as_much(tokens, span, mentions)
    ratios.sort(key=lambda each: (each.first, -each.end))
    kept: list[Quantity] = []
    for each in ratios:
        if not kept or each.first >= kept[-1].end:
            kept.append(each)
    return kept


def _pairs(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    busy: set[int],
    words: frozenset[str],
    lang: Language,
    *,
    runs_on: bool,
) -> list[Quantity]:
    found = []
    for left, right in pairwise(numbers):
        if left.first in busy or right.first in busy or right.value <= 0 or left.value <= 0:
            continue
        between = tokens[left.end : right.first]
        gap = tokens[right.first].gap
        if not between and gap == ":" and not left.is_word and not right.is_word:
            found += _by_colon(tokens, left, right, words)
        elif [one.norm for one in between] == ["for"] and "ratio" in words:
            if tokens[left.first - 1].norm == "of":
                # "A ratio of one for fifteen."
                found.append(ratio(left.first, right.end, left.value, right.value))
        elif [one.norm for one in between] == ["is", "to"] and right.value <= _MOST_WATER:
            # "One is to one", as it is said in India.
            found.append(ratio(left.first, right.end, left.value, right.value))
        elif len(between) == 1 and between[0].norm in lang.ratio_join:
            if between[0].norm == "against" and not words.isdisjoint(_OF_WARMTH):
                # "Colder than the coffee, eight against twelve."
                continue
            joined = not between[0].gap.strip("-") and not gap.strip("-")
            is_told = _is_ratio(tokens, span, left, right, words)
            is_told = is_told or (runs_on and _is_of_one(tokens, span, left, right))
            if joined and is_told:
                found.append(ratio(left.first, right.end, left.value, right.value))
    return found


_OF_WARMTH = frozenset(
    {
        "colder",
        "warmer",
        "hotter",
        "cooler",
        "degrees",
        "degree",
        "minus",
        "temperature",
        "stronger",
    }
)


def _by_colon(
    tokens: Sequence[Token], left: SaidNumber, right: SaidNumber, words: frozenset[str]
) -> list[Quantity]:
    is_clock = len(tokens[right.first].norm) == 2 and right.value < 60
    tells_time = bool(words & CLOCK) and not words & {"ratio", "verhältnis", "proportion"}
    if is_clock and (tells_time or 1 not in (left.value, right.value)) and not words & {"ratio"}:
        if words & {"am", "pm", "o'clock"}:
            return []
        seconds = left.value * 60 + right.value
        return [Quantity("time", left.first, right.end, seconds, seconds, "s")]
    return [ratio(left.first, right.end, left.value, right.value)]


def _is_of_one(
    tokens: Sequence[Token], span: tuple[int, int], left: SaidNumber, right: SaidNumber
) -> bool:
    """ "it's made one to ten it steeps": what runs on behind a ratio of one is no noun of it."""
    before = tokens[left.first - 1].norm if left.first > span[0] else ""
    after = tokens[right.end].norm if right.end < span[1] else ""
    counts = after.endswith("s") and after not in _NO_PLURALS
    is_small = 1 in (left.value, right.value) and max(left.value, right.value) <= _MOST_WATER
    return is_small and not counts and before not in ("from", "between", "of", "page", "scale")


_NO_PLURALS = frozenset(
    {"it's", "that's", "this", "is", "has", "there's", "was", "as", "us", "what's"}
)
_MOST_WATER = 60.0


def _is_ratio(
    tokens: Sequence[Token],
    span: tuple[int, int],
    left: SaidNumber,
    right: SaidNumber,
    words: frozenset[str],
) -> bool:
    before = tokens[left.first - 1].norm if left.first > span[0] else ""
    if before in ("from", "between", "von", "zwischen", "de", "entre", "da", "tra") and not (
        words & CUES
    ):
        return False
    after = tokens[right.end] if right.end < span[1] else None
    ends = after is None or bool(after.gap.strip("-")) or after.norm in BEHIND
    hyphened = tokens[right.first].gap == "-"
    behind = [token.norm for token in tokens[right.end + 1 : min(right.end + 3, span[1])]]
    if before == "at" and 1 in (left.value, right.value) and words & CUES:
        # "Brewed at one to sixteen a moment ago."
        return True
    goes_on = "to" in behind or (after is not None and is_cardinal(after.norm, "en"))
    if not ends and 1 in (left.value, right.value) and goes_on:
        # "Three to one rye to vermouth", "two to one ten millilitres": said without a pause.
        return True
    if not ends and not hyphened:
        return bool(words & {"ratio", "parts", "verhältnis"})
    if sum(token.norm == "to" for token in tokens[span[0] : span[1]]) > 1 and ends:
        # "Five to three, plum to pear."
        return True
    return hyphened or 1 in (left.value, right.value) or bool(words & CUES) or _names_two(words)


def _names_two(words: frozenset[str]) -> bool:
    """ "gin to lime is three to two": "to" stands twice and something "is"."""
    return "is" in words and "to" in words


def _of_each(
    tokens: Sequence[Token],
    span: tuple[int, int],
    numbers: Sequence[SaidNumber],
    busy: set[int],
) -> list[Quantity]:
    """ "one of rum to three of apple": small numbers of two things."""
    ratios = []
    for left, right in pairwise(numbers):
        is_near = 3 <= right.first - left.end <= 5 and right.end < span[1]
        small = 0 < left.value <= _MOST_PARTS and 0 < right.value <= _MOST_PARTS
        if not is_near or not small or {left.first, right.first} & busy:
            continue
        words = [token.norm for token in tokens[left.end : right.end + 1]]
        if words[0] == words[-1] == "of" and tokens[right.first - 1].norm == "to":
            ratios.append(ratio(left.first, right.end, left.value, right.value))
    return ratios


_MOST_PARTS = 20.0


def _phrases_in(tokens: Sequence[Token], span: tuple[int, int], lang: Language) -> list[Quantity]:
    known = _equal(lang.code)
    found = []
    for at in range(*span):
        for phrase in known.get(tokens[at].norm, ()):
            stop = at + len(phrase)
            said = tuple(token.norm for token in tokens[at:stop])
            if said == phrase and stop <= span[1]:
                found.append(ratio(at, stop, 1.0, 1.0))
    return found


@cache
def _equal(code: str) -> Mapping[str, tuple[tuple[str, ...], ...]]:
    phrases = [tuple(phrase.split()) for phrase in supported(code).equal_parts]
    return {
        phrase[0]: tuple(each for each in phrases if each[0] == phrase[0]) for phrase in phrases
    }


def _times_as_much(
    tokens: Sequence[Token], span: tuple[int, int], numbers: Sequence[SaidNumber]
) -> list[Quantity]:
    """ "twice as much", "three times as much", "half as much"."""
    times = {number.end: number for number in numbers}
    found = []
    for at in range(span[0] + 1, span[1] - 1):
        if tokens[at].norm != "as" or tokens[at + 1].norm not in ("much", "many"):
            continue
        before = tokens[at - 1].norm
        first, factor = at - 1, TIMES.get(before)
        if before == "times" and at - 1 in times:
            first, factor = times[at - 1].first, times[at - 1].value
        if at in times and 0 < times[at].value < 1:
            # "A third as much lime as rum."
            first, factor = times[at].first, times[at].value
        if factor:
            low, high = (factor, 1.0) if factor >= 1 else (1.0, 1.0 / factor)
            found.append(ratio(first, at + 2, low, high))
    return found


_ALIKE = (("as", "much"), ("as", "many"))


def _as_much(
    tokens: Sequence[Token], span: tuple[int, int], mentions: Sequence[Mention]
) -> list[Quantity]:
    """ "exactly as much milk in it as tea"."""
    found = []
    for one, other in pairwise(mentions):
        if not one.ingredient_ids:
            continue
        between = [token.norm for token in tokens[one.end : other.first]]
        at = one.first - 1
        while at > span[0] and tokens[at].norm in ("of", "the"):
            at -= 1
        if at <= span[0] or "as" not in between or other.first - one.end > _FARTHEST_AS:
            continue
        before = tokens[at - 2].norm if at - 2 >= span[0] else ""
        is_times = before in (*TIMES, "times", "not", "third", "quarter", "half")
        if (tokens[at - 1].norm, tokens[at].norm) in _ALIKE and not is_times:
            is_free = not before.endswith("n't") and not tokens[at].gap
            found += [ratio(at - 1, at + 1, 1.0, 1.0)] if is_free else []
    return found


_FARTHEST_AS = 6
