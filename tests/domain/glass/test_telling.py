"""The glass of whatever a bar can put together is told, or said to be beyond telling."""

from hypothesis import example, given
from hypothesis import strategies as st

from server.domain.base.amounts import Amount
from server.domain.glass.balance import balance
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Figure
from server.domain.glass.library import ingredient, library
from server.domain.glass.steps import Agitate, Bring, Ice
from server.domain.glass.substance import Cost, Substance
from server.domain.glass.unit import unit_price
from server.domain.routine.drink import Drink, Ingredient

KEYS = {
    kinds: [each.key for each in library() if each.substance.kind in kinds]
    for kinds in (("spirit",), ("syrup", "liqueur"))
}
FIRST = (Agitate("a", "shake"), Agitate("a", "stir"), Bring("a", "chill", -20.0), Ice("a", 0.0))


def sour(spirit, syrup, first, to_c, ml=90.0):
    parts = (("i1", spirit, 30.0), ("i2", syrup, ml))
    return Drink(
        "d1",
        "Sour",
        ingredients=tuple(
            Ingredient(each, key, Amount(size, "ml"), substance=ingredient(key).substance)
            for each, key, size in parts
        ),
        steps=(first, Ice("b", to_c)),
    )


@given(
    st.sampled_from(KEYS[("spirit",)]),
    st.sampled_from(KEYS[("syrup", "liqueur")]),
    st.sampled_from(FIRST),
    st.floats(-80, 20),
    st.sampled_from((15.0, 30.0, 60.0, 90.0)),
)
# Shaken it is at its freezing point to the last digit, and was to be chilled to that point.
@example("vodka-40", "honey-syrup-2-1", FIRST[0], -5.0, 90.0)
@example("rectified-96", "syrup-1-1", FIRST[0], -80.0, 15.0)
def test_any_spirit_and_syrup_can_be_chilled_after_any_step(spirit, syrup, first, to_c, ml):
    found = balance(sour(spirit, syrup, first, to_c, ml))
    assert found.steps[1].added_g >= 0
    assert found.batch.temp_c.low <= found.batch.temp_c.value <= found.batch.temp_c.high


def test_an_espresso_given_by_its_water_alone_is_told():
    # The usual 2 g held per gram would leave nothing of it: then nothing is assumed.
    part = Ingredient("i", "Espresso", Amount(36, "ml"), brew=Brew(dose_g=18, water_g=36))
    found = balance(Drink("d", "Short", ingredients=(part,)))
    assert found.batch.volume_ml.value > 0
    assert any("liquid held by the grounds" in notice for notice in found.notices)


def test_a_price_for_nothing_is_no_price():
    weightless = Substance(piece_g=Figure(0.0), cost=Cost(3.0, Amount(1, "piece")))
    assert unit_price(weightless) is None
