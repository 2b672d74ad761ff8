"""Outside checks: the JSON Schema is held against its own 2020-12 meta-schema, and documents
against the schema, by the jsonschema library."""

import json
from dataclasses import dataclass, replace

import pytest
from hypothesis import example, find, given, settings
from jsonschema import Draft202012Validator
from pydantic import TypeAdapter

from server.domain.base.errors import InvalidInput
from server.domain.glass.figures import Figure
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Ice, Layer, Rest
from server.domain.routine.drink import Drink
from server.domain.routine.filter_reading import FiltrationReading
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet
from server.domain.routine.tolerance import Tolerance
from server.domain.runs.events import MOST_IN_BATCH, Event
from server.domain.whole.exchange import (
    LARGEST_FILE,
    RunRecord,
    events_json,
    from_json,
    parse_events,
    to_json,
)
from server.domain.whole.routine_file import RoutineFile, file_schema, parse_file
from tests.domain.drawn import WHOLE, drawn, reached
from tests.exported import write_file
from tests.table import table

RULES = RuleSheet("x", "House")
ROUTINE = Routine("r", "Mine", "x", segments=(Segment("s1", "Start", Spread(60)),))
EVENTS = (
    Event("e1", "tablet", "boot", 0, "start", 1_790_000_000_000, 12.5),
    Event("e2", "tablet", "boot", 1, "done", 1_790_000_060_000, 60_012.5, segment_id="s1"),
)
FILE = RoutineFile(
    format="ninefifty-routine",
    version=1,
    routine=ROUTINE,
    rules=RULES,
    plans={"k": Plan(ROUTINE, RULES)},
    runs=(RunRecord("run1", "k", 1_790_000_000_000, "stage", "First", events=EVENTS),),
)

STEPS = (
    Ice("ice", 4.0),
    Agitate("shake", "shake"),
    Blend("weighed", Figure(180, 170, 190), -10.0, -4.0),
    Blend("listed"),
    Bring("heat", "heat", 60.0, Figure(5)),
    Rest("stand", Figure(5)),
    Filter("volume", Figure(200)),
    Filter("loss", loss_percent=Figure(20)),
    Layer("layer"),
)
EVERY_STEP = replace(FILE, routine=replace(ROUTINE, drinks=(Drink("d", "Sour", steps=STEPS),)))
PARTS = sorted(reached(RoutineFile) - {RoutineFile, Plan, Routine}, key=lambda kind: kind.__name__)


def document(**changes):
    return json.dumps({**json.loads(write_file(FILE)), **changes}).encode()


def refusal(content):
    with pytest.raises(InvalidInput) as refused:
        parse_file(content)
    (fault,) = refused.value.faults
    assert fault.field == "file"
    return fault.message


def test_a_routine_with_its_runs_comes_back_equal():
    assert parse_file(write_file(FILE).encode()) == FILE


