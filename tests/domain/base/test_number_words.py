from server.domain.base.number_words import count, counted, in_words
from tests.table import table


@table("number, words", [(0, "no"), (1, "one"), (12, "twelve"), (13, "13"), (-1, "-1")])
def test_numbers_are_words_up_to_twelve(number, words):
    assert in_words(number) == words


def test_one_thing_has_no_plural():
    assert [counted(number, "run") for number in (1, 2)] == ["one run", "two runs"]
    assert [count(number, "run") for number in (0, 1, 2)] == ["0 runs", "1 run", "2 runs"]


def test_a_plural_of_its_own_is_taken():
    assert counted(2, "person", "people") == "two people"
    assert count(1, "person", "people") == "1 person"
