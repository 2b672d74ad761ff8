import random
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.runs.events import LONGEST_WHO
from server.domain.runs.joining import (
    ALPHABET,
    CODE_LENGTH,
    StandingCode,
    join_code,
    opened_by,
    read_code,
    read_name,
    unused_code,
)

# Pairs that hands and eyes confuse. The pairs are common practice, no source.
LOOK_ALIKES = ("0O", "1IL", "2Z", "5S", "8B", "UV")


def test_of_signs_that_look_alike_codes_use_at_most_one():
    assert all(sum(sign in ALPHABET for sign in pair) <= 1 for pair in LOOK_ALIKES)
    assert len(set(ALPHABET)) == len(ALPHABET) == 24


def test_a_code_is_short_and_yet_one_of_more_than_a_hundred_million():
    code = join_code(random.Random(1).choice)
    assert re.fullmatch(f"[{ALPHABET}]{{{CODE_LENGTH}}}", code)
    assert len(ALPHABET) ** CODE_LENGTH > 100_000_000


@given(st.integers(), st.lists(st.sampled_from([" ", "-", ".", "\u2009"]), max_size=6))
def test_a_code_is_read_however_it_is_spaced_and_cased(seed, gaps):
    code = join_code(random.Random(seed).choice)
    typed = "".join(
        sign + gap for sign, gap in zip(code, [*gaps, *[""] * CODE_LENGTH], strict=False)
    )
    assert read_code(typed.lower()) == code


def test_a_new_code_is_none_of_those_that_are_taken():
    taken = {join_code(random.Random(1).choice)}
    assert unused_code(random.Random(1).choice, taken) not in taken


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        (" - ", "Type the code that the host’s screen shows."),
        ("GG7777", "No tasting opens to this code. Compare it with the host’s."),
        ("HH9999", "This code has expired. Ask the host for a new one."),
    ],
)
def test_a_code_opens_what_it_is_of_until_its_time_is_over(typed, told):
    codes = [StandingCode("AA3333", "plum", 101), StandingCode("HH9999", "pear", 100)]
    assert opened_by("aa-33 33", codes, 100, what="tasting", who="host") == "plum"
    with pytest.raises(InvalidInput) as refused:
        opened_by(typed, codes, 100, what="tasting", who="host")
    assert [fault.message for fault in refused.value.faults] == [told]


@given(st.text())
def test_whatever_is_typed_is_read_as_a_short_text(text):
    assert len(read_code(text)) <= 120


def test_a_name_is_taken_on_one_line():
    assert read_name("  Ada\t of the\nbar ") == "Ada of the bar"


@pytest.mark.parametrize(
    ("text", "message"), [(" ", "Give the name"), ("x" * (LONGEST_WHO + 1), "Keep the name to 60")]
)
def test_a_name_that_is_none_or_too_long_is_refused(text, message):
    with pytest.raises(InvalidInput, match=message):
        read_name(text)
