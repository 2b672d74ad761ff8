"""However the words are chosen, the check takes no more than its share, and says where it ends."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.base.text import LONG_TEXT
from server.domain.base.tokens import LONGEST_SENTENCE, number_of, sentences_of
from server.domain.belief.words_pace import learn_pace
from server.domain.claims.cases import case_of
from server.domain.claims.finder import MOST_FINDS
from server.domain.claims.ledger import TOO_MUCH, ledger
from server.domain.claims.pace import costs
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.own_words import Correction
from server.domain.routine.plan import Plan
from tests.factories import RULES, make_routine, make_segment
from tests.steps import steps_of
from tests.thorough import all_but, some

RUM = Ingredient("rum", "Plum rum", Amount(45, "ml"), ("plum",))
PEAR = Ingredient("pear", "Pear brandy", Amount(30, "ml"), ("pear",))
DRINKS = (Drink("d1", "Dusk", ingredients=(RUM,)), Drink("d2", "Dawn", ingredients=(PEAR,)))
PATTERNS = (
    "lemon ", "1° ", "1°", "30 ml plum rum, ", "rum, 30 ml; ", "no lemon and ", "lemon. ",
    "twenty and ", "a half ", ".", ". ) ", "a-", "&lt; ", "<a", "1,", "the second ", "dry ",
)  # fmt: skip
ALWAYS = ("dry ", "30 ml plum rum, ", "a half ", ". ) ", "a-")
FEW, MANY = LONG_TEXT // 20, LONG_TEXT // 5


def found_in(text, *, corrections=(), **routine):
    segments = (make_segment("s1", said=text),) if isinstance(text, str) else text
    plan = Plan(make_routine(segments=segments, drinks=DRINKS, **routine), RULES)
    return ledger(case_of(plan, corrections=corrections))


@pytest.mark.parametrize("pattern", some(PATTERNS, all_but(*ALWAYS)))
def test_four_times_the_words_take_four_times_the_steps(pattern):
    few, many = ((pattern * size)[:size] for size in (FEW, MANY))
    found_in(many)  # What is remembered from one text to the next is no part of it.
    found_in(few)
    assert steps_of(lambda: found_in(many)) < 5 * steps_of(lambda: found_in(few)) + 2000


def test_a_price_is_put_on_many_sentences_in_as_many_steps():
    pace = learn_pace([])
    few, many = (steps_of(lambda n=n: costs("So. " * n, pace)) for n in (500, 2000))
    assert many < 5 * few


def test_corrections_look_only_at_sentences_with_their_words():
    said = [Correction(f"c{n}", "s1", "so it is", "lemon", "no claim") for n in range(50)]
    few, many = (
        steps_of(lambda n=n: found_in("So it is. " * n, corrections=said)) for n in (250, 1000)
    )
    assert many < 5 * few


def test_a_script_of_too_many_claims_is_checked_in_part_and_says_so():
    found = found_in("lemon. " * (MOST_FINDS + 1))
    assert found.note == TOO_MUCH
    assert sum(len(row.sayings) for row in found.rows) == MOST_FINDS
    assert found_in("lemon. " * MOST_FINDS).note == ""


def test_a_script_of_too_much_text_is_checked_in_part_and_says_so():
    said = ["Lemon. ".ljust(LONG_TEXT, "x")] * 5 + ["Plum."]
    segments = tuple(make_segment(f"s{n}", said=text) for n, text in enumerate(said))
    found = found_in(segments)
    assert found.note == TOO_MUCH
    assert [row.word for row in found.rows] == ["lemon"]


def test_a_sentence_without_an_end_is_cut_between_words():
    text = "seven words " * 400
    pieces = [text[each.start : each.end] for each in sentences_of(text)]
    assert len(pieces) == 5
    assert all(len(piece) <= LONGEST_SENTENCE for piece in pieces)
    assert " ".join(pieces) == text.strip()


@pytest.mark.parametrize("digits", ["9" * 400, "9" * 5000, f"1/{'3' * 400}", "1000000000"])
def test_a_number_beyond_all_measure_is_none(digits):
    assert number_of(digits) is None
    assert "amount" not in [row.kind for row in found_in(f"It has {digits} ml of lemon.").rows]


def test_spoken_numbers_end_where_written_ones_do():
    assert found_in("We use nine hundred million trillion ml of it.").rows == ()
