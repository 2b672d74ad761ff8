"""A second listening: what the first did not hear, held against the sound itself.

Each sentence is laid by force over the stretch of sound in which it would have been said, and it
is told how well each word fits there. Any sentence fits any talk a little. So a few sentences that
were heard are laid over their own sound too, and others over the same: from these it is known how
well what was said fits in this voice and this room, and how badly what was not. Where the two
cannot be told apart nothing is said. What fits may have been said: "listen", never "heard".
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from statistics import mean, median

from server.domain.base.tokens import tokens_of
from server.domain.claims.ledger import Ledger
from server.domain.heard.alignment import SentenceMatch
from server.domain.heard.hearing import HeardClaim, HeardClaims
from server.domain.heard.phrases import Talk
from server.domain.heard.probe import Probe as Probe
from server.domain.heard.probe import SecondThought as SecondThought

LANGUAGES = ("en",)
"""Those of the small recogniser's model."""

FASTEST_S, SLOWEST_S = 0.035, 0.25
"""A letter takes so long at least, and at most with the pauses of a sentence."""

ROOM_S = 0.1
"""Times of words shake by so much: a stretch is taken so much wider."""

OWN_AT_MOST, OWN_AT_LEAST = 6, 3
"""Sentences that were heard and are laid over their own sound."""

WELL_HEARD, LEAST_WORDS = 0.8, 4
"""How much of such a sentence must have been heard, and its words."""

APART = 1.0
"""How much better their own sentences must fit than others: log of likelihood a frame of 10 ms."""

LINE = 0.4
"""A sentence counts as said down to this share of the way from own sentences to others."""

WHY = "A second listening to the sound finds it perhaps: listen."


def probes(claims: HeardClaims, ledger: Ledger, talk: Talk) -> tuple[Probe, ...]:
    """What is to be laid over the sound; nothing where nothing was missed or nothing could tell."""
    if talk.language not in LANGUAGES or not talk.transcript.timed:
        return ()
    asked = [
        probe
        for each in claims.planned
        if each.hearing == "not heard"
        for probe in _of_claim(each, ledger, talk)
    ]
    gauges = tuple(_gauges(talk))
    return (*gauges, *dict.fromkeys(asked)) if asked and gauges else ()


def thoughts(
    asked: Sequence[Probe], fits: Sequence[Sequence[float | None] | None]
) -> tuple[SecondThought, ...]:
    """What is thought of each claim asked for, by how well each word of each probe fits.

    A fit is a mean log of likelihood a frame, 0 for what could fit no better; None for a word that
    the recogniser does not know, and for a probe that cannot be laid over its stretch at all.
    """
    told = [(probe, _fit(probe, each)) for probe, each in zip(asked, fits, strict=True)]
    own = [fit for probe, fit in told if probe.is_own and fit is not None]
    others = [
        fit for probe, fit in told if not probe.is_own and not probe.claim and fit is not None
    ]
    if len(own) < OWN_AT_LEAST:
        return ()
    # Most sentences cannot be laid over another's sound at all; then what is twice as bad is.
    apart = median(own) - (median(others) if others else 2 * median(own))
    if apart < APART:
        return ()
    best: dict[str, tuple[float, SecondThought]] = {}
    for probe, fit in told:
        if probe.claim and fit is not None and fit >= median(own) - LINE * apart:
            thought = SecondThought(probe.claim, probe.from_ms, probe.until_ms)
            if probe.claim not in best or fit > best[probe.claim][0]:
                best[probe.claim] = fit, thought
    return tuple(thought for _, thought in best.values())


def raised(claims: HeardClaims, found: Sequence[SecondThought]) -> HeardClaims:
    """The claims with what a second listening thinks of those that were not heard."""
    by_claim = {each.claim: each for each in found}
    return replace(
        claims, planned=tuple(_raised(each, by_claim) for each in claims.planned)
    )  # fmt: skip


