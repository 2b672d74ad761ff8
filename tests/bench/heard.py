"""How well takes are aligned and their claims heard, open and locked half apart; and how fast."""

import sys
import time
import tracemalloc
from collections import Counter
from dataclasses import dataclass, field
from statistics import mean

import jiwer

from server.domain.heard.aligning import align
from server.domain.heard.alignment import spoken_segments
from server.domain.heard.claims import hear_claims
from server.domain.heard.plain_words import plain_heard, plain_words
from server.domain.heard.words import TimedWord, Transcript
from tests.bench.figures import Figure
from tests.domain.heard.fresh import fresh_takes
from tests.domain.heard.recogniser import recognised
from tests.domain.heard.routines import ROUTINES, checked
from tests.domain.heard.synthesised import synthesised
from tests.domain.heard.takes import takes

FAR_S = 2.0
"""A start further off is wrong, and must be called a guess."""


@dataclass
class Tally:
    """What came of some takes."""

    apart_s: list[float] = field(default_factory=list)
    certain: Counter = field(default_factory=Counter)
    surely_off: list[str] = field(default_factory=list)
    """Starts that lie more than FAR_S from the truth and are not called a guess."""
    believed_s: list[float] = field(default_factory=list)
    """How far those starts are off that are not called a guess."""
    edges_s: list[float] = field(default_factory=list)
    edges_certain: Counter = field(default_factory=Counter)
    worst: dict[str, float] = field(default_factory=dict)
    claims: Counter = field(default_factory=Counter)
    wrongly: list[str] = field(default_factory=list)


def tally(chosen):
    """The tally of some takes: each with its transcript and the onsets of its sound."""
    told = Tally()
    for take, transcript, onsets_s in chosen:
        case, found, segments = checked(take.routine_id)
        alignment = align(transcript, segments, onsets_s)
        at = {each.segment_id: each for each in alignment.boundaries}
        # The first segment begins with the clock; the others with their first words.
        told_s = [(at[segments[n].id], start_s) for n, start_s in take.starts_s().items() if n]
        apart = [abs(boundary.start_s - start_s) for boundary, start_s in told_s]
        told.certain.update(boundary.certain for boundary, _ in told_s)
        told.surely_off += [
            f"{take.name}: {boundary.segment_id} {boundary.certain}"
            for boundary, start_s in told_s
            if boundary.certain != "guess" and abs(boundary.start_s - start_s) > FAR_S
        ]
        if take.has_ends:
            told.edges_s += _edges_off(told, take, alignment)
        told.apart_s += apart
        told.believed_s += [
            off for off, (one, _) in zip(apart, told_s, strict=True) if one.certain != "guess"
        ]
        told.worst[f"{take.name}, {take.seed}"] = max(apart)
        planned = hear_claims(take.routine, case, found, transcript, alignment).planned
        heard = {each.key: each for each in planned}
        for key, fate in (take.claims_said() | take.amounts_said()).items():
            hearing = heard[key].hearing
            told.claims[fate, hearing] += 1
            if (fate == "said" and hearing == "not heard") or (
                fate != "said" and hearing == "heard"
            ):
                told.wrongly.append(f"{take.name}: {key} {fate}: {hearing}, {heard[key].why}")
    return told


def _edges_off(told, take, alignment):
    """How far start and finish of a take are off; those that are wrong and no guess are noted."""
    ends = (
        ("start", alignment.start_s, alignment.start_certain),
        ("finish", alignment.finish_s, alignment.finish_certain),
    )
    off_s = []
    for (name, at_s, certain), true_s in zip(ends, take.edges_s(), strict=True):
        off_s.append(abs(at_s - true_s))
        told.edges_certain[certain] += 1
        if certain != "guess" and off_s[-1] > FAR_S:
            told.surely_off.append(f"{take.name}: {name} {certain}")
    return off_s


def recall(told):
    """Share of the claims that were said, heard or to be listened to."""
    said = sum(n for (fate, _), n in told.claims.items() if fate == "said")
    missed = sum(n for (fate, h), n in told.claims.items() if fate == "said" and h == "not heard")
    return (said - missed) / said if said else 0.0


def false_heard(told):
    """Share of what is called heard that was never said so."""
    heard = sum(n for (_, h), n in told.claims.items() if h == "heard")
    wrong = sum(n for (fate, h), n in told.claims.items() if h == "heard" and fate != "said")
    return wrong / heard if heard else 0.0


def heard_outright(told):
    """Share of the claims that were said which need no listening."""
    said = sum(n for (fate, _), n in told.claims.items() if fate == "said")
    outright = sum(n for (fate, h), n in told.claims.items() if fate == "said" and h == "heard")
    return outright / said if said else 0.0


