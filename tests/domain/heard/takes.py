"""Invented takes of the three routines, labelled by how they are made.

A take is made in two steps. First what is said, sentence by sentence with its pauses: from the
script, with sentences left out, changed, swapped, improvised. From that come the labels. Then what
a recogniser makes of it: words misheard as others that sound like them, dropped, doubled, digits
for numbers, times that shake, no punctuation. Half of the takes are locked: rules are tuned on the
others, and only totals of the locked ones are ever looked at.
"""

import random
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import cache
from itertools import pairwise

from server.domain.base.tokens import sentences_of
from server.domain.claims.due import due_claims
from server.domain.heard.plain_words import plain_words
from tests.domain.heard.routines import ALL_ROUTINES, ROUTINES, checked

HOST_BEFORE = (
    "Welcome back to the second half of our evening.", "Please give a big hand to our next guest.",
    "The judges are ready and the table is set.", "Are you ready, then the floor is yours.",
)  # fmt: skip
HOST_AFTER = (
    "What a performance, thank you very much.", "We will take a short break while the judges "
    "write.",
    "Please stay in your seats, there is more to come.",
)  # fmt: skip
IMPROVISED = (
    "I see some of you have your coats on already, I promise it gets warmer.",
    "My mother always said that I talk too much, so let us go on.",
    "You can hear the rain on the roof now, which suits the story.",
    "That was louder than I expected it to be.",
    "By the way this towel is older than my car.",
    "Somebody in the front row is smiling, that helps.",
)  # fmt: skip
MISHAPS = (
    "Oh, I am sorry, that spoon fell down, let me take another one.",
    "Excuse me, the shaker does not want to open, one moment please.",
    "And there goes the ice, that happens, I will clean it later.",
)  # fmt: skip
NEAR = {
    "dried apricot": "dried apple", "smoke": "soap", "ginger": "cinnamon", "sea salt": "sea shells",
    "roasted pineapple": "roasted peach", "black tea": "green tea", "almond": "hazelnut",
    "ripe pear": "ripe plum", "baked apple": "baked banana", "juniper": "jasmine",
    "quince": "peach", "white pepper": "white grape", "dark chocolate": "dark cherry",
    "walnut": "peanut", "orange peel": "lemon peel", "jasmine": "lavender",
    "blackcurrant": "blackberry",
}  # fmt: skip
"""A descriptor -> another that is said for it by mistake."""

WRONG = {
    "Forty": "Fourteen", "ninety": "nineteen", "Fifteen": "Fifty", "fifty": "sixty",
    "sixty": "sixteen", "thirty": "thirteen", "Twenty": "Thirty", "Eighty": "Eighteen",
}  # fmt: skip
"""A number of the script -> another that is said for it."""


@dataclass(frozen=True)
class Utterance:
    """A sentence as it is said. Of the script's where `segment` and `sentence` say so."""

    text: str
    gap_s: float = 0.5
    segment: int | None = None
    sentence: int | None = None
    kind: str = "script"
    stops: tuple[tuple[int, float], ...] = ()
    """Pauses inside it: (before word, s)."""


@dataclass(frozen=True)
class Noise:
    """A recogniser: shares of words misheard, dropped and doubled, and how its times shake."""

    wrong: float = 0.05
    dropped: float = 0.02
    doubled: float = 0.01
    shake_s: float = 0.06
    early: float = 0.1
    """Share of words after a pause whose start is told too early."""


@dataclass
class Take:
    """What is said in a take, and the labels that follow from it."""

    name: str
    routine_id: str
    seed: int
    said: list[Utterance]
    noise: Noise
    is_locked: bool
    call_first: bool = False
    words: list[tuple[str, float, float, int]] = field(default_factory=list)
    """Each word as it was said, its times, and its utterance."""
    has_ends: bool = True
    """Whether the ends of its words are known."""

    @property
    def routine(self):
        return ALL_ROUTINES[self.routine_id]

    def starts_s(self):
        """Segment index -> when its first word was said; those that were left out have none."""
        starts = {}
        for _, start_s, _, number in self.words:
            one = self.said[number]
            if one.kind == "script" and one.segment not in starts:
                starts[one.segment] = start_s
        return starts

    def edges_s(self):
        """When the clock started and stopped: at the call for it, else with the script's words."""
        script = [word for word in self.words if self.said[word[3]].kind == "script"]
        (_, start_s, _, first), (_, _, finish_s, last) = script[0], script[-1]
        calls = [word for word in self.words if self.said[word[3]].kind == "call"]
        before = [word[2] for word in calls if word[3] < first]
        behind = [word[2] for word in calls if word[3] > last]
        return max(before, default=start_s), max(behind, default=finish_s)

    def claims_said(self):
        """Key of each descriptor that is due -> "said" of its drink or "left out"."""
        routine = self.routine
        _, found, _ = checked(self.routine_id)
        phrases = {}
        for row in found.rows:
            for said in row.sayings:
                phrases.setdefault(row.key, set()).add(said.phrase)
        told = {}
        for due in due_claims(routine, found):
            wanted = phrases.get(due.key, set()) | {due.label}
            texts = [
                one.text
                for one in self.said
                if one.segment is not None and routine.segments[one.segment].id in due.segment_ids
            ]
            said = any(_contains(text, phrase) for text in texts for phrase in wanted)
            told[due.key] = "said" if said else "left out"
        return told

    def amounts_said(self):
        """Label of each spoken number of the script -> "said", "changed" or "left out"."""
        _, found, _ = checked(self.routine_id)
        told = {}
        for row in found.rows:
            if row.kind in ("amount", "temperature", "time", "count"):
                one = row.sayings[0]
                fate = "left out"
                for each in self.said:
                    if each.segment is None or each.kind != "script":
                        continue
                    segment = self.routine.segments[each.segment]
                    if segment.id == one.segment_id and each.sentence == one.sentence_index:
                        fate = "said" if _contains(each.text, one.phrase) else "changed"
                told[row.key] = fate
        return told