def _raised(claim: HeardClaim, found: Mapping[str, SecondThought]) -> HeardClaim:
    thought = found.get(claim.key)
    if thought is None or claim.hearing != "not heard":
        return claim
    return replace(
        claim, hearing="listen", why=WHY, start_s=thought.from_ms / 1000,
        end_s=thought.until_ms / 1000,
    )  # fmt: skip


def _of_claim(claim: HeardClaim, ledger: Ledger, talk: Talk) -> Iterator[Probe]:
    """The sentences that hold a claim and were not found, over each stretch that is free there."""
    for row in ledger.rows:
        if row.key != claim.key or row.in_hands:
            continue
        for saying in row.sayings:
            match = talk.matches.get((saying.segment_id, saying.sentence_index))
            if match is None or match.is_found:
                continue
            words, first, stop = _words(match, saying.start - match.start, saying.end - match.start)
            for from_s, until_s in _free(talk, match):
                yield Probe(
                    words, _ms(from_s), _ms(until_s), claim.key, first=first, stop=stop
                )  # fmt: skip


def _words(match: SentenceMatch, start: int, end: int) -> tuple[tuple[str, ...], int, int]:
    """The words of a sentence, and which of them stand between two of its offsets."""
    tokens = [each for each in tokens_of(match.text) if any(map(str.isalpha, each.norm))]
    inside = [n for n, each in enumerate(tokens) if start <= each.start and each.end <= end]
    words = tuple(each.norm for each in tokens)
    return words, (inside[0] if inside else 0), (inside[-1] + 1 if inside else 0)


def _free(talk: Talk, match: SentenceMatch) -> Iterator[tuple[float, float]]:
    """The stretches in which a sentence may have been said and no word was heard."""
    words = talk.transcript.words
    letters = sum(map(str.isalpha, match.text))
    first, stop = talk.missing(match.segment_id, match.index)
    longest_s = letters * SLOWEST_S
    ends = [each.end_s for each in words[max(first - 1, 0) : stop]]
    begins = [each.start_s for each in words[first : stop + 1]]
    if first == 0:
        ends.insert(0, max(0.0, words[0].start_s - longest_s) if words else 0.0)
    if stop == len(words):
        begins.append(words[-1].end_s + longest_s if words else 0.0)
    for from_s, until_s in zip(ends, begins, strict=False):
        if until_s - from_s >= letters * FASTEST_S:
            yield max(0.0, from_s - ROOM_S), until_s + ROOM_S


def _gauges(talk: Talk) -> Iterator[Probe]:
    """Sentences that were heard over their own sound, and over that of others."""
    heard = [
        each
        for each in talk.alignment.matched
        if each.share >= WELL_HEARD and len(_words(each, 0, 0)[0]) >= LEAST_WORDS
    ]
    step = max(1, len(heard) // OWN_AT_MOST)
    chosen = heard[::step][:OWN_AT_MOST]
    if len(chosen) < OWN_AT_LEAST:
        return
    for number, each in enumerate(chosen):
        from_ms = _ms(max(0.0, (each.start_s or 0.0) - ROOM_S))
        until_ms = _ms((each.end_s or 0.0) + ROOM_S)
        other = chosen[(number + 1) % len(chosen)]
        yield Probe(_words(each, 0, 0)[0], from_ms, until_ms, is_own=True)
        yield Probe(_words(other, 0, 0)[0], from_ms, until_ms)


def _fit(probe: Probe, words: Sequence[float | None] | None) -> float | None:
    """How well a probe fits: as a whole, and no better than the words of its claim do."""
    known = [each for each in words or () if each is not None]
    if words is None or 2 * len(known) < len(probe.words):
        return None
    own = [each for each in words[probe.first : probe.stop] if each is not None]
    return min(mean(known), mean(own)) if own else mean(known)


def _ms(seconds: float) -> int:
    return round(seconds * 1000)
