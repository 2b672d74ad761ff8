"""What tests throw away lies in memory where there is room, and as ever where there is not."""

import subprocess
import sys

import pytest

from tests import in_memory
from tests.in_memory import room_for_tests

MAKE_A_FILE = "import tempfile; print(tempfile.mkstemp()[1])"


def test_what_a_process_throws_away_goes_to_the_place_and_is_gone_at_the_end(tmp_path, monkeypatch):
    monkeypatch.setattr(in_memory, "ENOUGH_BYTES", 1)
    with room_for_tests(tmp_path) as room:
        made = subprocess.run(
            [sys.executable, "-c", MAKE_A_FILE], capture_output=True, text=True, check=True
        ).stdout
        assert made.startswith(f"{room}/")
        assert room.parent == tmp_path
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("enough", [1, 2**80], ids=["not there", "too small"])
def test_a_place_that_is_not_there_or_too_small_is_left_alone(tmp_path, monkeypatch, enough):
    monkeypatch.setattr(in_memory, "ENOUGH_BYTES", enough)
    monkeypatch.setenv("TMPDIR", "as-ever")
    with room_for_tests(tmp_path / "nowhere" if enough == 1 else tmp_path) as room:
        assert room is None
        assert in_memory.os.environ["TMPDIR"] == "as-ever"
    assert list(tmp_path.iterdir()) == []
