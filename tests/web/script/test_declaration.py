"""The declaration sheet: what is printed for the judges, and the warning before it."""

import re

from server.domain.base.amounts import Amount
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Ice
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.ahead import Ahead
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep

SHEET = "/routines/r1/declaration"
SPIRIT = Substance(
    kind="liqueur", abv=Figure(40.0), sugar=Content(0.0), temp_c=Figure(20.0), allergens=("nuts",)
)
RUM = Ingredient("rum", "Plum rum", Amount(50, "ml"), ("plum",), SPIRIT)
SECRET = Ingredient("x", "House bitters", Amount(2, "dash"))
DUSK = Drink(
    "d1", "Dusk", 4, (RUM, SECRET), descriptors=("plum",), method="Stir, then pour.",
    steps=(Ice("st", 4.0),),
)  # fmt: skip


def kept_sheet(client, said="You will find plum.", drink=DUSK):
    keep(client, make_routine(segments=(make_segment("s1", said=said),), drinks=(drink,)))
    return Page(client.get(SHEET))


def test_amounts_stand_for_all_serves_and_for_each(client):
    cells = kept_sheet(client).texts(".declared tbody tr:first-child :is(th, td)")
    assert cells == ["Plum rum", "50 ml", "12.5 ml"]


def test_method_steps_descriptors_and_strength_are_declared(client):
    shown = kept_sheet(client).text(".declared")
    assert "Stir, then pour." in shown
    assert "Chill on ice to 4 °C" in shown
    assert re.search(r"\d standard drinks? in a serve", shown)


def test_allergens_are_named_and_so_is_what_is_not_known_of_them(client):
    shown = kept_sheet(client).text(".declared")
    assert "nuts" in shown.lower()
    assert "Not known for: House bitters" in shown


def test_raw_egg_is_declared_and_how_to_hold_it_is_not(client):
    egg = Substance("egg", allergens=("eggs",), piece_g=Figure(33.0))
    sour = Drink("d1", "Sour", 1, (RUM, Ingredient("e", "Egg white", Amount(1, "piece"), (), egg)))
    shown = kept_sheet(client, drink=sour).texts(".declared-facts dd")
    # FDA Food Code 3-603.11, from memory: raw egg is told to whoever eats it.
    assert any(each.startswith("Egg may be raw here") for each in shown)
    assert not any("within 4 hours" in each for each in shown)


def test_the_usual_caution_stands_on_every_sheet(client):
    caution = kept_sheet(client).text(".declared .caution")
    assert "Local codes and licensed practice decide" in caution


def test_open_points_of_the_ledger_are_warned_of_on_screen(client):
    page = kept_sheet(client, said="You will find plum and smoke.")
    assert "1 claim is still to settle" in page.text(".screen-only [role=alert]")
    assert page.one(".screen-only [role=alert] a").get("href").endswith("/claims?show=settle")


def test_a_sheet_for_other_than_the_judges_is_warned_of_on_screen(client):
    of_five = Drink("d1", "Sour", 5, (RUM,))
    told = kept_sheet(client, drink=of_five).text(".screen-only .for-others")
    assert "Sour is for 5 serves, your rules say 4" in told


def test_nothing_is_warned_of_where_all_is_settled(client):
    assert kept_sheet(client).all(".screen-only [role=alert]") == []


def test_a_drink_that_is_still_empty_is_declared_as_such(client):
    shown = kept_sheet(client, said="", drink=Drink("d1", "Air")).text(".declared")
    assert "No ingredient yet" in shown
    assert "none stated" in shown


def test_a_routine_without_drinks_has_nothing_to_declare(client):
    keep(client)
    assert Page(client.get(SHEET)).text("h1") == "No drink to declare yet"


def test_what_can_hurt_in_a_drink_is_declared(client):
    tonic = Ingredient("tonic", "Tonic water", Amount(400, "ml"))
    shown = kept_sheet(client, drink=Drink("d1", "Dusk", 4, (RUM, tonic))).text(".declared")
    assert "Quinine (Tonic water): say that it is in the drink" in shown


def test_what_is_made_at_home_opens_down_to_its_parts(client):
    cordial = Ingredient(
        "c", "Ginger cordial", Amount(120, "ml"), syrup=Syrup(500, 400, solids=250, by="grams"),
        ahead=Ahead(Amount(700, "ml"), 18),
    )  # fmt: skip
    shown = kept_sheet(client, drink=Drink("d1", "Dusk", 4, (RUM, cordial))).text(".declared")
    assert "500 g of sugar, 400 g of water, 250 g of fruit, leaves or husks, strained out" in shown
    assert "700 ml made at a time, steeped for 18 h" in shown


def test_a_syrup_told_in_parts_says_once_what_they_are(client):
    syrup = Ingredient("c", "Barley syrup", Amount(120, "ml"), syrup=Syrup(2, 1, solids=0.5))
    shown = kept_sheet(client, drink=Drink("d1", "Dusk", 4, (RUM, syrup))).text(".declared")
    assert "2 parts by mass of sugar, 1 of water, 0.5 of fruit" in shown


def test_what_a_name_tells_of_is_not_declared_as_none(client):
    # Butter holds milk (Regulation (EU) No 1169/2011, Annex II, 7): that nobody ticked it is no no.
    butter = Drink("d1", "Whistle", 1, (Ingredient("b", "Brown butter", Amount(20, "g")),))
    shown = kept_sheet(client, drink=butter).text(".declared")
    assert "None given. Not known for: Brown butter (its name tells of milk)." in shown
    assert "None of the fourteen" not in shown


def test_strength_that_nobody_knows_is_said_once(client):
    secret = Drink("d1", "Dusk", 1, (Ingredient("x", "House mix", Amount(50, "ml")),))
    shown = kept_sheet(client, drink=secret).text(".declared-facts")
    assert "not known." in shown
    assert "standard drinks" not in shown


def test_degrees_below_zero_have_a_minus_sign(client):
    cold = Drink("d1", "Dusk", 1, (RUM,), steps=(Ice("st", -4.0),))
    assert "Chill on ice to −4 °C" in kept_sheet(client, drink=cold).text(".declared")
