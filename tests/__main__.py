"""python -m tests: every gate in order, one named step each. Arguments go to pytest."""

import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from tests.postgres_installed import provide_postgres

ROOT = Path(__file__).resolve().parent.parent
PYTHON = sys.executable

GATES = (
    ("format", ["-m", "ruff", "format", "--check", "."]),
    ("lint", ["-m", "ruff", "check", "."]),
    ("types", ["-m", "mypy", "--no-error-summary"]),
)
COVERAGE = ["--cov=server/domain", "--cov-branch", "--cov-report=term-missing:skip-covered"]
ALL = "--all"
POSTGRES = "--postgresql"
ON_POSTGRES = ["--engine", "postgresql", "tests/store", "tests/web"]
"""Every test of the store and the web on the other engine; the usual run has a chosen part."""

USUAL = ["-m", "not thorough"]
# Tests in a browser wait a great deal: two at a time halve the whole. A worker that has nothing
# left takes tests from the other.
ABREAST = ["-n", "2", "--dist", "worksteal"]


def main(arguments: Sequence[str]) -> int:
    """Run every gate, also after one has failed. The exit status, 0 when all passed.

    pytest comes last, so that its closing line closes a good run.
    """
    failed = [name for name, command in GATES if not passes(name, command)]
    # Part of the tests says nothing about how much of the domain is covered.
    chosen = [*ABREAST, *(COVERAGE if ALL in arguments else USUAL)]
    if POSTGRES in arguments:
        chosen += ON_POSTGRES
    selection = [each for each in arguments if each not in (ALL, POSTGRES)] or chosen
    provide_postgres()
    print("tests", flush=True)
    if subprocess.run([PYTHON, "-m", "pytest", *selection], cwd=ROOT, check=False).returncode:
        failed.append("tests")
    if failed:
        print("FAILED: " + ", ".join(failed))
    return 1 if failed else 0


def passes(name: str, command: Sequence[str]) -> bool:
    """Run one gate, print how it went and how long it took."""
    began = time.monotonic()
    passed = subprocess.run([PYTHON, *command], cwd=ROOT, check=False).returncode == 0
    took_s = time.monotonic() - began
    print(f"{name:<8}{'passed' if passed else 'FAILED'} in {took_s:.1f} s", flush=True)
    return passed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
