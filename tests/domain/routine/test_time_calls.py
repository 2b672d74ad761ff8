import pytest

from server.domain.base.errors import InvalidInput
from server.domain.routine.rules import TimeCall
from server.domain.routine.time_calls import doubts, left_in_words, parse_calls, written
from tests.table import table

SLOT_S = 720


@table(
    "words, left_s",
    [
        ("Thirty seconds left", 30),
        ("2 minutes to go", 120),
        ("one minute remaining", 60),
        ("1:30 left", 90),
        ("Half a minute left", 30),
        ("forty-five seconds left", 45),
        ("Half way", None),
        ("Five minutes", None),
        ("Pour from the left", None),
    ],
)
def test_words_tell_what_is_left_only_where_they_say_so(words, left_s):
    assert left_in_words(words) == left_s


@pytest.mark.parametrize("line", ["10:00 Two minutes left", "2:00 left Two minutes left", "9:00 x"])
def test_a_call_that_agrees_with_its_clock_is_not_doubted(line):
    assert doubts(parse_calls(line, SLOT_S), SLOT_S) == ()


@pytest.mark.parametrize("words", ["Half way", "left", "Left hand down", "2:00 left", "to go"])
def test_a_call_that_is_written_reads_as_the_same_call(words):
    call = TimeCall(300, words)
    assert parse_calls(written(call, SLOT_S), SLOT_S) == (call,)


@table(
    "line, at_s, words",
    [
        ("2 min left", 600, "2:00 left"),
        ("2 minutes left Two minutes", 600, "Two minutes"),
        ("1 m 30 s to go", 630, "1:30 left"),
        ("90 s left", 630, "1:30 left"),
        ("5 min Half way", 300, "Half way"),
        ("5m Half way", 300, "Half way"),
        ("1.5 min left", 630, "1:30 left"),
        ("5:00 min Half way", 300, "min Half way"),
    ],
)
def test_the_unit_of_a_call_may_stand_apart(line, at_s, words):
    assert parse_calls(line, SLOT_S) == (TimeCall(at_s, words),)


@pytest.mark.parametrize("line", ["5 Half way", "2 left", "5.30 Half way"])
def test_a_call_that_may_be_in_minutes_or_in_seconds_is_asked_about(line):
    with pytest.raises(InvalidInput, match="could be minutes or seconds"):
        parse_calls(line, SLOT_S)


def test_every_line_that_cannot_be_read_is_told():
    with pytest.raises(InvalidInput) as refused:
        parse_calls("soon\n5:00 Half way\n13:00 left", SLOT_S)
    assert len(refused.value.faults) == 2
