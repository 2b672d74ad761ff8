"""Takes that a machine spoke and a recogniser heard: read from `synthesised.json`."""

import json
from functools import cache
from pathlib import Path

from server.domain.heard.words import TimedWord, Transcript
from tests.domain.heard.takes import Noise, Take, Utterance

FILE = Path(__file__).with_name("synthesised.json")


@cache
def synthesised():
    """(take, transcript, onsets in s) of each."""
    return tuple(_read(each) for each in json.loads(FILE.read_text(encoding="utf-8")))


def _read(row):
    said = [
        Utterance(text, 0.0, segment, sentence, kind)
        for text, segment, sentence, kind, _ in row["said"]
    ]
    take = Take(row["name"], row["routine"], row["seed"], said, Noise(), row["locked"])
    take.has_ends = False
    take.words = [
        (text.split()[0], begin / 1000, begin / 1000, number)
        for number, (text, _, _, _, begin) in enumerate(row["said"])
    ]
    words = tuple(
        TimedWord(text, start / 1000, end / 1000, certain)
        for text, start, end, certain in row["words"]
    )
    onsets_s = tuple(at / 1000 for at in row["onsets_ms"])
    return take, Transcript(words, timed=True, kind="recognised"), onsets_s
