"""What the stage is handed of a run, whatever the routine holds."""

import json
from dataclasses import fields

from hypothesis import given

from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine, Segment
from server.web.stage.run_data import try_data, without_words
from tests.domain.drawn import WHOLE, drawn
from tests.factories import RULES

NAMES = {"id", "name", "lane", "drink", "drink_id"}


@given(drawn(Routine))
@WHOLE
def test_the_stage_is_handed_all_that_a_segment_holds(routine):
    data = json.loads(json.dumps(try_data(Plan(routine, RULES))))
    held = {each.name for each in fields(Segment)} - {"duration"}
    for segment, told in zip(routine.segments, data["segments"], strict=True):
        assert held | {"likely_s", "low_s", "high_s"} <= told.keys()
        assert (told["hands"], told["said"]) == (segment.hands, segment.said)


@given(drawn(Routine))
@WHOLE
def test_who_may_not_read_the_script_is_handed_no_text_of_a_segment_but_names(routine):
    data = without_words(try_data(Plan(routine, RULES)))
    texts = [
        value
        for segment in data["segments"]
        for name, value in segment.items()
        if isinstance(value, str) and name not in NAMES
    ]
    assert set(texts) <= {""}
