"""A second listening: sentences laid over a sound by force, in a process of its own."""

import json
import shutil
import subprocess
import sys
import wave
from pathlib import Path

import numpy as np
import pytest

from server.domain.heard.probe import Probe
from server.hearing import again, pcm
from server.hearing.keeper import Hearing
from server.hearing.lines import probes_from, probes_line
from server.settings import Settings
from server.store.heard import jobs
from server.store.heard.takes import load_take, set_words
from tests.hearing.test_keeper import SPOKEN, database, said, state, take  # noqa: F401
from tests.spoken import SAID

HEARD = "thank you very much"
WORDS = [
    [word, 1000 + 400 * number, 1350 + 400 * number, 0.9]
    for number, word in enumerate(" ".join(SAID[:1] + SAID[2:]).split())
]
"""A take of which the second segment was not heard: nine seconds of silence stand for it."""
GAP = 9_000
for _row in WORDS[len(SAID[0].split()) :]:
    _row[1] += GAP
    _row[2] += GAP
FLITE = pytest.mark.skipif(
    shutil.which("flite") is None, reason="flite, which speaks the sentences, is not installed"
)


@pytest.fixture
def listener(database, tmp_path):  # noqa: F811
    """One who listens again by these lines of Python; the first listening says WORDS."""

    def make(*lines):
        first = (sys.executable, "-c", f"import sys\n{said(words=WORDS)}")
        second = (sys.executable, "-c", "\n".join(("import json, sys", *lines)))
        return Hearing(
            Settings(data_dir=tmp_path), database, first, lambda _: "", None, second, lambda: True
        )

    return make


def words(text):
    return tuple(text.split())


FITS = (
    "asked = json.loads(sys.stdin.readline())",
    "fits = [[-3.0 if each[4] or each[3] else -9.0] * len(each[0]) for each in asked]",
    "print(json.dumps({'share': 50}))",
    "print(json.dumps({'fits': fits}), flush=True)",
)


def taken(database, take_id):  # noqa: F811
    with database.reading() as session:
        return load_take(session, take_id)


def test_behind_the_words_what_was_not_heard_is_listened_to_again(database, take, listener):  # noqa: F811
    take_id = take(SPOKEN.read_bytes())
    hearing = listener(*FITS)
    assert hearing.listen_to_next()
    assert (taken(database, take_id).job, taken(database, take_id).job_what) == ("waiting", "again")
    assert hearing.listen_to_next()
    found = taken(database, take_id)
    assert (found.job, found.was_heard_again) == ("", True)
    assert {each.claim for each in found.thoughts} >= {"d1:descriptor:ripe pear"}
    assert not hearing.listen_to_next()


def test_a_second_listening_that_fails_leaves_the_words_and_says_why(database, take, listener):  # noqa: F811
    take_id = take(SPOKEN.read_bytes())
    hearing = listener(said(trouble="No sound."))
    hearing.listen_to_next()
    hearing.listen_to_next()
    job, says, words = state(database, take_id)
    assert (job, says) == ("failed", "No sound.")
    assert words
    assert not taken(database, take_id).was_heard_again


def test_one_that_the_app_stopped_in_the_middle_of_is_begun_anew(database, take, listener):  # noqa: F811
    take_id = take(SPOKEN.read_bytes())
    hearing = listener(*FITS)
    hearing.listen_to_next()
    with database.writing() as session:
        jobs.next_job(session, "w", 1)
        jobs.begin_anew_after_restart(session)
    assert hearing.listen_to_next()
    assert taken(database, take_id).thoughts


def test_other_words_drop_what_was_thought_of_the_first(database, take, listener):  # noqa: F811
    take_id = take(SPOKEN.read_bytes())
    hearing = listener(*FITS)
    hearing.listen_to_next()
    hearing.listen_to_next()
    with database.writing() as session:
        set_words(session, take_id, json.dumps({}), "x")
    assert not taken(database, take_id).was_heard_again


