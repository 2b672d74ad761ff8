"""`./run audit`: asks whether a hole is known in any part that a lock file lists.

A person starts it, before a release and once a month at least (ASVS.md, "Parts of others"): the app
asks no other host by itself. pip-audit does the asking, by what is published of the packages.
Standard library only, and nothing of ours imported: it needs nothing installed but that tool.
"""

import json
import re
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

ROOT = Path(__file__).resolve().parent.parent
NONE, FOUND, NOT_ASKED = 0, 1, 2
"""How it ends: no hole is known, one is, or it could not be asked for each part."""

OPTIONS = ("--format", "json", "--progress-spinner", "off", "--disable-pip", "--no-deps")
NO_TOOL = """pip-audit, which asks for what is known of packages, is not here. With uv it is had by
itself; else install it beside this project: python3 -m pip install --user pip-audit"""
NO_ANSWER = "What is known of the packages could not be had; pip-audit says why above."

Part = tuple[str, str]
"""The name of a package and its version."""
Answer = dict[str, Any]
"""A part of what pip-audit writes, or a hole of it."""


@dataclass(frozen=True)
class Known:
    """What is known of some parts: their holes in words, and what could not be looked up."""

    holes: dict[Part, list[str]]
    not_asked: frozenset[Part]


class NotAsked(Exception):
    """It could not be asked; the message says why."""


def audit(locks: Sequence[Path]) -> int:
    """Print what is known of the parts of each lock file; the exit status."""
    listed = {lock: parts_of(lock.read_text(encoding="utf-8")) for lock in locks}
    try:
        known = ask(auditor(), set().union(*listed.values()))
    except NotAsked as problem:
        print(problem, file=sys.stderr)
        return NOT_ASKED
    for lock, parts in listed.items():
        print(told(lock.name, parts, known))
    if known.holes:
        return FOUND
    return NOT_ASKED if known.not_asked else NONE


def parts_of(lock: str) -> set[Part]:
    """What a lock file lists, for whatever system and Python.

    >>> sorted(parts_of("av==18.1 ; python_version < '3.12' \\\\\\n    --hash=sha256:1\\nPy_X==2"))
    [('av', '18.1'), ('py-x', '2')]
    """
    listed = re.findall(r"^([\w.-]+)(?:\[[^\]]*\])?==([^\s;\\]+)", lock, re.MULTILINE)
    return {(_settled(name), version) for name, version in listed}


def auditor() -> list[str]:
    """The command that starts pip-audit here. Raises NotAsked."""
    if found := shutil.which("pip-audit"):
        return [found]
    if find_spec("pip_audit"):
        return [sys.executable, "-m", "pip_audit"]
    if uv := shutil.which("uv"):
        return [uv, "tool", "run", "pip-audit"]
    raise NotAsked(NO_TOOL)


def ask(command: Sequence[str], parts: set[Part]) -> Known:
    """What is known of these parts. Raises NotAsked."""
    holes: dict[Part, list[str]] = {}
    left = set(parts)
    while some := _each_name_once(left):
        left -= some
        for answer in _answers(command, some):
            part = (_settled(answer["name"]), answer.get("version", ""))
            parts = parts - {part}
            if answer.get("vulns"):
                holes[part] = [_in_words(each) for each in answer["vulns"]]
    return Known(holes, frozenset(parts))


def told(name: str, parts: set[Part], known: Known) -> str:
    """What is known of one lock file, in lines."""
    have, asked = len(parts & known.holes.keys()), len(parts - known.not_asked)
    found = f"{have} with a known hole" if have else "no known hole"
    if not asked:
        found = "none of which could be looked up"
    elif asked < len(parts):
        found += f" in the {asked} that could be looked up"
    lines = [f"{name}: {len(parts)} parts, {found}"]
    for part in sorted(parts & known.holes.keys()):
        lines += [f"    {' '.join(part)}: {hole}" for hole in known.holes[part]]
    if unknown := sorted(parts & known.not_asked):
        names = ", ".join(" ".join(part) for part in unknown)
        lines.append(f"    could not be looked up: {names}")
    return "\n".join(lines)


def _each_name_once(parts: set[Part]) -> set[Part]:
    """Parts that can be asked for together: two versions of one name are refused."""
    return set(dict(sorted(parts)).items())


def _answers(command: Sequence[str], parts: set[Part]) -> list[Answer]:
    lines = "".join(f"{name}=={version}\n" for name, version in sorted(parts))
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder) / "requirements.txt"
        file.write_text(lines, encoding="utf-8")
        asked = subprocess.run(  # noqa: S603
            [*command, *OPTIONS, "-r", str(file)], stdout=subprocess.PIPE, text=True, check=False
        )
    # The status is the same for a hole and for a failure.
    try:
        answers: list[Answer] = json.loads(asked.stdout)["dependencies"]
    except (ValueError, KeyError, TypeError):
        raise NotAsked(NO_ANSWER) from None
    return answers


def _in_words(hole: Answer) -> str:
    names = ", ".join([hole["id"], *hole.get("aliases", [])])
    mended = ", ".join(hole.get("fix_versions", []))
    return f"{names}; " + (f"mended in {mended}" if mended else "not mended yet")


def _settled(name: str) -> str:
    """A package's name as registries compare it."""
    return re.sub(r"[-_.]+", "-", name).lower()


if __name__ == "__main__":
    if sys.argv[1:]:
        sys.exit("./run audit takes no arguments.")
    sys.exit(audit(sorted(ROOT.glob("requirements*.lock"))))
