"""python -m tests.domain.heard.make_synthesised: takes spoken by a machine, heard by a recogniser.

A tool for the fixtures, not part of the tests: it needs espeak-ng and flite on the machine and
writes `synthesised.json`, words and labels only. Each sentence is spoken by itself and laid into
the sound where it belongs, so the labels are exact. pocketsphinx is a weak recogniser: about a
third of its words are wrong, which is what a noisy hall makes of a good one.
"""

import io
import json
import subprocess
import wave
from pathlib import Path

import numpy as np

from server.domain.heard.sound import onsets_s
from tests.domain.heard.takes import make_take

RATE = 16_000
FILE = Path(__file__).with_name("synthesised.json")
WANTED = (
    ("harbour", "clean", "flite:slt"), ("harbour", "much at once", "espeak:en-us"),
    ("orchard", "near-misses", "flite:rms"), ("orchard", "swapped", "flite:slt"),
    ("night", "long pauses", "flite:slt"), ("night", "host and call", "flite:rms"),
    ("orchard", "no pauses", "flite:slt"), ("night", "mishap", "espeak:en-us"),
    ("harbour", "segment left out", "flite:rms"), ("night", "sentences left out", "flite:slt"),
)  # fmt: skip
"""(routine, kind, voice); every second one is locked."""


def spoken(text, voice):
    """A sentence as samples of 16 kHz between -1 and 1, without silence before and after."""
    program, name = voice.split(":")
    if program == "flite":
        command = ["flite", "-voice", name, "-t", text, "-o", "/dev/stdout"]
    else:
        command = ["espeak-ng", "-v", name, "-s", "150", "--stdout", text]
    data = subprocess.run(command, capture_output=True, check=True).stdout
    with wave.open(io.BytesIO(data)) as file:
        rate = file.getframerate()
        raw = np.frombuffer(data[44:], dtype=np.int16)
    samples = raw / 32768
    wanted = np.arange(0, len(samples) / rate, 1 / RATE)
    samples = np.interp(wanted, np.arange(len(samples)) / rate, samples)
    loud = np.flatnonzero(np.abs(samples) > 0.01)
    return samples[loud[0] : loud[-1] + 1] if len(loud) else samples


def sound_of(take, voice):
    """The whole take as samples, and when each utterance begins in s."""
    rng = np.random.default_rng(take.seed)
    parts, begins, length = [np.zeros(RATE)], [], RATE
    for one in take.said:
        words = one.text.split()
        cuts = [0, *(place for place, _ in one.stops), len(words)]
        gaps = [one.gap_s, *(gap for _, gap in one.stops)]
        for number, gap in enumerate(gaps):
            piece = spoken(" ".join(words[cuts[number] : cuts[number + 1]]), voice)
            silence = np.zeros(round(gap * RATE))
            parts += [silence, piece]
            length += len(silence)
            if number == 0:
                begins.append(length / RATE)
            length += len(piece)
    parts.append(np.zeros(2 * RATE))
    samples = np.concatenate(parts)
    return samples + rng.normal(0, 0.0008, len(samples)), begins


def heard(samples):
    """The words that pocketsphinx hears, as rows of a transcript."""
    from pocketsphinx import Decoder

    decoder = Decoder(samprate=RATE, loglevel="FATAL")
    pcm = (np.clip(samples, -1, 1) * 32767).astype(np.int16)
    rows = []
    for begin, end in stretches(samples):
        decoder.start_utt()
        decoder.process_raw(pcm[begin:end].tobytes(), no_search=False, full_utt=True)
        decoder.end_utt()
        for seg in decoder.seg():
            word = seg.word.split("(")[0]
            if word.startswith(("<", "[", "+")):
                continue
            certain = float(np.clip(np.exp(seg.prob / 10_000), 0, 1))
            start = begin / RATE * 1000 + seg.start_frame * 10
            stop = begin / RATE * 1000 + (seg.end_frame + 1) * 10
            rows.append([word, round(start), round(stop), round(certain, 3)])
    return rows


def stretches(samples):
    """Where there is sound, from and to, with a little silence around; at most 20 s each."""
    frame = RATE // 50
    loud = np.abs(samples[: len(samples) // frame * frame]).reshape(-1, frame).max(axis=1) > 0.02
    found, begin, quiet = [], None, 0
    for at, is_on in enumerate(loud.tolist()):
        if is_on:
            begin, quiet = (at if begin is None else begin), 0
        elif begin is not None:
            quiet += 1
            if quiet >= 25 or at - begin > 1000:
                found.append((begin, at))
                begin, quiet = None, 0
    if begin is not None:
        found.append((begin, len(loud)))
    return [(max(0, a - 10) * frame, min(len(loud), b) * frame) for a, b in found]


def main():
    """Make the file anew."""
    made = []
    for number, (routine_id, kind, voice) in enumerate(WANTED):
        take = make_take(routine_id, kind, seed=500 + number)
        samples, begins = sound_of(take, voice)
        made.append(
            {
                "name": f"{routine_id}: {kind}, {voice}",
                "routine": routine_id,
                "seed": take.seed,
                "locked": number % 2 == 1,
                "said": [
                    [one.text, one.segment, one.sentence, one.kind, round(begin * 1000)]
                    for one, begin in zip(take.said, begins, strict=True)
                ],
                "onsets_ms": [round(at * 1000) for at in onsets_s(samples, RATE)],
                "length_ms": round(len(samples) / RATE * 1000),
                "words": heard(samples),
            }
        )
        print(made[-1]["name"], len(made[-1]["words"]), made[-1]["length_ms"] / 1000, flush=True)
        rows = ",\n".join(json.dumps(each, ensure_ascii=False) for each in made)
        FILE.write_text(f"[\n{rows}\n]\n", encoding="utf-8")


if __name__ == "__main__":
    main()