def _contains(text, phrase):
    words = [each.stem for each in plain_words(text, "en")]
    wanted = [each.stem for each in plain_words(phrase, "en")]
    return any(words[at : at + len(wanted)] == wanted for at in range(len(words)))


def script_of(routine, rng):
    """The script as it is planned, with the pauses of a usual talk."""
    said = []
    for number, segment in enumerate(routine.segments):
        for each in sentences_of(segment.said):
            first = each.index == 0
            gap_s = rng.uniform(1.0, 4.0) if first else rng.uniform(0.3, 0.9)
            if first and number and not routine.segments[number - 1].said:
                gap_s = rng.uniform(6.0, 14.0)
            text = segment.said[each.start : each.end]
            said.append(Utterance(text, gap_s, number, each.index))
    return said


def host(said, rng):
    said = _insert(said, 0, [Utterance(text, 0.6, kind="host") for text in HOST_BEFORE])
    said[len(HOST_BEFORE)] = replace(said[len(HOST_BEFORE)], gap_s=rng.uniform(2.0, 5.0))
    after = [Utterance(text, 0.7, kind="host") for text in HOST_AFTER]
    after[0] = replace(after[0], gap_s=rng.uniform(1.5, 3.0))
    return said + after


def called(said, rng):
    """The presenter calls for time before and after."""
    first = next(at for at, one in enumerate(said) if one.kind == "script")
    last = max(at for at, one in enumerate(said) if one.kind == "script")
    if said[first].text != "Time.":
        said = _insert(said, first, [Utterance("My time starts now.", 2.0, kind="call")])
        said[first + 1] = replace(said[first + 1], gap_s=rng.uniform(0.8, 2.5))
        last += 1
    if said[last].text != "Time.":
        said = _insert(said, last + 1, [Utterance("Time.", 0.8, kind="call")])
    return said


def _script_places(said):
    return [at for at, one in enumerate(said) if one.kind == "script" and one.text != "Time."]


def left_out(said, rng, many=4):
    gone = set(rng.sample(_script_places(said)[1:-1], many))
    return [one for at, one in enumerate(said) if at not in gone]


def segment_left_out(said, rng):
    inside = sorted({one.segment for one in said if one.kind == "script"})[1:-1]
    gone = rng.choice(inside)
    return [one for one in said if one.segment != gone]


def near_misses(said, rng):
    changed = []
    for one in said:
        text = one.text
        for right, wrong in NEAR.items():
            if (
                right in text
                and rng.random() < 0.5
                and f"{right} " not in text.replace(right, "", 1)
            ):
                text = text.replace(right, wrong)
                break
        changed.append(replace(one, text=text))
    return changed


def wrong_numbers(said, rng):
    changed = []
    for one in said:
        words = one.text.split()
        if one.kind == "script" and "millilitres" in words and rng.random() < 0.6:
            at = words.index("millilitres") - 1
            if at in (0, 1) and words[at] in WRONG and words[at - 1].lower() not in ("twenty",):
                words[at] = WRONG[words[at]]
        changed.append(replace(one, text=" ".join(words)))
    return changed


def swapped(said, rng):
    """Two paragraphs next to one another change places: sentences of one segment."""
    groups = {}
    for at, one in enumerate(said):
        if one.kind == "script":
            groups.setdefault(one.segment, []).append(at)
    big = [places for places in groups.values() if len(places) >= 3]
    places = rng.choice(big)
    cut = rng.randrange(1, len(places))
    order = places[cut:] + places[:cut]
    moved = list(said)
    for to, source in zip(places, order, strict=True):
        moved[to] = replace(said[source], gap_s=said[to].gap_s)
    return moved


