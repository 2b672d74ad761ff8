"""What is compared, what was, what others are like: told from what is said of the glass."""

import pytest

from tests.domain.claims import said
from tests.table import table

SIGNS = {"has": "", "lacks": "-", "some": "~"}


def told(text, drink_id="dome"):
    """Each word of taste that is claimed, with how."""
    one = said.Said(drink_id, "en", text, ())
    finds = [find for _, find, _ in said.compared(one) if find.kind == "descriptor"]
    return [SIGNS[find.polarity] + find.phrase.casefold() for find in finds]


@pytest.mark.usefixtures("by_rules_alone")
@table(
    "text, claimed",
    [
        ("It's more quince than lemon.", ["quince", "~lemon"]),
        ("There's more fruit than wood in it.", ["fruit", "~wood"]),
        ("It tastes less of lemon than of quince.", ["~lemon", "quince"]),
        ("It's less sweet than it smells.", ["~sweet"]),
        ("It's sourer than it is sweet.", ["sourer", "~sweet"]),
        ("It's no sweeter than a ripe apple.", ["~sweeter"]),
        ("It's nowhere near as sweet as it looks.", ["~sweet"]),
        ("It doesn't get smoother than this.", ["smoother"]),
        ("It's sweeter than a ripe pear.", ["sweeter"]),
        ("There is less brandy than lemon in this.", []),
        ("Less acidity than before.", []),
    ],
)
def test_the_lighter_side_of_a_comparison_is_there_within_bounds(text, claimed):
    assert told(text) == claimed


@pytest.mark.usefixtures("by_rules_alone")
@table(
    "text",
    [
        "The table was walnut.",
        "I bit into a quince by mistake.",
        "School beetroot tasted of tin.",
        "Most coffee tastes of smoke.",
        "A bad quince tastes like wet wool.",
        "Usually a sour is sharp.",
        "It goes well with chocolate.",
        "People are afraid of quince.",
        "The last time I made a drink with pineapple.",
        "It's hot outside.",
        "My hands smell of quince until Sunday.",
        "That's the lemon being polite.",
        "A single cream, not the thick one.",
        "If it's at minus five you won't taste the quince.",
    ],
)
def test_what_was_or_is_so_elsewhere_claims_no_taste(text):
    assert told(text) == []


@pytest.mark.usefixtures("by_rules_alone")
@table(
    "text, claimed",
    [
        ("First the quince, then a flash of lemon.", ["quince", "lemon"]),
        ("Quince before lemon.", ["quince", "lemon"]),
        ("It's fresh, it's almost a garden.", ["fresh"]),
        ("I'd call it dry.", ["dry"]),
        ("It's not that it isn't silky.", ["silky"]),
        ("Where's the bitterness? Gone.", ["-bitterness"]),
        ("If you find smoke in it, I've done something wrong.", ["-smoke"]),
        ("Take a sip: lemon.", ["lemon"]),
        ("Behind the quince hides a caraway note.", ["quince", "caraway"]),
        ("Sweetness: low.", ["~sweetness: low"]),
        ("You taste no citrus other than lemon.", ["-citrus", "lemon"]),
        ("Salty at the edges.", ["salty"]),
        ("It doesn't burn.", ["-burn"]),
        ("You'd think it's sweet. It isn't.", ["-sweet"]),
        ("you'd think it's sweet but it isn't", ["-sweet"]),
        ("Hardly sweet, hardly sour.", ["-sweet", "-sour"]),
        ("It's rich in quince.", ["quince"]),
        ("What I want you to remember is apricot.", ["apricot"]),
    ],
)
def test_a_taste_is_heard_however_it_is_put(text, claimed):
    assert told(text) == claimed
