"""How the recogniser of the extra is called, and its model fetched: by a stand-in for both."""

import json
import sys

import pytest

from server.__main__ import main
from server.hearing import fetching, whisper
from server.settings import Settings

STAND_IN = """
import json, pathlib
from types import SimpleNamespace as Told

class WhisperModel:
    def __init__(self, *given, **named):
        self.made = [list(given), named]

    def transcribe(self, *given, **named):
        pathlib.Path(given[0]).write_text(json.dumps([self.made, list(given), named]))
        words = [Told(word=" Plum", start=1.2, end=1.5, probability=0.91234),
                 Told(word=" ", start=2, end=2, probability=1)]
        return iter([Told(words=words, end=5.0), Told(words=None, end=10.0)]), Told(duration=10.0)
"""
FETCHES = """
import pathlib

def download_model(name, output_dir):
    folder = pathlib.Path(output_dir)
    folder.mkdir(parents=True, exist_ok=True)
    for each in ("model.bin", "tokenizer.json", "config.json"):
        (folder / each).write_text(name)
"""
FAILS = "def download_model(name, output_dir):\n    raise OSError('no way to the other host')\n"


@pytest.fixture
def library(tmp_path, monkeypatch):
    """Puts a stand-in for faster-whisper where it is imported from."""

    def put(utils=FETCHES):
        package = tmp_path / "packages" / whisper.LIBRARY
        package.mkdir(parents=True)
        (package / "__init__.py").write_text(STAND_IN)
        (package / "utils.py").write_text(utils)
        monkeypatch.syspath_prepend(package.parent)
        for name in [each for each in sys.modules if each.startswith(whisper.LIBRARY)]:
            monkeypatch.delitem(sys.modules, name)

    yield put
    for name in [each for each in sys.modules if each.startswith(whisper.LIBRARY)]:
        del sys.modules[name]


def test_the_recogniser_is_told_neither_script_nor_words_to_wait_for(library, tmp_path):
    library()
    file = tmp_path / "take.wav"
    pieces = list(whisper.heard(file, "/models/base", "en"))
    (given, made), heard, named = json.loads(file.read_text())
    assert given == ["/models/base"]
    assert made == {
        "device": "cpu", "compute_type": "int8", "cpu_threads": 2, "local_files_only": True
    }  # fmt: skip
    assert heard == [str(file)]
    assert named == {
        "language": "en", "word_timestamps": True, "vad_filter": True,
        "condition_on_previous_text": False, "initial_prompt": None, "hotwords": None,
    }  # fmt: skip
    assert pieces == [(50, [["Plum", 1200, 1500, 0.912]]), (99, [])]


def test_a_model_is_fetched_once_into_the_folder_that_is_named(library, tmp_path, capsys):
    library()
    folder = tmp_path / "models" / "base"
    main(["fetch-speech", str(folder)])
    assert whisper.trouble_with(str(folder)) == ""
    assert (folder / "model.bin").read_text() == "base"
    assert f"--speech-model {folder}" in capsys.readouterr().out
    main(["fetch-speech", str(folder)])
    assert "already" in capsys.readouterr().out


def test_without_a_folder_the_model_goes_where_the_switch_looks_for_it(library, tmp_path):
    library()
    main(["fetch-speech", "--data", str(tmp_path / "data")])
    on = Settings(data_dir=tmp_path / "data", speech=True)
    assert whisper.trouble_with(on.speech_folder) == ""
    assert Settings(data_dir=tmp_path / "data").speech_folder == ""
    assert Settings(speech=True, speech_model="/models/base").speech_folder == "/models/base"


def test_a_model_that_cannot_be_fetched_is_told_in_a_sentence(library, tmp_path):
    library(FAILS)
    with pytest.raises(SystemExit, match=r"could not be fetched: no way to the other host"):
        main(["fetch-speech", str(tmp_path / "models")])


def test_without_the_library_fetching_says_what_to_install(monkeypatch, tmp_path):
    monkeypatch.setattr(fetching, "find_spec", lambda _: None)
    with pytest.raises(SystemExit, match="not installed"):
        main(["fetch-speech", str(tmp_path)])
