"""A recogniser for tests that carries its model: pocketsphinx, saying what the app's own would say.

python -m tests.hearing.sphinx FILE MODEL LANGUAGE
"""

import sys
import wave

import numpy as np
from pocketsphinx import Decoder

from server.hearing.lines import written

RATE = 16_000
FRAMES_A_SECOND = 100


def main(file):
    with wave.open(file) as sound:
        rate = sound.getframerate()
        samples = np.frombuffer(sound.readframes(sound.getnframes()), np.int16)
    places = np.arange(0, len(samples), rate / RATE)
    even = np.interp(places, np.arange(len(samples)), samples).astype(np.int16)
    decoder = Decoder(samprate=RATE, loglevel="FATAL")
    decoder.start_utt()
    decoder.process_raw(even.tobytes(), full_utt=True)
    decoder.end_utt()
    words = [
        [
            each.word.partition("(")[0],
            each.start_frame * 1000 // FRAMES_A_SECOND,
            each.end_frame * 1000 // FRAMES_A_SECOND,
            None,
        ]
        for each in decoder.seg()
        if not each.word.startswith(("<", "["))
    ]
    print(written(share=100), written(words=words), sep="\n", flush=True)


if __name__ == "__main__":
    main(sys.argv[1])