@table("kind", PARTS, ids=lambda kind: kind.__name__)
def test_every_value_of_every_kind_survives_the_way_out_and_in(kind):
    adapter = TypeAdapter(kind)

    @settings(max_examples=settings.default.max_examples // 2)
    @given(drawn(kind))
    def survives(value):
        assert adapter.validate_json(adapter.dump_json(value, exclude_defaults=True)) == value

    survives()


@WHOLE
@given(drawn(RoutineFile))
@example(EVERY_STEP)
def test_every_file_survives_the_way_out_and_in(file):
    assert parse_file(write_file(file).encode()) == file


@WHOLE
@given(drawn(Routine))
@example(EVERY_STEP.routine)
def test_every_routine_survives_as_compact_json(routine):
    assert from_json(Routine, to_json(routine)) == routine


def test_a_field_that_is_added_later_is_drawn_too():
    @dataclass(frozen=True)
    class Later(FiltrationReading):
        remark: str = ""

    assert find(drawn(Later), lambda value: bool(value.remark)).remark


def test_a_file_without_the_kinds_of_its_steps_is_read():
    """As files were written when what is usual was left out of them."""
    before = json.loads(write_file(EVERY_STEP))
    for step in before["routine"]["drinks"][0]["steps"]:
        if step["kind"] in ("ice", "filter", "layer"):
            del step["kind"]
    assert parse_file(json.dumps(before).encode()) == EVERY_STEP


@pytest.mark.parametrize("step", [7, "ice", {"id": "x", "kind": 7}, {"id": "x", "kind": "boil"}])
def test_a_step_of_no_kind_is_refused_with_its_place(step):
    wrong = json.loads(write_file(EVERY_STEP))
    wrong["routine"]["drinks"][0]["steps"] = [step]
    told = refusal(json.dumps(wrong).encode())
    assert told == "At routine.drinks.0.steps.0: This is no kind of step known here."


def test_the_schema_is_a_valid_json_schema():
    Draft202012Validator.check_schema(file_schema())
    assert file_schema()["title"] == "A Ninefifty routine with its practice runs"


SCHEMA = Draft202012Validator(file_schema())


@WHOLE
@given(drawn(RoutineFile))
@example(EVERY_STEP)
def test_every_exported_file_keeps_to_the_schema(file):
    assert list(SCHEMA.iter_errors(json.loads(write_file(file)))) == []


@pytest.mark.parametrize(
    "place", [("routine", "surprise"), ("rules", "surprise"), ("surprise",), ("routine", "name")]
)
def test_schema_and_reader_refuse_the_same_wrong_file(place):
    wrong = json.loads(write_file(FILE))
    target = wrong
    for key in place[:-1]:
        target = target[key]
    target[place[-1]] = 7
    assert list(Draft202012Validator(file_schema()).iter_errors(wrong))
    assert place[-1] in refusal(json.dumps(wrong).encode())


@table(
    "content, told",
    [
        (b"", "no JSON file"),
        (b"\xff\xfe\x00", "no JSON file"),
        (b"PK\x03\x04", "no JSON file"),
        (b"[1, 2]", "no JSON file"),
        (b"{}", "does not hold a routine exported here"),
        (document(format="another"), "does not hold a routine exported here"),
        (document(version=2), "has version 2; this app reads 1"),
        (document(rules=None), "rules"),
        (document(plans={}), "lacks the plan “k” of a run"),
        (b" " * (LARGEST_FILE + 1), "larger than 32 MB"),
        (b"[" * 100_000, "no JSON file"),
    ],
)
def test_a_file_that_is_not_ours_is_refused_in_a_sentence(content, told):
    assert told in refusal(content)


def test_a_wrong_value_is_told_with_the_place_it_stands_in():
    wrong = json.loads(write_file(FILE))
    wrong["routine"]["segments"][0]["duration"]["likely_s"] = -1
    assert "routine.segments.0.duration.likely_s" in refusal(json.dumps(wrong).encode())


def test_several_wrong_values_are_told_as_the_first_and_how_many_more():
    wrong = json.loads(write_file(FILE))
    wrong["routine"]["segments"][0]["duration"]["likely_s"] = -1
    one = refusal(json.dumps(wrong).encode())
    wrong["routine"]["language"] = 7
    wrong["rules"]["slot_s"] = "long"
    assert "more" not in one
    assert one.endswith(".")
    assert refusal(json.dumps(wrong).encode()).endswith(". (2 more)")


def test_a_file_of_just_the_largest_size_is_taken():
    content = write_file(FILE).encode()
    assert parse_file(content + b" " * (LARGEST_FILE - len(content))) == FILE


def test_a_rule_of_the_domain_broken_in_a_file_is_told_as_a_sentence():
    wrong = json.loads(write_file(FILE))
    wrong["routine"]["segments"] *= 2
    assert "Two parts of the routine carry the same id." in refusal(json.dumps(wrong).encode())


@table("place", ["routine", "rules", "runs.0", "routine.segments.0"])
@table("wrong_id", ["", "a/b", "../x", "=1+1", "with space", "x" * 65])
def test_an_id_that_no_address_or_mark_could_carry_is_refused(place, wrong_id):
    wrong = json.loads(write_file(FILE))
    target = wrong
    for key in place.split("."):
        target = target[int(key) if key.isdigit() else key]
    target["id"] = wrong_id
    assert f"At {place}.id: " in refusal(json.dumps(wrong).encode())


def test_two_runs_of_one_id_are_refused():
    wrong = json.loads(write_file(FILE))
    wrong["runs"] *= 2
    assert refusal(json.dumps(wrong).encode()) == "Two runs of the file carry the same id."


def test_a_batch_of_events_is_read_as_the_browser_made_it():
    content = json.dumps({"events": events_json(EVENTS)}).encode()
    assert parse_events(content) == EVENTS


def test_events_leave_without_the_fields_they_do_not_use():
    assert "segment_id" not in events_json(EVENTS)[0]
    assert events_json(EVENTS)[1]["segment_id"] == "s1"


@table(
    "batch",
    [
        [],
        {"events": []},
        {"events": events_json(EVENTS[:1]) * (MOST_IN_BATCH + 1)},
        {"events": [{**events_json(EVENTS)[0], "kind": "dance"}]},
        {"events": [{**events_json(EVENTS)[0], "kind": "done"}]},
        {"events": [{**events_json(EVENTS)[0], "seq": -1}]},
        {"events": [{**events_json(EVENTS)[0], "id": "<script>"}]},
        {"events": [{**events_json(EVENTS)[0], "surprise": 1}]},
    ],
)
def test_a_malformed_batch_is_refused(batch):
    with pytest.raises(InvalidInput):
        parse_events(json.dumps(batch).encode())


def test_a_number_that_is_no_number_is_refused():
    text = json.dumps({"events": events_json(EVENTS)}).replace("12.5", "NaN", 1)
    with pytest.raises(InvalidInput):
        parse_events(text.encode())


def test_each_part_and_run_of_an_exported_file_has_a_line_of_its_own():
    runs = (FILE.runs[0], replace(FILE.runs[0], id="run2"))
    lines = write_file(replace(FILE, runs=runs)).splitlines()
    starts = [line.split(":")[0] for line in lines]
    assert starts[1:6] == ['"format"', '"version"', '"routine"', '"rules"', '"plans"']
    assert [json.loads(line.rstrip(","))["id"] for line in lines[7:9]] == ["run1", "run2"]


def test_an_exported_file_spends_nothing_on_indentation_and_defaults():
    text = write_file(FILE)
    assert len(text) < 1.1 * len(json.dumps(json.loads(text), separators=(",", ":")))
    assert "penalty_cap" not in text


def test_a_changed_tolerance_comes_back_from_its_file():
    own = Tolerance(amount_percent=12.5, temp_c=3.0, strength_points=1.5, time_s=25.0)
    file = replace(FILE, routine=replace(ROUTINE, tolerance=own))
    assert parse_file(write_file(file)).routine.tolerance == own
    assert parse_file(write_file(FILE)).routine.tolerance == Tolerance()
