"""A take that flite speaks, and a server whose recogniser is a stand-in that knows its words.

All but the recogniser is the app's own: the upload, the process beside it, its page.
"""

import io
import json
import subprocess
import wave

import numpy as np

from server.hearing import whisper
from server.settings import ROOT
from tests.real_server import RealServer
from tests.spoken import SAID

RATE, QUIET_S = 16_000, 1.5
LIBRARY = """
import json, pathlib
from types import SimpleNamespace as Told

class WhisperModel:
    def __init__(self, folder, **named):
        self.words = json.loads((pathlib.Path(folder) / "model.bin").read_text())

    def transcribe(self, file, **named):
        words = [Told(word=w, start=a, end=b, probability=0.9) for w, a, b in self.words]
        pieces = [words[: len(words) // 2], words[len(words) // 2 :]]
        told = (Told(words=each, end=each[-1].end) for each in pieces)
        return told, Told(duration=words[-1].end)
"""


def spoken_take():
    """The talk as a file of sound, and its words: text, start and end in s."""
    parts, words, at_s = [], [], 0.0
    for text in SAID:
        sound = _by_flite(text)
        parts += [np.zeros(round(QUIET_S * RATE), np.int16), sound]
        at_s += QUIET_S
        lasts_s = len(sound) / RATE
        letters = [len(each) + 2 for each in text.split()]
        places = np.cumsum([0, *letters]) / sum(letters) * lasts_s + at_s
        words += [
            [word, round(float(a), 3), round(float(b), 3)]
            for word, a, b in zip(text.split(), places, places[1:], strict=False)
        ]
        at_s += lasts_s
    content = io.BytesIO()
    with wave.open(content, "wb") as file:
        file.setparams((1, 2, RATE, 0, "NONE", ""))
        file.writeframes(np.concatenate(parts).tobytes())
    return content.getvalue(), words


def hearing_server(folder, words):
    """A server that is not started yet, whose recogniser hears these words."""
    package, model = folder / "packages" / whisper.LIBRARY, folder / "model"
    package.mkdir(parents=True)
    model.mkdir()
    (package / "__init__.py").write_text(LIBRARY)
    for name in whisper.FILES:
        (model / name).write_text(json.dumps(words))
    variables = {
        "PYTHONPATH": f"{package.parent}:{ROOT}",
        "NINEFIFTY_SPEECH_MODEL": str(model),
    }
    return RealServer(folder / "data", demo=False, variables=variables)


def _by_flite(text):
    """A text as samples of one channel, without the silence around it."""
    command = ["flite", "-voice", "slt", "-t", text, "-o", "/dev/stdout"]
    data = subprocess.run(command, capture_output=True, check=True).stdout
    with wave.open(io.BytesIO(data)) as file:
        assert file.getframerate() == RATE
    samples = np.frombuffer(data[44:], np.int16)
    loud = np.flatnonzero(np.abs(samples) > 300)
    return samples[loud[0] : loud[-1] + 1]
