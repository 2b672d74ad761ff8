"""Sentences and whole talks by class, labelled by hand before rules were tuned; and their score.

A line of `said/` is one sentence (or a few) about the drink named above it; `talks.txt` has whole
talks, parted by those names. Claims stand in brackets: `[phrase|kind value @ingredient !verdict]`.

    [plum]  [honeyed|honey]          a descriptor, with its name where the phrase is another
    [-…] or |-word, |~word           said to be absent; said to be there within bounds
    |ml 40  |C -18  |% 46  |s <180   an amount, temperature, strength, time in s (< and > bounds)
    |serve 4  |1:15  |count 5 shake  serves, a ratio, a count of something else
    |free nuts  |only                free of something; made of nothing but what is named
    !t !f !o                         true of the recipe, false, or not to be told from it

A hash of each text tells whether it is of the open half, which rules may be tuned on, or of the
locked half, of which only totals are ever looked at.
"""

import re
from collections import Counter
from dataclasses import dataclass, field, replace
from functools import cache
from hashlib import sha256
from pathlib import Path

from server.domain.base.amounts import UNITS
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.claims.taxonomy import shipped
from tests.domain.claims.drinks.all_drinks import DRINKS, TIMES, facts

FOLDER = Path(__file__).with_name("said")
CLASSES = (
    "ellipsis", "ratios", "negation", "lacks", "noclaim", "temperature", "time", "languages",
    "taxonomy", "plain", "talks", "later_talks", "last_talks",
    "hill", "hill_compared", "hill_noclaim", "hill_talks",
    "fair_numbers", "fair_negation", "fair_lacks", "fair_noclaim", "fair_warmth", "fair_times",
    "fair_words", "fair_run_on", "fair_talks",
    "barge_numbers", "barge_negation", "barge_lacks", "barge_noclaim", "barge_warmth",
    "barge_words", "barge_run_on", "barge_talks",
    "quay", "quay_talks", "orchard", "orchard_talks", "desert", "desert_talks", "alp", "alp_talks",
    "ferry", "ferry_talks", "loft", "loft_talks", "mill", "mill_talks", "court", "court_talks",
    "tram", "tram_talks", "gable", "gable_talks",
)  # fmt: skip
PRACTICE = (
    "practice", "practice_talks", "practice_plain_talks", "practice_later_talks", "practice_fair",
    "practice_fair_more", "practice_fair_talks", "practice_fair_last_talks", "practice_figures",
    "practice_denials", "practice_measures", "practice_voices", "practice_voices_talks",
)  # fmt: skip
"""Classes that were written later, after the first tuning, and are open throughout."""

LEARNT_FROM = tuple(
    f"practice_{writer}{kind}"
    for writer in ("pier", "dune", "forge", "glade")
    for kind in ("", "_talks")
)
"""Classes of four more writers who did not know the finder: what is learnt is learnt from them
too, and nothing is measured by them."""

OPEN_WRITERS = ("quay", "orchard", "desert", "ferry", "loft", "mill", "court", "tram")
LOCKED_WRITERS = ("alp", "gable")
"""Ten who wrote without knowing the finder: eight to learn and tune from, two to be measured on."""

WHOLLY = {
    f"{writer}{kind}": half
    for half, writers in (("open", OPEN_WRITERS), ("locked", LOCKED_WRITERS))
    for writer in writers
    for kind in ("", "_talks")
}
"""Classes of one half alone."""

HELD = tuple(name for name in CLASSES if not name.startswith("barge") and name not in WHOLLY)
"""Classes whose figures must not fall. Those of the barge and of the ten writers came last: the
bench tells how they are read, and no test asks them to reach what the others do."""

COUNTED_AS = {"turn": "stir", "pulse": "pour", "stage": "pour", "filter": "strain"}
"""What some writers call what others call otherwise: a turn of the spoon is a stir."""

BRACKET = re.compile(r"\[([^\]|!]+?)\s*(?:\|([^\]!]*?))?\s*(?:!([tfo]))?\]")


@dataclass(frozen=True)
class Label:
    start: int
    end: int
    phrase: str
    kind: str
    word: str = ""
    polarity: str = "has"
    low: float = 0.0
    high: float = 0.0
    unit: str = ""
    bound: str = ""
    owner: str = ""
    verdict: str = ""


@dataclass(frozen=True)
class Said:
    drink_id: str
    language: str
    text: str
    labels: tuple[Label, ...]

    half: str = ""

    @property
    def is_locked(self):
        return (self.half or half_of(self.text)) == "locked"


