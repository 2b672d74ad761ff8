"""What a taster is told before the first sip."""

from server.domain.base.amounts import Amount
from server.domain.glass.figures import Figure
from server.domain.glass.library import ingredient
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient
from server.domain.tasters.decoys import AskedWord
from server.domain.tasters.sitting import Sitting
from server.web.tasters.in_glass import in_glass


def told(*parts):
    drink = Drink("d", "Sour", 1, parts)
    words = (AskedWord("plum", "stated"), AskedWord("tar", "far"))
    return in_glass(Sitting("s", "r", "list", "Sour", 0, 1, (drink,), words=words))


def test_a_taster_is_told_of_raw_egg_and_not_of_a_whole_serves_caffeine():
    # FDA Food Code 3-603.11, from memory; of 20 ml nobody gets the caffeine of a serve.
    egg = Ingredient("e", "Egg white", Amount(1, "piece"), (), ingredient("egg-white").substance)
    shots = Ingredient("c", "Espresso", Amount(150, "ml"), (), ingredient("espresso").substance)
    cautions = " ".join(told(egg, shots).cautions)
    assert "Egg may be raw here" in cautions
    assert "caffeine" not in cautions


def test_what_only_a_name_tells_of_is_not_known_to_the_taster():
    made_of = Substance("spirit", abv=Figure(45.0))
    found = told(Ingredient("g", "Milk-washed gin", Amount(45, "ml"), (), made_of))
    assert found.unknown == ("Milk-washed gin (its name tells of milk)",)
