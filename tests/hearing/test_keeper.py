"""Words from a recording: listened to by a process of its own, one take after the other."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from server.domain.heard.words import transcript_from
from server.domain.routine.plan import Plan
from server.hearing import whisper
from server.hearing.keeper import Hearing
from server.hearing.lines import TranscriptLine, read, written
from server.settings import Settings, read_settings
from server.store.database import Database
from server.store.heard import jobs
from server.store.heard.sound import AnnouncedSound, announce_sound, append_sound
from server.store.heard.takes import create_take, load_take, words_of
from server.store.plans import freeze_plan
from server.store.routines import create_routine
from server.store.rule_sheets import save_rule_sheet
from server.store.uploads.media_place import place_at
from tests.bucket_server import ADDRESS
from tests.domain.base.test_media import WEBM
from tests.factories import NOW_MS, RULES
from tests.prepared import put_bare
from tests.spoken import spoken_routine

SPOKEN = Path(__file__).with_name("thank_you.wav")
"""Made with flite, a general speech synthesiser."""

MODEL = read_settings(os.environ).speech_folder
MOST = 50_000_000


@pytest.fixture
def database(tmp_path):
    database = Database(put_bare(tmp_path))
    yield database
    database.close()


def keep_take(database, data, content=WEBM, files=""):
    """Keep a take with a sound that waits to be listened to; returns its id."""
    routine, folder = spoken_routine(), place_at(files, data / "recordings")
    with database.writing() as session:
        save_rule_sheet(session, RULES)
        create_routine(session, routine, NOW_MS)
        key = freeze_plan(session, Plan(routine, RULES))
        take_id = create_take(session, routine.id, key, "take", NOW_MS)
        told = AnnouncedSound("sound", len(content))
        announce_sound(session, folder, take_id, told, MOST)
        append_sound(session, folder, take_id, 0, content)
        jobs.ask_for_words(session, take_id)
    return take_id


@pytest.fixture
def take(database, tmp_path):
    """Keeps a take with a sound that waits to be listened to; returns its id."""
    return lambda content=WEBM: keep_take(database, tmp_path, content)


@pytest.fixture
def hearing(database, tmp_path):
    """One who has takes listened to by these lines of Python instead of a recogniser."""

    def make(*lines):
        command = (sys.executable, "-c", "\n".join(("import json, sys", *lines)))
        settings = Settings(data_dir=tmp_path)
        return Hearing(settings, database, command, lambda _: "", has_again=lambda: False)

    return make


def state(database, take_id):
    with database.reading() as session:
        found = load_take(session, take_id)
        return found.job, found.job_says, words_of(session, take_id)


def said(**told):
    return f"print({written(**told)!r}, flush=True)"


def test_what_was_heard_becomes_the_words_of_the_take(database, take, hearing):
    take_id = take()
    assert hearing(said(share=50), said(words=[["Plum", 100, 400, 0.9]])).listen_to_next()
    job, _, words = state(database, take_id)
    (word,) = transcript_from(json.loads(words)).words
    assert (job, word.text, word.start_s, word.certain) == ("", "Plum", 0.1, 0.9)


def test_the_recogniser_is_handed_the_file_the_model_and_the_language(database, take, hearing):
    take_id = take()
    echo = "print(json.dumps({'words': [['x' + each, 0, 1, None] for each in sys.argv[1:]]}))"
    hearing(echo).listen_to_next()
    words = [each.text for each in transcript_from(json.loads(state(database, take_id)[2])).words]
    assert words[1:] == ["x", "xen"]


def test_from_a_store_the_recogniser_is_handed_a_copy_that_goes_again(database, tmp_path, bucket):
    take_id = keep_take(database, tmp_path, files=ADDRESS)
    echo = "print(json.dumps({'words': [[sys.argv[1], 0, 1, None], ['x', 0, 1, None]]}))"
    is_whole = f"assert open(sys.argv[1], 'rb').read() == {WEBM!r}"
    command = (sys.executable, "-c", f"import json, sys; {is_whole}; {echo}")
    settings = Settings(data_dir=tmp_path, files=ADDRESS)
    Hearing(settings, database, command, lambda _: "", has_again=lambda: False).listen_to_next()
    heard, _ = transcript_from(json.loads(state(database, take_id)[2])).words
    assert not Path(heard.text).exists()


def test_a_store_that_is_away_is_told_of_the_take(database, tmp_path, bucket):
    take_id = keep_take(database, tmp_path, files=ADDRESS)
    bucket.is_away = True
    Hearing(
        Settings(data_dir=tmp_path, files=ADDRESS), database, ("none",), lambda _: ""
    ).listen_to_next()
    job, why, _ = state(database, take_id)
    assert (job, "store of files cannot be reached" in why) == ("failed", True)


def test_with_nothing_to_be_heard_nothing_is_done(hearing):
    assert not hearing("raise SystemExit(1)").listen_to_next()


@pytest.mark.parametrize(
    ("line", "why"),
    [
        (said(trouble="No model."), "No model."),
        ("sys.exit(1)", "The recogniser stopped before its end. Try it again."),
        (said(words=[["x", 9, 1, None]]), "The recogniser wrote something that cannot be read."),
        ("print('no JSON')", "The recogniser stopped before its end. Try it again."),
    ],
)
def test_a_recogniser_that_fails_is_told_and_leaves_no_words(database, take, hearing, line, why):
    take_id = take()
    hearing(line).listen_to_next()
    assert state(database, take_id) == ("failed", why, None)


def test_words_of_a_take_that_was_cancelled_meanwhile_are_dropped(database, take, hearing):
    take_id = take()
    with database.writing() as session:
        assert jobs.next_job(session, "w", NOW_MS) == take_id
        jobs.cancel_job(session, take_id)
        jobs.end_job(session, take_id, "w", "{}", "x")
    assert state(database, take_id) == ("", "", None)
    assert not hearing(said(words=[])).listen_to_next()


def test_what_the_app_stopped_in_the_middle_of_is_begun_anew(database, take, hearing):
    take_id = take()
    with database.writing() as session:
        jobs.next_job(session, "w", NOW_MS)
        jobs.begin_anew_after_restart(session)
    assert hearing(said(words=[["Plum", 0, 1, None]])).listen_to_next()
    assert state(database, take_id)[2]


def test_a_take_whose_worker_died_is_taken_by_another(database, take):
    take_id, gone_ms = take(), NOW_MS + jobs.LEASE_MS
    with database.writing() as session:
        assert jobs.next_job(session, "a", NOW_MS) == take_id
        assert jobs.next_job(session, "b", gone_ms - 1) is None
        assert jobs.next_job(session, "b", gone_ms) == take_id
        assert not jobs.go_on(session, take_id, "a", gone_ms)
        jobs.end_job(session, take_id, "a", "{}", "x")
    assert state(database, take_id) == ("working", "", None)


def test_a_worker_that_says_it_is_at_it_keeps_its_take(database, take):
    take_id, later_ms = take(), NOW_MS + jobs.LEASE_MS
    with database.writing() as session:
        jobs.next_job(session, "a", NOW_MS)
        assert jobs.go_on(session, take_id, "a", later_ms - 1)
        assert jobs.next_job(session, "b", later_ms) is None
        jobs.note_share(session, take_id, "a", 40)
        assert load_take(session, take_id).job_share == 40


def test_a_line_that_says_nothing_of_ours_is_passed_over():
    assert read("[1]") == read("loading …") == TranscriptLine()
    assert read('{"share": 250}') == TranscriptLine(share=100)


def test_without_library_or_model_it_says_how_to_get_one(monkeypatch, tmp_path):
    monkeypatch.setattr(whisper, "find_spec", lambda _: None)
    assert "./run --speech" in whisper.trouble_with("")
    monkeypatch.setattr(whisper, "find_spec", lambda _: object())
    assert "--speech-model" in whisper.trouble_with("")
    assert str(tmp_path) in whisper.trouble_with(str(tmp_path))
    (tmp_path / "model.bin").touch()
    assert str(tmp_path) in whisper.trouble_with(str(tmp_path))
    (tmp_path / "tokenizer.json").touch()
    assert whisper.trouble_with(str(tmp_path)) == ""


def test_the_listening_process_says_what_it_lacks():
    command = [sys.executable, "-m", "server.hearing", "no-file", "no-model", "en"]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as process:
        line = process.stdout.readline()
    assert "./run fetch-speech" in read(line).trouble


def test_a_recording_goes_the_whole_way_by_a_small_recogniser(database, take, tmp_path):
    take_id = take(SPOKEN.read_bytes())
    command = (sys.executable, "-m", "tests.hearing.sphinx")
    settings = Settings(data_dir=tmp_path)
    hearing = Hearing(settings, database, command, lambda _: "", has_again=lambda: False)
    assert hearing.listen_to_next()
    job, says, words = state(database, take_id)
    assert (job, says) == ("", "")
    found = transcript_from(json.loads(words))
    assert [each.text for each in found.words] == ["thank", "you", "very", "much"]
    assert 0 < found.words[0].start_s < found.end_s < 2


@pytest.mark.skipif(
    whisper.trouble_with(MODEL) != "",
    reason="NINEFIFTY_SPEECH_MODEL names no model here, or the extra `speech` is not installed",
)
def test_the_recogniser_of_the_extra_hears_a_sentence():
    words = [word for _, more in whisper.heard(SPOKEN, MODEL, "en") for word in more]
    assert "thank" in " ".join(str(each[0]).lower() for each in words)
