"""What of a log a judge is told: others' remarks would sway them."""

from dataclasses import replace

import pytest

from server.domain.runs.watching import is_for_judges
from tests.factories import make_event

SPILL = make_event("spill", "incident", what="spill")
NOTE = make_event("note", "note", text="Too fast.")
WATCHED = {"who": "Ada", "at_ms": 100.0, "device_id": "phone"}


@pytest.mark.parametrize(
    ("event", "told"),
    [
        (SPILL, True),
        (NOTE, False),
        (replace(SPILL, **WATCHED), False),
        (replace(NOTE, **WATCHED), False),
    ],
    ids=["the stage's incident", "the stage's note", "a watcher's incident", "a watcher's note"],
)
def test_a_judge_is_told_what_the_stage_marks_and_else_only_their_own(event, told):
    assert is_for_judges(event, own=()) is told
    assert is_for_judges(event, own=(event.device_id,))
