"""What is refused is told in a sentence, beside the field that it is about."""

import ast
import re
from pathlib import Path

from tests.parsed import tree

SERVER = Path(__file__).resolve().parent.parent / "server"
A_FIELD = re.compile(r"[a-z][a-z0-9_-]*|")
A_SENTENCE = re.compile(r"[A-Z“].*[.!?…”]", re.DOTALL)
REFUSALS = {"Fault", "InvalidInput.of"}


def refusals():
    """Place, field and message of each refusal that is written as two texts."""
    for path in sorted(SERVER.rglob("*.py")):
        for node in ast.walk(tree(path)):
            if not isinstance(node, ast.Call) or len(node.args) != 2:
                continue
            if ast.unparse(node.func) in REFUSALS:
                yield f"{path.relative_to(SERVER)}:{node.lineno}", *node.args


def fits(text, pattern):
    return not isinstance(text, ast.Constant) or pattern.fullmatch(text.value) is not None


def test_a_refusal_names_a_field_and_then_says_a_sentence():
    written = list(refusals())
    assert len(written) > 200
    assert [place for place, field, _ in written if not fits(field, A_FIELD)] == []
    assert [place for place, _, message in written if not fits(message, A_SENTENCE)] == []
