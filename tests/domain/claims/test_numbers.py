"""Outside check: number words written by num2words, an independent library, are read back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from num2words import num2words

from server.domain.base.tokens import tokens_of
from server.domain.claims.said_numbers import numbers_in
from tests.table import table

LANGUAGES = ("en", "de", "fr", "es", "it", "pt")
# text2num writes hundreds in -uno without the elision that num2words has, and the other way round.


def values(text, language="en"):
    return [number.value for number in numbers_in(tokens_of(text), language)]


def read(text, language="en"):
    found = numbers_in(tokens_of(text), language)
    return [(number.value, *number.also) for number in found]


@pytest.mark.parametrize("language", LANGUAGES)
@given(number=st.integers(0, 2000))
def test_a_whole_number_said_in_words_is_read_back(language, number):
    assert values(num2words(number, lang=language), language) == [number]


@pytest.mark.parametrize("language", LANGUAGES)
@given(number=st.integers(0, 199), digit=st.integers(1, 9))
def test_a_decimal_said_in_words_is_read_back(language, number, digit):
    value = number + digit / 10
    assert values(num2words(value, lang=language), language) == pytest.approx([value])


@given(st.integers(2, 120))
def test_digits_and_words_of_a_number_mean_the_same(number):
    assert values(str(number)) == values(num2words(number))


@table(
    "said, meant",
    [
        ("a hundred and five", 105),
        ("hundred twenty", 120),
        ("two and a half", 2.5),
        ("one in a half ounces", 1.5),
        ("five and three quarters", 5.75),
        ("half an ounce", 0.5),
        ("three quarters of an ounce", 0.75),
        ("a dozen drops", 12),
        ("a couple of dashes", 2),
        ("point five", 0.5),
        ("two point seventy-five", 2.75),
        ("ninety-two and a half degrees", 92.5),
        ("minus two", -2),
        ("1 1/2 oz", 1.5),
        ("1½", 1.5),
        ("7,5", 7.5),
        ("one thousand, two hundred and fifty", 1250),
        ("fifteen", 15),
        ("fifty", 50),
        ("thirteen", 13),
        ("thirty", 30),
        ("fourteen", 14),
        ("forty", 40),
    ],
)
def test_speech_that_no_library_writes_is_read_too(said, meant):
    assert values(said) == [meant]


@pytest.mark.parametrize(
    ("said", "either"), [("one fifty", (150, 1.5)), ("two forty-five", (245, 2.45))]
)
def test_an_ambiguous_number_keeps_both_values(said, either):
    assert read(said) == [either]


@pytest.mark.parametrize(
    ("language", "said", "meant"),
    [
        ("de", "ein halber", 0.5),
        ("de", "zweieinhalb", 2.5),
        ("fr", "deux et demi", 2.5),
        ("es", "dos y medio", 2.5),
        ("it", "due e mezzo", 2.5),
        ("it", "centottantuno", 181),
        ("pt", "dois e meio", 2.5),
    ],
)
def test_halves_are_known_in_the_other_languages(language, said, meant):
    assert values(said, language) == [meant]


def test_two_numbers_side_by_side_stay_two():
    assert values("two, three") == [2, 3]
    assert values("forty forty-five") == [40, 45]


def test_a_language_that_is_not_known_still_reads_digits():
    assert values("quaranta 45 vijf 2,5", "other") == [45, 2.5]


def test_words_that_are_no_number_are_left_alone():
    assert values("a point of honour, the quarter, to the point") in ([], [0.25])