def segments_swapped(said, rng):
    """Two whole segments change places."""
    spoken = sorted({one.segment for one in said if one.kind == "script"})
    pairs = [(a, b) for a, b in pairwise(spoken[1:]) if b == a + 1][:-1]
    one, other = rng.choice(pairs)
    key = {one: other + 0.5, other: one}
    script = [each for each in said if each.kind == "script"]
    script.sort(key=lambda each: (key.get(each.segment, each.segment), each.sentence))
    numbers = iter(script)
    return [next(numbers) if each.kind == "script" else each for each in said]


def improvised(said, rng, many=3):
    for text in rng.sample(IMPROVISED, many):
        at = rng.choice(_script_places(said)[1:])
        said = _insert(said, at, [Utterance(text, rng.uniform(0.3, 1.0), kind="improvised")])
    return said


def mishap(said, rng):
    at = rng.choice(_script_places(said)[2:-2])
    said = _insert(said, at, [Utterance(rng.choice(MISHAPS), 0.3, kind="mishap")])
    said[at + 1] = replace(said[at + 1], gap_s=rng.uniform(3.0, 8.0))
    return said


def no_pauses(said, rng):
    """Every join within the script runs on."""
    places = _script_places(said)[1:]
    return [replace(one, gap_s=0.08) if at in places else one for at, one in enumerate(said)]


def long_pause(said, rng):
    """Ten seconds inside a sentence."""
    long = [at for at in _script_places(said) if len(said[at].text.split()) >= 8]
    for at in rng.sample(long, 2):
        words = len(said[at].text.split())
        # A lone word before a pause would belong behind it.
        stop = rng.randrange(2, words - 1)
        said = [*said]
        said[at] = replace(said[at], stops=((stop, 10.0),))
    return said


def begun_again(said, rng):
    """A segment is begun, broken off, and begun again."""
    firsts = [at for at in _script_places(said)[1:] if said[at].sentence == 0]
    at = rng.choice(firsts)
    again = [Utterance("Sorry, once more.", 0.4, kind="improvised"), replace(said[at], gap_s=0.6)]
    return _insert(said, at + 1, again)


def half(said, rng):
    """It breaks off in the middle."""
    places = _script_places(said)
    return said[: places[len(places) * 3 // 5]]


def _insert(said, at, more):
    return [*said[:at], *more, *said[at:]]


CHANGES: dict[str, tuple[Callable, ...]] = {
    "clean": (),
    "called": (called,),
    "host": (host,),
    "host and call": (called, host),
    "sentences left out": (left_out,),
    "segment left out": (segment_left_out,),
    "near-misses": (near_misses,),
    "wrong numbers": (wrong_numbers,),
    "swapped": (swapped,),
    "segments swapped": (segments_swapped,),
    "improvised": (improvised,),
    "no pauses": (no_pauses,),
    "long pauses": (long_pause,),
    "mishap": (mishap,),
    "begun again": (begun_again,),
    "half": (half,),
    "much at once": (left_out, near_misses, improvised, long_pause, called, host),
    "much else": (wrong_numbers, swapped, mishap, no_pauses),
    "badly heard": (left_out,),
}  # fmt: skip


@cache
def takes():
    """All takes made, in a fixed order: each kind of each routine."""
    made = []
    for number, (routine_id, kind) in enumerate(
        (routine_id, kind) for routine_id in ROUTINES for kind in CHANGES
    ):
        # By a digest of nothing but the number: every second take is locked.
        made.append(make_take(routine_id, kind, seed=number, is_locked=bool((number * 7 // 3) % 2)))
    return tuple(made)


def make_take(routine_id, kind, seed, is_locked=False):
    rng = random.Random(f"{routine_id} {kind} {seed}")
    said = script_of(ALL_ROUTINES[routine_id], rng)
    for change in CHANGES[kind]:
        said = change(said, rng)
    wrong = 0.3 if kind == "badly heard" else rng.choice((0.02, 0.05, 0.08, 0.12))
    noise = Noise(wrong, wrong / 3, wrong / 5, early=rng.choice((0.0, 0.1, 0.2)))
    take = Take(f"{routine_id}: {kind}", routine_id, seed, said, noise, is_locked)
    _speak(take, rng)
    return take


def _speak(take, rng):
    """Give each word its times."""
    at_s = rng.uniform(0.5, 8.0)
    pace = rng.uniform(0.9, 1.15)
    for number, one in enumerate(take.said):
        at_s += one.gap_s
        stops = dict(one.stops)
        for place, word in enumerate(one.text.split()):
            at_s += stops.get(place, 0.0)
            length_s = (0.12 + 0.055 * len(word)) * pace * rng.uniform(0.85, 1.15)
            take.words.append((word, round(at_s, 3), round(at_s + length_s, 3), number))
            at_s += length_s + 0.02
