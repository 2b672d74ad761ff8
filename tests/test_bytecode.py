"""Compiled files: made before the app starts, whole, and never while it runs."""

import os
import resource
import signal
import subprocess
import sys
from importlib.util import cache_from_source
from pathlib import Path

import pytest

from server import bytecode


@pytest.fixture
def source(tmp_path, monkeypatch):
    """A folder with one module, and a process that may write compiled files."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "")
    (tmp_path / "one.py").write_text("A = 1\n")
    return tmp_path


def start(source):
    sys.dont_write_bytecode = False
    bytecode.compile_before(source)


def compiled_file(source):
    return Path(cache_from_source(str(source / "one.py")))


def note(source):
    return source / "__pycache__" / f"whole.{sys.implementation.cache_tag}"


def test_python_takes_what_was_compiled_for_its_own(source):
    start(source)
    said = subprocess.run(
        [sys.executable, "-v", "-c", "import one"],
        cwd=source, capture_output=True, text=True, check=True,
    ).stderr  # fmt: skip
    assert f"{compiled_file(source)} matches" in said


def test_half_a_compiled_file_that_a_full_disk_left_is_made_whole_at_the_next_start(source):
    start(source)
    whole = compiled_file(source).read_bytes()
    note(source).unlink()
    compiled_file(source).write_bytes(whole[:20])
    start(source)
    assert compiled_file(source).read_bytes() == whole


def test_the_running_app_and_what_it_starts_write_no_compiled_files(source):
    start(source)
    assert sys.dont_write_bytecode
    assert os.environ["PYTHONDONTWRITEBYTECODE"] == "1"


def test_a_module_that_changed_is_compiled_anew(source):
    start(source)
    before = compiled_file(source).read_bytes()
    (source / "one.py").write_text("A = 22\n")
    start(source)
    assert compiled_file(source).read_bytes() != before


def test_on_a_full_disk_nothing_is_kept_by_half_and_it_is_tried_again(source):
    (source / "one.py").write_text("A = 'long enough for the disk to be full before its end'\n")
    before = resource.getrlimit(resource.RLIMIT_FSIZE)
    deaf = signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (60, before[1]))
    try:
        start(source)
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, before)
        signal.signal(signal.SIGXFSZ, deaf)
    assert list((source / "__pycache__").iterdir()) == []
    start(source)
    assert compiled_file(source).exists()


def test_where_nothing_may_be_written_the_app_starts_all_the_same(source, monkeypatch):
    monkeypatch.setattr(bytecode.os, "access", lambda path, how: False)
    start(source)
    assert not compiled_file(source).exists()
    assert sys.dont_write_bytecode
