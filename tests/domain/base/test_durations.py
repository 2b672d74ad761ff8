import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.durations import (
    LONGEST_S,
    format_clock,
    format_duration,
    format_signed,
    parse_duration,
    write_duration,
)
from server.domain.base.errors import Fault, InvalidInput
from server.domain.base.languages import supported
from tests.table import table


@table(
    "typed, expected_s",
    [
        ("1:15", 75),
        ("75", 75),
        ("1m15", 75),
        ("1m15s", 75),
        ("1 min 15 s", 75),
        ("1′15″", 75),
        ("1’15”", 75),
        ("1’ 15’’", 75),
        ("90 segundos", 90),
        ("1 Minute 30 Sekunden", 90),
        ("2 minuti", 120),
        (" 75 sec ", 75),
        ("1:02:03", 3723),
        ("1h", 3600),
        ("90 minutes", 5400),
        ("7,5", 7.5),
        (".5", 0.5),
        ("9:49.6", 589.6),
        ("0", 0),
    ],
)
def test_a_duration_is_understood_however_it_is_typed(typed, expected_s):
    assert parse_duration(typed) == pytest.approx(expected_s, abs=1e-9)


@table(
    "typed, told",
    [
        ("", "Give a duration"),
        ("   ", "Give a duration"),
        ("-5", "cannot be negative"),
        ("−1:15", "cannot be negative"),
        ("soon", "is no duration"),
        ("1:75", "is no duration"),
        ("nan", "is no duration"),
        ("1e5", "is no duration"),
        ("<b>5</b>", "is no duration"),
        ("86401", "longer than a day"),
        ("99:59:59", "longer than a day"),
    ],
)
def test_what_is_no_duration_is_refused_beside_its_field(typed, told):
    with pytest.raises(InvalidInput) as refused:
        parse_duration(typed, "likely")
    (fault,) = refused.value.faults
    assert fault.field == "likely"
    assert told in fault.message


def test_a_whole_day_is_the_longest_duration_taken():
    assert parse_duration("24:00:00") == LONGEST_S


@given(st.integers(0, int(LONGEST_S) * 10))
def test_a_printed_duration_is_read_back_as_the_same_time(tenths):
    seconds = tenths / 10
    assert parse_duration(format_duration(seconds)) == pytest.approx(seconds, abs=1e-9)


@given(st.floats(-LONGEST_S, LONGEST_S, allow_nan=False))
def test_a_printed_difference_is_within_half_a_tenth(seconds):
    sign, number = format_signed(seconds)[0], float(format_signed(seconds)[1:].removesuffix(" s"))
    printed_s = -number if sign == "−" else number
    assert printed_s == pytest.approx(seconds, abs=0.05 + 1e-6)
    assert (sign == "±") == (number == 0)


@pytest.mark.parametrize(
    ("seconds", "printed"),
    [
        (0, "0:00"),
        (0.5, "0:00.5"),
        (59.94, "0:59.9"),
        (59.96, "1:00"),
        (600, "10:00"),
        (-12.34, "−0:12.3"),
        (5999.94, "99:59.9"),
        (6000, "1:40:00"),
        (86400, "24:00:00"),
    ],
)
def test_a_duration_is_printed_as_minutes_and_seconds(seconds, printed):
    assert format_duration(seconds) == printed


def test_a_form_shows_hours_as_the_pages_do():
    assert [write_duration(each) for each in (5999.25, 6000.25)] == ["99:59.25", "1:40:00.25"]


def test_a_duration_that_rounds_to_nothing_carries_no_minus():
    assert format_duration(-0.01) == "0:00"
    assert format_signed(-0.04) == "±0.0 s"


@pytest.mark.parametrize(
    ("seconds", "printed"), [(589.5, "9:50"), (589.4, "9:49"), (0.5, "0:01"), (-0.5, "−0:01")]
)
def test_a_clock_is_printed_to_the_whole_second_half_up(seconds, printed):
    assert format_clock(seconds) == printed


@pytest.mark.parametrize(
    ("typed", "asked"), [("4.30", "4:30 or 4.3 s"), ("1,05", "1:05 or 1.05 s")]
)
def test_minutes_written_with_a_dot_are_asked_about_and_not_taken_for_seconds(typed, asked):
    with pytest.raises(InvalidInput) as refused:
        parse_duration(typed, "likely")
    told = f"“{typed}” could be minutes or seconds. Type {asked}."
    assert refused.value.faults == (Fault("likely", told),)
    assert [parse_duration(each) for each in asked.split(" or ")] == [
        parse_duration(typed.replace(".", ":").replace(",", ":")),
        float(typed.replace(",", ".")),
    ]
    assert [parse_duration(each) for each in ("4.3", "7,5", "4.75", "12.345")] == [
        4.3, 7.5, 4.75, 12.345,
    ]  # fmt: skip


@pytest.mark.parametrize("code", ["en", "de", "es", "fr", "it", "pt"])
def test_what_a_talk_calls_a_time_may_be_typed(code):
    # A field reads it by a pattern, because a start loads fields but no words of languages.
    words = supported(code).durations
    typed = [(word, float(unit)) for unit in ("1", "60", "3600") for word in words[unit]]
    assert [word for word, unit_s in typed if parse_duration(f"3 {word}") != 3 * unit_s] == []
