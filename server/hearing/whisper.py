"""The recogniser of the extra `speech`: faster-whisper, on two threads, without a word of ours.

It is given neither the script nor the words that the judges wait for: with either it writes what
should have been said. Nothing is ever downloaded: the model is a folder that the person names.
"""

from collections.abc import Iterator
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from typing import Any

LIBRARY = "faster_whisper"
FILES = ("model.bin", "tokenizer.json")
"""What must be in the folder of a model: without the second the library would ask another host."""

THREADS = 2
GET_IT = (
    "On the computer that keeps the app have a model fetched once with ./run fetch-speech, then "
    "start the app with ./run --speech, which installs what is missing. A folder that holds a "
    "model of faster-whisper already is named with --speech-model."
)

Word = list[object]


def trouble_with(model: str) -> str:
    """Why nothing can be recognised here; "" where it can."""
    if find_spec(LIBRARY) is None:
        return f"This computer has no speech recogniser. {GET_IT}"
    if not model:
        return f"No speech model is named. {GET_IT}"
    if not all((Path(model) / each).is_file() for each in FILES):
        return f"There is no speech model in {model}. {GET_IT}"
    return ""


def heard(file: Path, model: str, language: str) -> Iterator[tuple[int, list[Word]]]:
    """What is said in a file, piece by piece: how much was listened to, in per cent, and words.

    A word is its text, start and end in ms, and how certain it is, 0 to 1.
    """
    recogniser: Any = import_module(LIBRARY).WhisperModel(
        model, device="cpu", compute_type="int8", cpu_threads=THREADS, local_files_only=True
    )
    pieces, about = recogniser.transcribe(
        str(file),
        language=language or None,
        word_timestamps=True,
        vad_filter=True,
        condition_on_previous_text=False,
        initial_prompt=None,
        hotwords=None,
    )
    lasts_s = max(float(about.duration), 0.001)
    for piece in pieces:
        words: list[Word] = [
            [each.word.strip(), _ms(each.start), _ms(each.end), round(float(each.probability), 3)]
            for each in piece.words or ()
            if each.word.strip()
        ]
        yield min(99, int(100 * float(piece.end) / lasts_s)), words


def _ms(seconds: float) -> int:
    return max(0, round(float(seconds) * 1000))
