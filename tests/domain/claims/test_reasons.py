"""Every verdict on a number, a count or an absence says its figure and how far off counts."""

import re

import pytest

from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from tests.domain.claims import said
from tests.domain.claims.drinks.all_drinks import DRINKS, TIMES, facts

MARGIN = re.compile(r"within|more than|counted exactly|may not be off|counts?\b|left out|aside")


def rows_of(text, drink_id, language="en"):
    drink = DRINKS[drink_id]
    case = ScriptCase((Passage("s", text, drink.id),), (drink,), language, facts(drink), TIMES)
    return [row for row in ledger(case).rows if row.kind not in ("descriptor", "ingredient")]


@pytest.mark.parametrize("name", ["lacks", "ratios", "ellipsis", "temperature", "time"])
def test_a_verdict_on_a_number_or_an_absence_says_figure_and_tolerance(name):
    told = [
        (row.label, why)
        for each in said.read(name)
        if each.language == "en"
        for row in rows_of(each.text, each.drink_id)
        if row.is_checked and row.state in ("backed", "contradicted")
        for why in row.why
    ]
    assert len(told) > 10
    bare = [each for each in told if not (MARGIN.search(each[1]) and re.search(r"\d", each[1]))]
    assert not [each for each in bare if not each[1].endswith("trace counts.")]


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("There are three ingredients.", "You say 3 ingredients, the recipe has 6: a count may"),
        ("There are six ingredients.", "You say 6 ingredients; the recipe has 6, counted exactly."),
        ("I make five drinks of it.", "the recipe makes 4 serves: a count may not be off."),
        (
            "It has no gluten.",
            "by the recipe none of 6 ingredients holds any. Even a trace counts.",
        ),
        ("It is free of nuts.", "Almond syrup holds it: nuts among its allergens. Even a"),
        ("It is free of alcohol.", "Up to 0.5 % vol in each counts as none."),
    ],
)
def test_counts_and_absences_say_why_in_one_line(text, why):
    (row,) = rows_of(text, "quay")
    assert why in row.why[0]
    assert "\n" not in row.why[0]
