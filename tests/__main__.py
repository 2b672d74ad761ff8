"""python -m tests: every gate, one named step each. Arguments go to pytest."""

import os
import signal
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path

from tests.in_memory import room_for_tests
from tests.postgres_installed import provide_postgres

ROOT = Path(__file__).resolve().parent.parent
PYTHON = sys.executable

GATES = (
    ("format", ["-m", "ruff", "format", "--check", "."]),
    ("lint", ["-m", "ruff", "check", "."]),
)
TYPES = ["-m", "mypy", "--no-error-summary"]
COVERAGE = ["--cov=server/domain", "--cov-branch", "--cov-report=term-missing:skip-covered"]
ALL = "--all"
POSTGRES = "--postgresql"
ON_POSTGRES = ["--engine", "postgresql", "tests/store", "tests/web"]
"""Every test of the store and the web on the other engine; the usual run has a chosen part."""

USUAL = ["-m", "not thorough"]
MOST_ABREAST = 4
"""Each worker has an app, its servers and a browser of its own: about a gigabyte."""


def main(arguments: Sequence[str]) -> int:
    """Run every gate, also after one has failed. The exit status, 0 when all passed."""
    failed = [name for name, command in GATES if not passes(name, command)]
    # Part of the tests says nothing about how much of the domain is covered.
    chosen = [*abreast(), *(COVERAGE if ALL in arguments else USUAL)]
    if POSTGRES in arguments:
        chosen += ON_POSTGRES
    selection = [each for each in arguments if each not in (ALL, POSTGRES)] or chosen
    provide_postgres()
    with typed_meanwhile() as types, room_for_tests():
        print("tests", flush=True)
        if subprocess.run([PYTHON, "-m", "pytest", *selection], cwd=ROOT, check=False).returncode:
            failed.append("tests")
        if not types.passed():
            failed.append("types")
    if failed:
        print("FAILED: " + ", ".join(failed))
    return 1 if failed else 0


def abreast() -> list[str]:
    """How many tests pytest runs at a time: two more than there are cores.

    Tests in a browser wait a great deal, for it and for servers, and other tests fill that. A
    worker that has nothing left takes tests from the others.
    """
    return ["-n", str(min((os.cpu_count() or 1) + 2, MOST_ABREAST)), "--dist", "worksteal"]


def passes(name: str, command: Sequence[str]) -> bool:
    """Run one gate, print how it went and how long it took."""
    began = time.monotonic()
    passed = subprocess.run([PYTHON, *command], cwd=ROOT, check=False).returncode == 0
    say(name, passed, began)
    return passed


class Typed:
    """The types, looked through in a process of their own; what it finds is told when asked."""

    def __init__(self, said: Path) -> None:
        self._said = said
        self._began = time.monotonic()
        with said.open("wb") as out:
            self.process = subprocess.Popen([PYTHON, *TYPES], cwd=ROOT, stdout=out, stderr=out)

    def passed(self) -> bool:
        """Whether all types fit, once that is known; prints what does not."""
        passed = self.process.wait() == 0
        print(self._said.read_text(), end="")
        say("types", passed, self._began)
        return passed


@contextmanager
def typed_meanwhile() -> Iterator[Typed]:
    """Look through the types beside the tests, which leave a core idle at times.

    What is found waits until the tests have had their say, or else would stand in its midst.
    """
    with tempfile.TemporaryDirectory() as folder:
        types = Typed(Path(folder) / "types")
        try:
            yield types
        finally:
            if types.process.poll() is None:
                types.process.kill()
                types.process.wait()


def say(name: str, passed: bool, began: float) -> None:
    """Print how a gate went and how long it took; beside others it takes longer than alone."""
    took_s = time.monotonic() - began
    print(f"{name:<8}{'passed' if passed else 'FAILED'} in {took_s:.1f} s", flush=True)


if __name__ == "__main__":
    # Whoever asks it to end gets the memory back, too.
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))
    sys.exit(main(sys.argv[1:]))
