"""Degrees of alcohol: what people say of a spirit in languages other than English.

That a spirit's strength is told in degrees alone is common practice, no source.
"""

from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.more import a_spirit, a_water, part
from tests.table import table


def numbers(language, name, said):
    parts = (part("spirit", name, 40, "ml", (), a_spirit(40.0)), part("w", "Té", 9, "ml", (),
             a_water(20.0)))  # fmt: skip
    drink = Drink("d", "Laterne", 1, parts, ())
    finds = find_claims([Passage("s", said, "d")], (drink,), language)
    return [(one.kind, one.low, one.unit) for one in finds if one.kind != "ingredient"]


@table(
    "language, name, said, percent",
    [
        ("es", "Ron añejo", "Uso un ron añejo de cuarenta grados.", 40),
        ("it", "Grappa", "Una grappa di quarantadue gradi.", 42),
        ("it", "Grappa", "La grappa da 42 gradi, poi il tè.", 42),
        ("pt", "Cachaça", "Uma cachaça de quarenta graus.", 40),
        ("fr", "Rhum", "Un rhum à quarante degrés.", 40),
        ("de", "Rum", "Ein Rum mit vierzig Grad.", 40),
    ],
)
def test_degrees_right_behind_a_spirit_are_its_strength(language, name, said, percent):
    assert numbers(language, name, said) == [("strength", percent, "%")]


@table(
    "language, name, said, degrees",
    [
        ("es", "Ron añejo", "El ron está a cuatro grados.", 4),
        ("es", "Ron añejo", "El té de ochenta grados.", 80),
        ("es", "Ron añejo", "Un ron de cinco grados, frío.", 5),
        ("it", "Grappa", "La grappa è a venti gradi.", 20),
        ("fr", "Rhum", "Du rhum de 55 degrés Celsius.", 55),
        ("de", "Rum", "Der Rum ist auf vierzig Grad.", 40),
    ],
)
def test_degrees_of_anything_else_or_of_a_scale_stay_warmth(language, name, said, degrees):
    assert numbers(language, name, said) == [("temperature", degrees, "C")]
