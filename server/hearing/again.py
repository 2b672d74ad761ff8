"""`python -m server.hearing.again FILE`: lays sentences over stretches of a sound by force.

What is to be laid comes as one line of JSON on the standard input (see `probes` in `lines`). It
has the lowest priority, and ends with the app.
"""

import os
import sys
from collections.abc import Iterator, Sequence
from importlib import import_module
from importlib.util import find_spec
from math import log
from pathlib import Path
from typing import Any

from server.domain.heard.probe import Probe
from server.hearing.aside import end_with_the_app, say
from server.hearing.lines import probes_from
from server.hearing.pcm import RATE, Undecodable, samples_of

LIBRARY = "pocketsphinx"

NICE = 15

MOST_S = 60
"""No sentence is laid over a longer stretch."""

LEAST_LIKELY = 1e-300
"""What is less likely than a number can hold."""

Fit = list[float | None] | None


def can_listen_again() -> bool:
    """Whether the small recogniser is there."""
    return find_spec(LIBRARY) is not None


def main(file: str) -> None:
    """Write how well each word fits to the standard output, a line at a time."""
    os.nice(NICE)
    asked = probes_from(sys.stdin.buffer.readline())
    end_with_the_app()
    try:
        samples = samples_of(Path(file))
    except Undecodable as error:
        say(trouble=str(error))
        return
    fits: list[Fit] = []
    for fit in laid_over(asked, samples):
        fits.append(fit)
        say(share=min(99, 100 * len(fits) // len(asked)))
    say(fits=fits)


def laid_over(asked: Sequence[Probe], samples: bytes) -> Iterator[Fit]:
    """How well each word of each probe fits: mean log of likelihood a frame, None where unknown.

    All senones are computed, so that a frame is held against whatever sound would fit it best, not
    against those of the sentence alone.
    """
    decoder: Any = import_module(LIBRARY).Decoder(
        samprate=RATE, loglevel="FATAL", lm=None, compallsen=True
    )
    for probe in asked:
        begin, end = (2 * (at * RATE // 1000) for at in (probe.from_ms, probe.until_ms))
        yield _laid(decoder, probe.words, samples[begin : min(end, begin + 2 * RATE * MOST_S)])


def _laid(decoder: Any, words: Sequence[str], sound: bytes) -> Fit:  # noqa: ANN401
    spoken = [each.replace("’", "'").lower() for each in words]
    known = [decoder.lookup_word(each) is not None for each in spoken]
    if not any(known) or not sound:
        return None
    try:
        text = " ".join(each for each, is_in in zip(spoken, known, strict=True) if is_in)
        decoder.set_align_text(text)
        decoder.start_utt()
        decoder.process_raw(sound, full_utt=True)
        decoder.end_utt()
    except RuntimeError:  # They fit so badly that no way leads through them.
        return None
    fits = [
        log(max(each.ascore, LEAST_LIKELY)) / (each.end_frame - each.start_frame + 1)
        for each in decoder.seg() or ()
        if not each.word.startswith(("<", "["))
    ]
    if len(fits) != sum(known):
        return None
    told = iter(fits)
    return [round(next(told), 2) if is_known else None for is_known in known]


if __name__ == "__main__":
    main(*sys.argv[1:2])