def measure(quick):
    """Each half of the takes, then ten minutes of words."""
    for half, locked in (("open", False), ("locked", True)):
        yield from figures(f"{half} half", made(locked))
        yield from figures(f"spoken by machine, {half}", spoken(locked))
    yield from figures("fresh, open", fresh_takes(put_away=False))
    yield from figures("fresh, put away", fresh_takes(put_away=True))
    yield from speed(1 if quick else 5)


def made(locked):
    """The takes of one half."""
    return [(take, recognised(take), ()) for take in takes() if take.is_locked == locked]


def spoken(locked):
    """Those of one half that were really spoken and heard."""
    return [each for each in synthesised() if each[0].is_locked == locked]


def figures(name, chosen):
    """The figures of some takes."""
    told = tally(chosen)
    yield Figure(f"word error rate, {name}", round(100 * error_rate(chosen), 1), "%")
    of = f"{name}, {len(chosen)} takes"
    yield Figure(f"segment starts, mean, {of}", round(mean(told.apart_s), 3), "s", aim="< 0.3 s")
    yield Figure(f"segment starts, worst, {of}", round(max(told.apart_s), 2), "s", aim="< 2 s")
    believed = round(max(told.believed_s), 2)
    yield Figure(f"the same, worst of those not called a guess, {of}", believed, "s", aim="< 2 s")
    if told.edges_s:
        edges = round(mean(told.edges_s), 3)
        yield Figure(f"clock's start and stop, mean, {of}", edges, "s")
        unsure = 100 * told.edges_certain["guess"] / told.edges_certain.total()
        yield Figure(f"clock's start and stop called a guess, {of}", round(unsure, 1), "%")
    off = len(told.surely_off)
    yield Figure(f"off by over 2 s and no guess, {of}", off, "", aim="none")
    guesses = 100 * told.certain["guess"] / told.certain.total()
    yield Figure(f"starts called a guess, {of}", round(guesses, 1), "%")
    yield Figure(f"claims recall with listen, {of}", round(recall(told), 3), "", aim=">= 0.95")
    yield Figure(f"claims heard outright, {of}", round(heard_outright(told), 3), "")
    yield Figure(f"false heard, {of}", round(100 * false_heard(told), 2), "%", aim="<= 1 %")


def error_rate(chosen):
    """The word error rate of the transcripts of some takes, by a library."""
    said, heard = [], []
    for take, transcript, _ in chosen:
        said.append(" ".join(_stems(plain_words(" ".join(one.text for one in take.said), "en"))))
        heard.append(" ".join(_stems(plain_heard(transcript.words, "en"))))
    return jiwer.wer(said, heard)


def _stems(words):
    return [each.stem for each in words]


def ten_minutes():
    """A routine of ten minutes, and a talk of it: the three of them after one another."""
    segments, words, at_s = [], [], 0.0
    for turn in range(2):
        for routine in ROUTINES.values():
            take = next(each for each in takes() if each.routine_id == routine.id)
            heard = recognised(take).words
            words += [
                TimedWord(one.text, one.start_s + at_s, one.end_s + at_s, one.certain)
                for one in heard
            ]
            at_s = words[-1].end_s + 2.0
            segments += [
                type(each)(f"{turn}{each.id}", each.name, each.text, each.planned_s)
                for each in spoken_segments(routine)
            ]
    return tuple(segments), Transcript(tuple(words), timed=True, kind="recognised")


def speed(rounds):
    """Time and memory of aligning ten minutes."""
    segments, transcript = ten_minutes()
    times = []
    for _ in range(rounds):
        begin = time.process_time()
        align(transcript, segments)
        times.append(time.process_time() - begin)
    tracemalloc.start()
    align(transcript, segments)
    _, peak = tracemalloc.get_traced_memory()
    tracemalloc.stop()
    what = f"{len(transcript.words)} words over {transcript.end_s / 60:.1f} min aligned"
    yield Figure(what, round(min(times), 3), "s of CPU", aim="< 0.5 s")
    yield Figure("memory for it", round(peak / 1e6, 1), "MB")


def show(chosen):
    """What went wrong in some takes: for tuning, on the open half."""
    told = tally(chosen)
    for name, worst in sorted(told.worst.items(), key=lambda each: -each[1])[:8]:
        print(f"{worst:6.2f}  {name}")
    print(
        f"mean {mean(told.apart_s):.3f}  recall {recall(told):.3f}  false {false_heard(told):.3f}"
    )
    print(dict(told.claims))
    print("\n".join(told.wrongly[:30]))


if __name__ == "__main__":
    show(spoken(False) if "--spoken" in sys.argv else made(False))
