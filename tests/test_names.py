"""Each name means one thing: no two classes share one, nor modules that differ."""

import ast
from collections import defaultdict
from pathlib import Path

from tests.parsed import tree

SERVER = Path(__file__).resolve().parent.parent / "server"
TWICE: set[str] = set()
"""Names that two classes share because they mean the same."""


def test_a_class_name_means_one_thing():
    found = defaultdict(list)
    for path in sorted(SERVER.rglob("*.py")):
        for node in tree(path).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                found[node.name].append(path.relative_to(SERVER).as_posix())
    shared = {name: where for name, where in found.items() if len(where) > 1}
    assert {name: where for name, where in shared.items() if name not in TWICE} == {}


OF_EACH_ROOM = {"__init__", "__main__", "pages", "forms", "view"}
"""What a room of any kind calls its own: see DEVELOPERS.md."""

ONE_MEANING = {
    "again": "a second listening to a take",
    "arriving": "a file that comes in parts",
    "calculators": "small questions at the bar",
    "cards": "cue cards",
    "carrying": "what leaves and enters with the file of its routine",
    "claims": "what is claimed of the drinks",
    "claims_view": "the same on a page",
    "copies": "copies of a database",
    "corrections": "what the presenter says of a find",
    "deleted": "what can still be brought back",
    "due": "descriptors due in a run",
    "errors": "errors of the domain, and their answers",
    "files": "what is taken away as a file, or comes as one",
    "forgetting": "what was deleted goes for good",
    "gather": "what a page needs from many rooms",
    "goals": "the goal of a routine",
    "groups": "groups of runs held against each other",
    "house": "what an admin sees",
    "ids": "ids",
    "join": "joining by a code and a name",
    "learning_marks": "how a sentence said by heart went",
    "loudness": "loudness of a take, as bytes",
    "media": "files of sound and video",
    "moving": "a database moved from engine to engine",
    "onsets": "onsets of speech",
    "origin": "where a figure of a drink comes from",
    "outside": "setting up and clearing away",
    "paper": "a run timed on paper",
    "passkeys": "passkeys",
    "passwords": "passwords",
    "photographs": "photographs of the bar",
    "recipe_lines": "a recipe as lines of text",
    "record": "what leaves and enters with a file, as it stands in it",
    "recordings": "recordings of runs",
    "remarks": "what is remarked of a run",
    "rule_sheets": "rule sheets",
    "serving": "glasses put before tasters",
    "sessions": "the runs of a day at a venue",
    "shares": "how persons stand to routines",
    "shopping": "what to buy",
    "sound": "the sound of a take",
    "station": "the bar from above",
    "table": "the tables of a part of the store",
    "tape": "the slot as a strip",
    "teams": "teams",
    "time_calls": "time calls",
    "watchers": "who watches a run",
}
"""Names that modules of several rooms share -> the one meaning they have there."""


def test_a_module_name_means_one_thing():
    found = defaultdict(list)
    for path in sorted(SERVER.rglob("*.py")):
        found[path.stem].append(path.relative_to(SERVER).as_posix())
    shared = {name: where for name, where in found.items() if len(where) > 1}
    known = OF_EACH_ROOM | ONE_MEANING.keys()
    assert {name: where for name, where in shared.items() if name not in known} == {}
    assert known - shared.keys() == set()
