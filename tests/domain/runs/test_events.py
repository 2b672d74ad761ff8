"""Events: what a batch from a device must hold to be taken."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.runs.events import MOST_IN_BATCH, NEEDS, WATCHED, event_document
from server.domain.runs.run import Outline, fold
from server.domain.whole.exchange import parse_events
from tests.domain.run_logs import random_log
from tests.table import table

START = {
    "id": "0199-a_B",
    "device_id": "tablet",
    "boot_id": "boot-1",
    "seq": 0,
    "kind": "start",
    "wall_ms": 1_764_060_000_000,
    "mono_ms": 5000.125,
}
FILLED = {
    "segment_id": "grind",
    "process_id": "chill",
    "target_id": "e1",
    "what": "spill",
    "text": "Only water",
    "step_ms": -250.5,
    "cause": "set",
    "claim": "drink-1:descriptor:pear",
    "verdict": "heard",
    "criterion": "taste",
    "points": 7.5,
    "at_ms": 60_000.0,
}


def batch(*documents: dict) -> bytes:
    return json.dumps({"events": documents}).encode()


@table("kind", NEEDS)
def test_event_with_what_its_kind_needs_is_taken_and_written_as_it_came(kind):
    document = START | {"kind": kind} | {name: FILLED[name] for name in NEEDS[kind]}
    (event,) = parse_events(batch(document))
    assert event_document(event) == document


@table("kind, name", [(k, n) for k, names in NEEDS.items() for n in names])
def test_event_that_lacks_what_its_kind_needs_is_refused_by_that_field(kind, name):
    needed = {other: FILLED[other] for other in NEEDS[kind] if other != name}
    with pytest.raises(InvalidInput) as refusal:
        parse_events(batch(START | {"kind": kind} | needed))
    assert name in [fault.field for fault in refusal.value.faults]


@table(
    "field, value",
    [
        ("id", ""),
        ("id", "a b"),
        ("id", "<b>"),
        ("id", "x" * 65),
        ("id", 7),
        ("boot_id", None),
        ("seq", -1),
        ("seq", 1.5),
        ("seq", True),
        ("seq", "3"),
        ("seq", 10_000_001),
        ("kind", "pause"),
        ("wall_ms", -1),
        ("wall_ms", 2**53 + 1),
        ("wall_ms", "now"),
        ("mono_ms", -0.5),
        ("mono_ms", "5"),
        ("mono_ms", False),
        ("what", "fire"),
        ("text", "x" * 2001),
        ("step_ms", 1e300),
        ("cause", "magic"),
        ("at_ms", -1.0),
        ("who", "x" * 61),
        ("claim", ""),
        ("verdict", "guessed"),
        ("points", 1e9),
        ("volume_ml", 40),
    ],
)
def test_event_with_a_wrong_value_is_refused_by_the_place_it_stands_in(field, value):
    with pytest.raises(InvalidInput) as refusal:
        parse_events(batch(START | {field: value}))
    assert f"events.0.{field}" in [fault.field for fault in refusal.value.faults]


@pytest.mark.parametrize("content", [b"", b"[]", b"{}", b"{", b'{"events": []}', b'{"events": 1}'])
def test_content_that_is_no_batch_is_refused(content):
    with pytest.raises(InvalidInput):
        parse_events(content)


def test_infinite_and_missing_numbers_are_refused():
    for word in ("NaN", "Infinity", "-Infinity"):
        text = batch(START).decode().replace("5000.125", word)
        with pytest.raises(InvalidInput):
            parse_events(text.encode())


def test_batch_holds_at_most_its_limit():
    most = [START | {"id": f"e{n}", "seq": n} for n in range(MOST_IN_BATCH)]
    assert len(parse_events(batch(*most))) == MOST_IN_BATCH
    with pytest.raises(InvalidInput):
        parse_events(batch(*most, START))


@given(st.integers(min_value=0, max_value=2**32 - 1))
def test_events_are_written_exactly_as_the_device_made_them(seed):
    documents = random_log(seed)
    if documents:
        assert [event_document(event) for event in parse_events(batch(*documents))] == documents


@given(st.floats(min_value=0, max_value=2**53), st.integers(min_value=0, max_value=2**53))
def test_clock_readings_survive_the_way_through_json(mono_ms, wall_ms):
    (event,) = parse_events(batch(START | {"mono_ms": mono_ms, "wall_ms": wall_ms}))
    assert (event.mono_ms, event.wall_ms) == (mono_ms, wall_ms)


@pytest.mark.parametrize("kind", sorted(set(NEEDS) - WATCHED - {"hold", "resume"}))
def test_one_who_watches_cannot_mark_what_only_the_presenter_can(kind):
    document = START | {"kind": kind, "at_ms": 1000.0}
    document |= {name: FILLED[name] for name in NEEDS[kind]}
    with pytest.raises(InvalidInput, match="Who watches cannot mark"):
        parse_events(batch(document))


def test_segment_that_went_on_by_itself_says_so_and_counts_as_any_other():
    marks = {"segment_id": "s1", "kind": "done", "id": "e2", "seq": 1, "mono_ms": 35_000.125}
    by_hand = parse_events(batch(START, START | marks))
    by_itself = parse_events(batch(START, START | marks | {"cause": "plan"}))
    assert event_document(by_itself[1])["cause"] == "plan"
    outline = Outline(("s1", "s2"))
    assert fold(by_itself, outline) == fold(by_hand, outline)


def test_only_a_start_names_the_run_whose_plan_is_gone_by():
    (start,) = parse_events(batch(START | {"from_run": "run-1"}))
    assert event_document(start)["from_run"] == "run-1"
    with pytest.raises(InvalidInput, match="Only a start"):
        parse_events(batch(START | {"kind": "finish", "from_run": "run-1"}))
