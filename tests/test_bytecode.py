"""Compiled files: made before the app starts, whole, and never while it runs."""

import os
import sys
from importlib.util import cache_from_source

import pytest

from server import bytecode


@pytest.fixture
def source(tmp_path, monkeypatch):
    """A folder with one module, and a process that may write compiled files."""
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    monkeypatch.setenv("PYTHONDONTWRITEBYTECODE", "")
    (tmp_path / "one.py").write_text("A = 1\n")
    return tmp_path


def compiled_file(source):
    return source / "__pycache__" / cache_from_source("one.py").rsplit(os.sep, 1)[-1]


def start(source, monkeypatch):
    monkeypatch.setattr(sys, "dont_write_bytecode", False)
    bytecode.compile_before(source)


def test_half_a_compiled_file_that_a_full_disk_left_is_made_whole_at_the_next_start(source):
    bytecode.compile_before(source)
    whole = compiled_file(source).read_bytes()
    (source / "__pycache__" / f"whole.{sys.implementation.cache_tag}").unlink()
    compiled_file(source).write_bytes(whole[:20])
    sys.dont_write_bytecode = False
    bytecode.compile_before(source)
    assert compiled_file(source).read_bytes() == whole


def test_the_running_app_and_what_it_starts_write_no_compiled_files(source):
    bytecode.compile_before(source)
    assert sys.dont_write_bytecode
    assert os.environ["PYTHONDONTWRITEBYTECODE"] == "1"


def test_a_module_that_changed_is_compiled_anew(source, monkeypatch):
    bytecode.compile_before(source)
    before = compiled_file(source).read_bytes()
    (source / "one.py").write_text("A = 22\n")
    os.utime(source / "one.py", (1, 1))
    start(source, monkeypatch)
    assert compiled_file(source).read_bytes() != before


def test_nothing_is_compiled_on_a_disk_that_is_nearly_full(source, monkeypatch):
    full = bytecode.shutil._ntuple_diskusage(10**9, 10**9, 4096)
    monkeypatch.setattr(bytecode.shutil, "disk_usage", lambda path: full)
    bytecode.compile_before(source)
    assert not compiled_file(source).exists()
    assert sys.dont_write_bytecode


def test_a_folder_in_which_nothing_may_be_written_keeps_no_one_from_starting(source, monkeypatch):
    def refused(path):
        raise PermissionError(13, "no")

    monkeypatch.setattr(bytecode.shutil, "disk_usage", refused)
    bytecode.compile_before(source)
    assert sys.dont_write_bytecode
