"""`./run audit`: what is known of the parts of each lock file, asked by a general tool."""

import os
import subprocess
import sys

import pytest

from server.audit import FOUND, NONE, NOT_ASKED, ROOT, audit

# Like pip-audit it answers for what the file of requirements lists, and ends with 1 for a hole.
STAND_IN = """#!{python}
import json, sys
listed = open(sys.argv[sys.argv.index("-r") + 1]).read().split()
assert len({{each.split("==")[0] for each in listed}}) == len(listed), "a name stands there twice"
answers = [dict(zip(("name", "version"), each.split("==")), vulns=[]) for each in listed]
for each in answers:
    each["vulns"] = {holes}.get(each["name"], [])
print(json.dumps({{"dependencies": [a for a in answers if a["name"] not in {unknown}]}}))
sys.exit(any(each["vulns"] for each in answers))
"""
HOLE = {"id": "PYSEC-1", "aliases": ["CVE-1"], "fix_versions": ["2.1"], "description": "Bad."}
HASH = " \\\n    --hash=sha256:ab\n"


@pytest.fixture
def place(tmp_path, monkeypatch):
    """A folder of programs, where nothing else is found, and two lock files."""
    monkeypatch.setenv("PATH", str(tmp_path / "bin"))
    (tmp_path / "bin").mkdir()
    (tmp_path / "app.lock").write_text(f"jinja2==3.1{HASH}uvicorn==2.0{HASH}")
    more = f"av==18 ; python_version < '3.12'{HASH}av==19 ; python_version >= '3.12'{HASH}"
    (tmp_path / "more.lock").write_text(f"Jinja2==3.1{HASH}{more}")
    return tmp_path


def put(place, script, name="pip-audit"):
    program = place / "bin" / name
    program.write_text(script)
    program.chmod(0o755)


def stand_in(holes=None, unknown=()):
    return STAND_IN.format(python=sys.executable, holes=repr(holes or {}), unknown=repr(unknown))


def audited(place):
    return audit([place / "app.lock", place / "more.lock"])


def test_parts_without_a_known_hole_end_well(place, capsys):
    put(place, stand_in())
    assert audited(place) == NONE
    assert capsys.readouterr().out.splitlines() == [
        "app.lock: 2 parts, no known hole",
        "more.lock: 3 parts, no known hole",
    ]


def test_a_known_hole_is_told_under_each_lock_file_that_has_it(place, capsys):
    put(place, stand_in({"jinja2": [HOLE], "av": [HOLE | {"fix_versions": []}]}))
    assert audited(place) == FOUND
    assert capsys.readouterr().out.splitlines() == [
        "app.lock: 2 parts, 1 with a known hole",
        "    jinja2 3.1: PYSEC-1, CVE-1; mended in 2.1",
        "more.lock: 3 parts, 3 with a known hole",
        "    av 18: PYSEC-1, CVE-1; not mended yet",
        "    av 19: PYSEC-1, CVE-1; not mended yet",
        "    jinja2 3.1: PYSEC-1, CVE-1; mended in 2.1",
    ]


def test_a_part_that_is_not_answered_for_is_no_good_end(place, capsys):
    put(place, stand_in(unknown=("uvicorn",)))
    assert audited(place) == NOT_ASKED
    said = capsys.readouterr().out
    assert "app.lock: 2 parts, no known hole in the 1 that could be looked up" in said
    assert "could not be looked up: uvicorn 2.0" in said


def test_where_nothing_is_answered_for_no_good_word_is_said(place, capsys):
    put(place, stand_in(unknown=("uvicorn", "jinja2", "av")))
    assert audited(place) == NOT_ASKED
    said = capsys.readouterr().out
    assert "app.lock: 2 parts, none of which could be looked up" in said
    assert "no known hole" not in said


def test_without_an_answer_it_is_said_so(place, capsys):
    put(place, "#!/bin/sh\nexit 1\n")
    assert audited(place) == NOT_ASKED
    assert "could not be had" in capsys.readouterr().err


def test_uv_brings_the_tool_where_it_is_not_there(place):
    put(place, '#!/bin/sh\n[ "$1 $2 $3" = "tool run pip-audit" ] && exec tool "$@"\n', "uv")
    put(place, stand_in({"uvicorn": [HOLE]}), "tool")
    assert audited(place) == FOUND


def test_without_the_tool_one_is_told_how_to_get_it(place, monkeypatch, capsys):
    monkeypatch.setattr("server.audit.find_spec", lambda _name: None)
    assert audited(place) == NOT_ASKED
    assert capsys.readouterr().err.startswith("pip-audit, which asks for what is known")


def test_one_command_asks_for_every_lock_file(place):
    put(place, stand_in({"jinja2": [HOLE]}))
    environment = os.environ | {"PYTHON": sys.executable, "PATH": f"{place}/bin:{os.defpath}"}
    said = subprocess.run([ROOT / "run", "audit"], env=environment, capture_output=True, text=True)
    told = [line.split(":")[0] for line in said.stdout.splitlines() if line[0] != " "]
    assert (said.returncode, told) == (FOUND, sorted(file.name for file in ROOT.glob("*.lock")))
