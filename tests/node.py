"""Modules of the app that ask for no page, called in Node.js where there is one."""

import json
import shutil
import subprocess
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent / "js"
READS_OUR_MODULES = "await import(process.argv[1])"


class Node:
    """Answers `evaluate` as a page does that has nothing on it."""

    def __init__(self, program: str) -> None:
        self._process = subprocess.Popen(
            [program, FOLDER / "worker.mjs"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )

    def evaluate(self, code: str, argument: object = None) -> object:
        """What the function that `code` is returns for `argument`."""
        print(
            json.dumps({"code": code, "argument": argument}), file=self._process.stdin, flush=True
        )
        answer = json.loads(self._process.stdout.readline())
        assert "error" not in answer, answer["error"]
        return answer["value"]

    def close(self) -> None:
        self._process.stdin.close()
        self._process.stdout.close()
        self._process.wait()


@cache
def find_node() -> str | None:
    """A Node.js that reads our modules as they are served; older ones want more than that."""
    program = shutil.which("node")
    if program is None:
        return None
    module = FOLDER.parents[1] / "static" / "js" / "run" / "fold.js"
    asked = [program, "--input-type=module", "-e", READS_OUR_MODULES, module.as_uri()]
    return (
        program if subprocess.run(asked, capture_output=True, check=False).returncode == 0 else None
    )
