"""A scale with a degree behind it is a claim; the name of a scale alone is none of these."""

from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.more import part
from tests.table import table

DRINK = Drink("d", "Laterne", 1, (part("rum", "Aged rum", 40, "ml"),), ("plum",))


def found(said):
    finds = find_claims([Passage("s", said, "d")], (DRINK,), "en")
    signs = {"has": "", "lacks": "-", "some": "~"}
    return [f"{one.phrase}|{signs[one.polarity]}{one.word}" for one in finds]


@table(
    "said, claims",
    [
        ("Acidity: high, and it stays.", ["Acidity: high|acidic"]),
        (
            "Sweetness, modest; bitterness, low.",
            ["Sweetness, modest|~sweet", "bitterness, low|~bitter"],
        ),
        ("Sweet: low to medium.", ["Sweet: low to medium|~sweet"]),
        ("The acidity: none to speak of.", ["acidity: none to speak of|-acidic"]),
        ("Acidity: medium.", ["Acidity: medium|~acidic"]),
        ("Sweetness, a five: low to medium.", ["Sweetness, a five: low to medium|~sweet"]),
        ("The sweetness is kept low.", ["sweetness is kept low|~sweet"]),
        ("The sugar is kept low.", ["sugar is kept low|~sweet"]),
        ("And then the sugar.", []),
        ("The bitterness is very high.", ["bitterness is very high|bitter"]),
    ],
)
def test_a_degree_behind_a_scale_is_part_of_what_is_claimed(said, claims):
    assert found(said) == claims


@table("said", ["Let us talk about acidity, high up in the hills.", "Acidity, as you know."])
def test_a_scale_without_a_degree_reaches_no_further(said):
    assert not any(len(one.split("|")[0].split()) > 1 for one in found(said))
