"""A drink over ice: as it is poured and when it is drunk, and the glass that it is in."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.balance import balance
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate, Blend
from server.domain.glass.substance import Substance
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.served import standing_of
from server.web.frame.filters import estimate
from tests.factories import make_routine, make_segment
from tests.web.html import Page, text_of
from tests.web.shelf import keep, kept

SPIRIT = Substance("spirit", abv=Figure(40.0), sugar=Content(0.0), temp_c=Figure(20.0))
GIN = Ingredient("i1", "Gin", Amount(60, "ml"), substance=SPIRIT)
ICE = Ingredient("i2", "Ice", Amount(100, "g"), substance=Substance(kind="ice"))
SEGMENTS = (make_segment("s1"), make_segment("s2"))
TUMBLER = Vessel("tumbler", mass_g=250.0, temp_c=4.0, cooling_per_min=Figure(0.04))
SERVED = Service(TUMBLER, 20.0, None, "s1", "s2", over_ice=True)
TIDE = Drink("d1", "Tide", 1, (GIN, ICE), service=SERVED)
EBB = Drink("d2", "Ebb", 1, (replace(GIN, id="i3"),))


def kept_with(client, drink, *others):
    return keep(client, make_routine(segments=SEGMENTS, drinks=(drink, *others)))


def with_size(drink, holds_ml):
    vessel = replace(drink.service.vessel or Vessel("coupe"), holds_ml=holds_ml)
    return replace(drink, service=replace(drink.service, vessel=vessel))


def table_of(page):
    rows = [[text_of(cell) for cell in row.cssselect("th, td")] for row in page.all("tbody tr")]
    return {row[0]: row[1:] for row in rows}


def drunk(drink):
    worked_out = balance(drink, over_ice=True)
    over_ice = standing_of(drink, worked_out, SEGMENTS).over_ice
    return estimate(over_ice.volume_ml, 0, "ml"), estimate(over_ice.abv_percent, 1, "% vol")


# 60 ml of 40 % vol are 40 % vol as they are poured, however much ice melts into them then.
def test_every_page_tells_volume_and_strength_as_poured_and_when_drunk(client):
    path = kept_with(client, TIDE, EBB)
    volume, strength = drunk(TIDE)
    volume, strength = (
        f"60 ml as poured, {volume} when drunk",
        f"40.0 % vol as poured, {strength} when drunk",
    )
    figures = table_of(Page(client.get(f"{path}/drinks?open=figures")))
    compared = table_of(Page(client.get(f"{path}/drinks/compare?left=d1&right=d2")))
    for table in (figures, compared):
        assert table["Volume"][:2] == [volume, "60 ml"]
        assert table["Strength"][:2] == [strength, "40.0 % vol"]
    assert strength in Page(client.get(f"{path}/declaration")).texts(".declared-facts")[0]
    origins = {"volume_ml": volume, "abv_percent": strength}
    for name, told in origins.items():
        page = Page(client.get(f"{path}/drinks?open=origin-{name}.d1"))
        assert page.text(".origin-value b") == told


def test_the_headline_figures_say_so_too(client):
    path = kept_with(client, TIDE, EBB)
    page = Page(client.get(f"{path}/drinks"))
    poured, strong, _ = page.texts("#drink-d1 .big-figures div")
    assert poured.startswith("in a tumbler as poured, ")
    assert poured.endswith(" ml when drunk60 ml")
    assert strong.startswith("alcohol as poured, ")
    assert strong.endswith(" % when drunk40.0 %")
    assert page.texts("#drink-d2 .big-figures dt")[:2] == ["a serve", "alcohol"]


def test_for_all_serves_what_is_drunk_is_that_of_all_too(client):
    two = replace(TIDE, serves=2, ingredients=(replace(GIN, amount=Amount(120, "ml")), ICE))
    path = kept_with(client, two)
    words = {
        amounts: Page(client.get(f"{path}/drinks?amounts={amounts}")).texts(".big-figures dt")[0]
        for amounts in ("all", "one")
    }
    told = {
        amounts: float(said.partition("poured, ")[2].split()[0]) for amounts, said in words.items()
    }
    assert words["all"].startswith("for all 2 as poured")
    # Told in tens: that of one is off by five at the most, twice that by ten.
    assert told["all"] == pytest.approx(2 * told["one"], abs=10)


def test_without_its_times_it_is_told_as_poured_alone(client):
    untimed = replace(TIDE, service=replace(SERVED, drunk_segment_id=None))
    page = Page(client.get(f"{kept_with(client, untimed)}/drinks"))
    assert page.texts("#drink-d1 .big-figures dt")[:2] == [
        "in a tumbler as poured", "alcohol as poured",
    ]  # fmt: skip


def test_a_drink_without_alcohol_has_none_when_it_is_drunk_either(client):
    tonic = Ingredient("i1", "Tonic", Amount(100, "ml"), substance=Substance(
        "soda", abv=Figure(0.0), temp_c=Figure(5.0)))  # fmt: skip
    path = kept_with(client, replace(TIDE, ingredients=(tonic, ICE)))
    assert Page(client.get(f"{path}/drinks")).texts(".big-figures dt")[1] == "alcohol"


@pytest.mark.parametrize(
    ("steps", "over_ice", "cubes"),
    [((), True, True), ((), False, True), ((Agitate("s", "shake"),), False, False),
     ((Agitate("s", "stir"),), True, True), ((Blend("s"),), False, False)],
)  # fmt: skip
def test_ice_is_drawn_where_it_stands_in_the_glass_and_never_as_a_peel(
    client, steps, over_ice, cubes
):
    drink = replace(TIDE, steps=steps, service=replace(SERVED, over_ice=over_ice))
    page = Page(client.get(f"{kept_with(client, drink)}/drinks"))
    assert bool(page.all(".glass .ice")) is cubes
    assert not page.all(".glass .peel")


def test_a_glass_that_is_too_small_is_warned_of_in_a_line_and_first_of_all(client):
    path = kept_with(client, with_size(EBB, 50.0))
    page = Page(client.get(f"{path}/drinks"))
    assert page.text("#drink-d2 .brim") == "▲ 60 ml do not fit into the coupe: it holds 50 ml."
    assert "Ebb: 60 ml do not fit into 50 ml" in page.text("h1")


# 60 ml of gin, and 100 g of ice that float in the room of as much gin by weight: 40 % vol weigh
# 0.948 g/ml (OIML R 22), so that it comes up to 60 + 105.48 ml.
@pytest.mark.parametrize(("holds_ml", "fits"), [(167.0, True), (164.0, False)])
def test_a_glass_has_to_hold_its_ice_too(client, holds_ml, fits):
    page = Page(client.get(f"{kept_with(client, with_size(TIDE, holds_ml))}/drinks"))
    told = "▲ 165 ml with its ice run over the brim of the tumbler: it holds 164 ml."
    assert page.texts(".brim") == ([] if fits else [told])


def test_what_a_glass_holds_is_kept_from_the_form_and_shown_in_it(client):
    path = kept_with(client, EBB)
    form = Page(client.get(f"{path}/drinks?edit=drink-d2")).sent_by("/routines/r1/drinks/d2")
    client.post("/routines/r1/drinks/d2", data={**form, "holds_ml": "120"})
    assert kept(client).drinks[0].service.vessel == Vessel(holds_ml=120.0)
    page = Page(client.get(f"{path}/drinks?edit=drink-d2"))
    assert page.typed("holds_ml", "/routines/r1/drinks/d2") == "120"


def test_a_glass_that_holds_nothing_is_refused_beside_its_field(client):
    path = kept_with(client, EBB)
    form = Page(client.get(f"{path}/drinks?edit=drink-d2")).sent_by("/routines/r1/drinks/d2")
    page = Page(client.post("/routines/r1/drinks/d2", data={**form, "holds_ml": "0"}))
    assert page.status == 422
    assert page.fault("holds_ml").startswith("A vessel holds up to 10,000 ml.")


def test_the_kit_says_what_its_glasses_hold(client):
    path = kept_with(client, with_size(TIDE, 240.0), EBB)
    page = Page(client.get(f"{path}/prepare"))
    (row,) = [each for each in page.texts(".kit-name") if each.startswith("Tumbler")]
    assert row.startswith("Tumbler holds 240 ml")
    assert not any("holds" in each for each in page.texts(".kit-name") if "Ebb" in each)