def half_of(text):
    return "locked" if sha256(text.encode()).digest()[0] % 2 == 1 else "open"


@dataclass
class Tally:
    right: int = 0
    wrong: int = 0
    missed: int = 0
    owners_right: int = 0
    owners: int = 0
    verdicts: int = 0
    wrong_verdicts: list = field(default_factory=list)

    @property
    def precision(self):
        return self.right / ((self.right + self.wrong) or 1)

    @property
    def recall(self):
        return self.right / ((self.right + self.missed) or 1)

    def add(self, other):
        for name in ("right", "wrong", "missed", "owners_right", "owners", "verdicts"):
            setattr(self, name, getattr(self, name) + getattr(other, name))
        self.wrong_verdicts += other.wrong_verdicts


def read(name):
    """The sentences or talks of a class."""
    drink_id, language, found, talk = "", "en", [], []
    half = WHOLLY.get(name, "")
    for line in (FOLDER / f"{name}.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("# "):
            if talk:
                found.append(parsed("\n".join(talk).strip(), drink_id, language, half))
                talk = []
            drink_id, _, code = line[2:].partition(" ")
            language = code or "en"
        elif name.endswith("talks"):
            talk.append(line)
        elif line.strip():
            found.append(parsed(line, drink_id, language, half))
    return found + ([parsed("\n".join(talk).strip(), drink_id, language, half)] if talk else [])


def parsed(line, drink_id, language, half=""):
    text, labels, behind = "", [], 0
    for match in BRACKET.finditer(line):
        text += line[behind : match.start()]
        start = len(text)
        text += match[1]
        labels.append(label(start, len(text), match[1], match[2] or match[1], match[3] or ""))
        behind = match.end()
    return Said(drink_id, language, text + line[behind:], tuple(labels), half)


def as_heard(said):
    """The same as recognised speech writes it: lower case, without stops, commas and lines."""
    text, places = "", {}
    for at, character in enumerate(said.text):
        places[at] = len(text)
        is_mark = character in '.,;:!?…“”"()' and not _is_in_number(said.text, at)
        blank = is_mark or character.isspace() or character in "–—"
        if not blank:
            text += character.lower()
        elif text and not text.endswith(" "):
            text += " "
    places[len(said.text)] = len(text)
    labels = tuple(
        replace(one, start=places[one.start], end=places[one.end]) for one in said.labels
    )
    return replace(said, text=text.rstrip(), labels=labels, half=said.half or half_of(said.text))


def _is_in_number(text, at):
    return text[at - 1 : at].isdigit() and text[at + 1 : at + 2].isdigit()


def label(start, end, phrase, spec, verdict):
    spec, _, owner = (part.strip() for part in spec.partition("@"))
    kind, _, value = spec.partition(" ")
    if kind == "only":
        return Label(start, end, phrase, "only", verdict=verdict)
    if kind == "free":
        return Label(start, end, phrase, "free", word=value, polarity="lacks", verdict=verdict)
    if re.fullmatch(r"[\d.]+:[\d.]+", kind):
        low, high = map(float, kind.split(":"))
        return Label(start, end, phrase, "ratio", low=low, high=high, verdict=verdict)
    kinds = {"C": "temperature", "F": "temperature", "%": "strength", "s": "time"}
    kinds |= {"serve": "serves", "count": "count"} | dict.fromkeys(UNITS, "amount")
    if kind in kinds and value:
        number, _, unit = value.partition(" ")
        bound = {"<": "under", ">": "over"}.get(number[0], "")
        ends = re.fullmatch(r"(-?[\d.]+?)(?:-(-?[\d.]+))?", number.lstrip("<>"))
        low = float(ends[1])
        high = float(ends[2]) if ends[2] else low
        unit = unit or kind
        return Label(
            start, end, phrase, kinds[kind], low=low, high=high, unit=unit, bound=bound,
            owner=owner, verdict=verdict,
        )  # fmt: skip
    polarity = {"-": "lacks", "~": "some"}.get(spec[0], "has")
    return Label(
        start, end, phrase, "descriptor", spec.lstrip("-~"), polarity, verdict=verdict
    )  # fmt: skip


def agrees(find, wanted):
    """The same kind and content, at an overlapping place."""
    if find.kind != wanted.kind or find.end <= wanted.start or wanted.end <= find.start:
        return False
    if wanted.kind == "only":
        return True
    if wanted.kind == "free":
        return find.word == wanted.word
    if wanted.kind == "descriptor":
        return find.polarity == wanted.polarity and is_same(find.word, wanted.word)
    if wanted.kind == "ratio":
        return abs((find.low or 0) * wanted.high - (find.high or 0) * wanted.low) < 1e-6
    values = {(find.low, find.high)} | {(value, value) for value in find.also}
    units = [COUNTED_AS.get(each.unit, each.unit) for each in (find, wanted)]
    near = any(
        abs(low - wanted.low) <= 0.01 * max(1, abs(wanted.low))
        and abs(high - wanted.high) <= 0.01 * max(1, abs(wanted.high))
        for low, high in values
    )
    bound = find.bound if find.bound in ("under", "over") else ""
    return near and units[0] == units[1] and bound == wanted.bound


def is_same(word, labelled):
    taxonomy = shipped()
    placed = taxonomy.resolve(labelled)
    if placed is None:
        return taxonomy.stems(word) == taxonomy.stems(labelled)
    return placed in (taxonomy.resolve(word), *taxonomy.ancestors(word)[:1])


def case_of(said):
    """A text with the drink it is about, as it is checked."""
    drink = DRINKS[said.drink_id]
    passage = Passage("s", said.text, drink.id)
    return ScriptCase((passage,), (drink,), said.language, facts(drink), TIMES)


def compared(said):
    """(label, find or None) and (None, find) for all claims of a text, with each find's state."""
    case = case_of(said)
    every = find_claims(case.passages, case.drinks, said.language)
    finds = [find for find in every if find.kind not in ("ingredient", "perhaps")]
    found = ledger(case)
    states = {
        (place.start, place.end, row.kind): row.state if row.is_checked else "unchecked"
        for row in found.every
        for place in row.sayings
    }
    left, pairs = list(said.labels), []
    for find in finds:
        wanted = next((one for one in left if agrees(find, one)), None)
        if wanted is not None:
            left.remove(wanted)
        pairs.append((wanted, find, states.get((find.start, find.end, find.kind), "")))
    return pairs + [(one, None, "") for one in left]


@cache
def tally(said):
    """How a text was read; several figures are made of it, so that it is only looked at."""
    counted = Tally()
    for wanted, find, state in compared(said):
        counted.right += wanted is not None and find is not None
        counted.wrong += wanted is None
        counted.missed += find is None
        if wanted is None or find is None:
            continue
        if wanted.owner:
            counted.owners += 1
            counted.owners_right += find.ingredient_ids[:1] == (wanted.owner,)
        if wanted.verdict:
            counted.verdicts += 1
            if is_wrong_verdict(wanted.verdict, state):
                counted.wrong_verdicts.append((said.text, wanted.phrase, wanted.verdict, state))
    return counted


def is_wrong_verdict(truth, state):
    """Contradicted though true, held though false; either where nobody can tell."""
    return state == "contradicted" if truth == "t" else (
        state == "backed" if truth == "f" else state in ("contradicted", "backed")
    )  # fmt: skip


def planned_and_said(*, locked, names=CLASSES):
    """(text as heard, phrase, whether it is found) for each word of a card literally said."""
    for name in (*names, *PRACTICE):
        for said in map(as_heard, read(name)):
            if said.is_locked is not locked:
                continue
            drink = DRINKS[said.drink_id]
            card = {word.casefold() for word in drink.descriptors}
            finds = find_claims([Passage("s", said.text, drink.id)], (drink,), said.language)
            places = [(one.start, one.end) for one in finds if one.kind == "descriptor"]
            for one in said.labels:
                if one.kind == "descriptor" and one.phrase.casefold() in card:
                    is_found = any(start < one.end and one.start < end for start, end in places)
                    yield said.text, one.phrase, is_found


def totals(*, locked, heard=False, names=CLASSES):
    """Class -> its tally, in one half; `None` -> all together. `heard`: as it is recognised."""
    found, every = {}, Tally()
    for name in names:
        found[name] = Tally()
        for said in read(name):
            if said.is_locked == locked:
                one = tally(as_heard(said) if heard else said)
                found[name].add(one)
                every.add(one)
    return {**found, None: every}


def kinds(*, locked):
    """Kind -> (right, wrong, missed) in one half."""
    found = {}
    for name in CLASSES:
        for said in read(name):
            if said.is_locked == locked:
                for wanted, find, _ in compared(said):
                    counted = found.setdefault((wanted or find).kind, Counter())
                    counted["right" if wanted and find else "missed" if wanted else "wrong"] += 1
    return found