def test_where_everything_was_heard_no_process_is_begun(database, take, listener, monkeypatch):  # noqa: F811
    take_id = take(SPOKEN.read_bytes())
    hearing = listener("raise SystemExit(1)")
    monkeypatch.setattr("server.hearing.keeper.asked_of", lambda *_: ())
    hearing.listen_to_next()
    hearing.listen_to_next()
    found = taken(database, take_id)
    assert (found.job, found.was_heard_again, found.thoughts) == ("", True, ())


def test_without_the_small_recogniser_there_is_no_second_listening(database, take, tmp_path):  # noqa: F811
    take_id = take(SPOKEN.read_bytes())
    first = (sys.executable, "-c", f"import sys\n{said(words=WORDS)}")
    settings = Settings(data_dir=tmp_path)
    hearing = Hearing(settings, database, first, lambda _: "", has_again=lambda: False)
    assert hearing.listen_to_next()
    assert not hearing.listen_to_next()
    assert taken(database, take_id).job == ""


def test_probes_arrive_as_they_were_sent():
    asked = (Probe(("naïve", "tea"), 10, 900, "k", first=1, stop=2), Probe(("a",), 0, 5, "", True))
    assert probes_from(probes_line(asked).encode()) == asked


def test_a_sentence_fits_its_own_sound_better_than_another_does():
    pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
    samples = pcm.samples_of(SPOKEN)
    until_ms = len(samples) // 32
    sentences = (HEARD.split(), ["please", "leave", "the", "map", "alone"], ["qqqzx"])
    asked = [Probe(tuple(each), 0, until_ms) for each in sentences]
    own, other, unknown = again.laid_over(asked, samples)
    assert len(own) == 4
    assert unknown is None
    assert other is None or np.mean(own) > np.mean(other) + 2


@FLITE
def test_a_sentence_that_was_said_is_found_and_one_that_was_not_is_not(tmp_path):
    pytest.importorskip("pocketsphinx", reason="pocketsphinx is not installed")
    file = tmp_path / "said.wav"
    subprocess.run(["flite", "-voice", "slt", "-t", SAID[2], "-o", str(file)], check=True)
    asked = (
        Probe(words("thank you for listening and enjoy the evening"), 4_000, 9_000, "said"),
        Probe(words("first i pour the honey over the pears"), 4_000, 9_000, "never"),
    )
    command = [sys.executable, "-m", "server.hearing.again", str(file)]
    with subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE) as process:
        process.stdin.write(probes_line(asked).encode())
        process.stdin.flush()
        *_, last = (json.loads(line) for line in iter(process.stdout.readline, b""))
    fitting, never = last["fits"]
    assert never is None or np.mean(fitting) > np.mean(never) + 2


def test_a_sound_of_two_channels_at_another_rate_becomes_one_of_sixteen_thousand(tmp_path):
    file = tmp_path / "two.wav"
    left = (1000 * np.sin(np.arange(44_100) / 20)).astype("<i2")
    with wave.open(str(file), "wb") as sound:
        sound.setnchannels(2)
        sound.setsampwidth(2)
        sound.setframerate(44_100)
        sound.writeframes(np.stack((left, np.zeros_like(left)), 1).tobytes())
    samples = np.frombuffer(pcm.samples_of(file), "<i2")
    assert len(samples) == pcm.RATE
    assert 900 < samples.max() <= 1000


def test_compressed_sound_is_decoded_by_what_the_recogniser_brings(tmp_path, monkeypatch):
    file = tmp_path / "a.webm"
    file.write_bytes(b"no wave")
    monkeypatch.setattr(pcm, "find_spec", lambda _: None)
    with pytest.raises(pcm.Undecodable):
        pcm.samples_of(file)
    package = tmp_path / "faster_whisper"
    package.mkdir()
    (package / "__init__.py").touch()
    lines = "import numpy as np", "def decode_audio(file, sampling_rate):", "    return np.ones(4)"
    (package / "audio.py").write_text("\n".join(lines))
    monkeypatch.syspath_prepend(tmp_path)
    monkeypatch.setattr(pcm, "find_spec", lambda _: object())
    assert pcm.samples_of(Path(file)) == np.full(4, 32767, "<i2").tobytes()
