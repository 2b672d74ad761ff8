"""The computed side of a drink's card, and the forms that feed it."""

from dataclasses import replace
from math import inf

import pytest

from server.domain.base.amounts import Amount, parse_amount
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Estimate, Figure
from server.domain.glass.library import ingredient
from server.domain.glass.steps import Agitate, Blend, Bring, Filter, Ice, Layer, Rest
from server.domain.glass.substance import Cost, Substance
from server.domain.glass.syrup import Syrup
from server.domain.glass.vessel import Vessel
from server.domain.routine.drink import Drink, Ingredient, Service
from server.web.frame.filters import estimate
from tests.factories import make_routine, make_segment
from tests.web.html import Page, text_of
from tests.web.shelf import keep, kept

DRINK = "/routines/r1/drinks/d1"
SPIRIT = Substance("spirit", abv=Figure(40.0), sugar=Content(0.0), temp_c=Figure(20.0))
GIN = Ingredient("i1", "Gin", Amount(45, "ml"), ("juniper",), SPIRIT)
MYSTERY = Ingredient("i2", "House liqueur", Amount(20, "ml"))
ROUTINE = make_routine(drinks=(Drink("d1", "Tide", 1, (GIN, MYSTERY)), Drink("d2", "Ebb", 1)))
GIN_FORM = {"amount": "45 ml", "name": "Gin", "kind": "spirit", "abv": "40", "sugar": "0"}


@pytest.fixture
def path(client):
    return keep(client, ROUTINE)


def figures(page):
    """Label -> what one serve of the first drink has of it, in the table of all figures."""
    rows = page.all(".panel .balance tbody tr")
    return {
        text_of(row.cssselect("th")[0]): text_of((row.cssselect("td b") or row.cssselect("td"))[0])
        for row in rows
    }


def all_figures(client, path):
    return Page(client.get(f"{path}/drinks?open=figures"))


def post_gin(client, **changes):
    return client.post(f"{DRINK}/ingredients/i1", data={**GIN_FORM, **changes})


def test_the_balance_follows_an_amount(client, path):
    before = figures(all_figures(client, path))
    post_gin(client, amount="90 ml")
    after = figures(all_figures(client, path))
    # 45 and 90 ml at 40 % vol: 14.2 and 28.4 g of ethanol (OIML R 22: 0.78924 g/ml).
    assert (before["Ethanol"], after["Ethanol"]) == ("at least 14.2 g", "at least 28.4 g")


def test_what_is_not_known_is_named_and_never_taken_as_nothing(client, path):
    page = all_figures(client, path)
    assert "without House liqueur" in page.texts(".panel .balance small")
    assert "House liqueur: its strength is not known." in page.texts(".unknowns li")
    assert "≥ " in page.texts("#drink-d1 .big-figures dd")[1]


def test_the_line_beneath_says_at_least_where_more_is_not_known(client, path):
    shown = Page(client.get(f"{path}/drinks"))
    # 45 ml at 40 % are 1.42 drinks of 10 g (WHO AUDIT); the liqueur holds more.
    assert "≥ 1.4 standard drinks" in shown.text("#drink-d1 .glass-line")


@pytest.mark.parametrize("amount", [Amount(20, "ml"), Amount(2, "piece")])
def test_sugar_that_nobody_knows_is_not_told_as_none(client, amount):
    dry = replace(MYSTERY, amount=amount)
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (GIN, dry)),)))
    assert "Sugar not known" in Page(client.get(f"{path}/drinks")).text("#drink-d1 .glass-line")
    assert figures(all_figures(client, path))["Sugar"] == "not known"


def test_acid_is_told_beside_sugar_that_nobody_knows(client):
    sour = Substance("juice", acid=Content(5.0), temp_c=Figure(5.0))
    lemon = Ingredient("i1", "Lemon juice", Amount(25, "ml"), (), sour)
    path = keep(client, make_routine(drinks=(Drink("d1", "Sour", 1, (lemon,)),)))
    line = Page(client.get(f"{path}/drinks")).text("#drink-d1 .glass-line")
    # 5 g in 100 ml, by multiplication.
    assert line.startswith("Sugar not known · acid 50.0 g/l")


def test_the_big_figure_and_the_line_are_of_as_many_serves_as_the_amounts(client):
    four = Drink("d1", "Tide", 4, (replace(GIN, amount=Amount(180, "ml")),))
    path = keep(client, make_routine(drinks=(four,)))
    shown = [Page(client.get(f"{path}/drinks?amounts={each}")) for each in ("all", "one")]
    volumes = [page.texts("#drink-d1 .big-figures div")[0] for page in shown]
    assert volumes == ["for all 4180 ml", "a serve45 ml"]
    # 180 ml at 40 % vol hold 56.8 g of ethanol, 5.7 drinks of 10 g (WHO AUDIT); 45 ml a quarter.
    lines = [page.text("#drink-d1 .glass-line") for page in shown]
    assert "5.7 standard drinks in all" in lines[0]
    assert "1.4 standard drinks" in lines[1]
    assert "in all" not in lines[1]
    made_of = Page(client.get(f"{path}/drinks?open=origin-volume_ml.d1")).text(".origin-value")
    assert made_of == "45 ml one serve of Tide; all 4: 180 ml"


def test_sugar_to_acid_reads_alike_in_the_line_and_in_the_table(client):
    sour = (
        Ingredient("i1", "Lemon juice", Amount(25, "ml"), (), Substance(
            "juice", sugar=Content(2.5), acid=Content(5.0), temp_c=Figure(5.0))),
        Ingredient("i2", "Syrup", Amount(20, "ml"), (), Substance(
            "syrup", sugar=Content(8.0), acid=Content(0.0), temp_c=Figure(20.0))),
    )  # fmt: skip
    path = keep(client, make_routine(drinks=(Drink("d1", "Sour", 1, sour),)))
    # By mass balance: 0.625 + 1.6 g of sugar to 1.25 g of acid.
    assert "1.8 to 1" in Page(client.get(f"{path}/drinks")).text("#drink-d1 .glass-line")
    assert figures(all_figures(client, path))["Sugar to acid"] == "1.8 : 1"


def test_a_drink_without_ingredients_says_what_to_do(client, path):
    page = Page(client.get(f"{path}/drinks"))
    assert "Add parts" in page.text("#drink-d2 .none-yet")


def test_an_ingredient_named_as_in_the_library_takes_its_properties(client, path):
    client.post(f"{DRINK}/ingredients/new", data={"amount": "20 ml", "name": "lime juice, fresh"})
    added = kept(client).drinks[0].ingredients[-1]
    assert (added.substance.kind, added.substance.acid.value) == ("juice", 5.5)


def test_an_ingredient_is_known_by_the_plain_name_of_a_library_entry(client, path):
    for name in ("lemon juice", "honey syrup 3:1", "gin"):
        client.post(f"{DRINK}/ingredients/new", data={"amount": "20 ml", "name": name})
    juice, syrup, gin = kept(client).drinks[0].ingredients[-3:]
    assert juice.substance == ingredient("lemon-juice").substance
    # Another ratio is another syrup, and gins differ in strength: these are asked.
    assert (syrup.substance, gin.substance) == (None, None)


def test_what_was_unknown_is_known_once_it_has_a_name_of_the_library(client, path):
    client.post(f"{DRINK}/ingredients/new", data={"amount": "20 ml", "name": "agave"})
    agave = kept(client).drinks[0].ingredients[-1]
    address = f"{DRINK}/ingredients/{agave.id}"
    shown = Page(client.get(f"{path}/drinks?edit=ingredient-{agave.id}")).sent_by(address)
    client.post(address, data={**shown, "name": "agave syrup"})
    named = kept(client).drinks[0].ingredients[-1]
    assert named.substance == ingredient("agave-syrup").substance
    # What is known stays, whatever it is called later.
    shown = Page(client.get(f"{path}/drinks?edit=ingredient-{agave.id}")).sent_by(address)
    client.post(address, data={**shown, "name": "lemon juice"})
    assert kept(client).drinks[0].ingredients[-1].substance == named.substance


def test_an_ingredient_can_be_given_a_library_entry_later(client, path):
    form = {"amount": "20 ml", "name": "House liqueur", "kind": "other", "library": "cassis-20"}
    client.post(f"{DRINK}/ingredients/i2", data=form)
    assert kept(client).drinks[0].ingredients[1].substance.abv.value == 20


def test_what_is_typed_wins_over_the_library(client, path):
    client.post(f"{DRINK}/ingredients/new", data={"amount": "20 ml", "library": "vodka-40"})
    vodka = kept(client).drinks[0].ingredients[-1]
    assert (vodka.name, vodka.substance.abv.value) == (ingredient("vodka-40").name, 40)
    address = f"{DRINK}/ingredients/{vodka.id}"
    shown = dict(Page(client.get(f"{path}/drinks?edit=ingredient-{vodka.id}")).form(address).fields)
    typed = {**shown, "library": "whisky-46", "abv": "43"}
    client.post(address, data={key: text for key, text in typed.items() if text is not None})
    substance = kept(client).drinks[0].ingredients[-1].substance
    assert (substance.abv.value, substance.kind) == (43, "spirit")


def test_a_library_entry_brings_what_was_not_typed_and_leaves_what_was(client):
    typed = Substance("other", abv=Figure(0.5), piece_g=Figure(41.0), allergens=("milk",),
                      allergens_open=True)  # fmt: skip
    part = Ingredient("i1", "White", Amount(2, "piece"), (), typed)
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (part,)),)))
    address = f"{DRINK}/ingredients/i1"
    page = Page(client.get(f"{path}/drinks?edit=ingredient-i1"))
    assert page.one("select[data-library]").get("data-typed") == "abv piece_g"
    client.post(address, data={**page.sent_by(address), "library": "egg-white"})
    found, egg = kept(client).drinks[0].ingredients[0].substance, ingredient("egg-white").substance
    assert (found.abv, found.piece_g) == (Figure(0.5), Figure(41.0))
    assert (found.kind, found.density, found.protein) == ("egg", egg.density, egg.protein)
    assert found.allergens == ("eggs", "milk")


@pytest.mark.parametrize(("kind", "brings"), [("other", True), ("liqueur", True), ("wine", False)])
def test_a_name_of_the_library_brings_what_was_not_typed_where_the_kind_fits(client, kind, brings):
    part = Ingredient("i1", "Coffee", Amount(20, "ml"), (), Substance(kind, abv=Figure(19.0)))
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (part,)),)))
    address, liqueur = f"{DRINK}/ingredients/i1", ingredient("cream-liqueur-17")
    shown = Page(client.get(f"{path}/drinks?edit=ingredient-i1")).sent_by(address)
    client.post(address, data={**shown, "name": liqueur.name})
    found = kept(client).drinks[0].ingredients[0].substance
    assert found.abv == Figure(19.0)
    assert (found.sugar == liqueur.substance.sugar) is brings
    assert found.allergens == (("milk",) if brings else None)


def test_what_the_browser_filled_in_is_taken_as_it_stands_with_its_sources(client, path):
    filled = client.get(f"{path}/library/cassis-20").json()
    typed = {"amount": "20 ml", "library": "cassis-20", "library_filled": "cassis-20"}
    form = {key: text for key, text in filled.items() if text}
    client.post(f"{DRINK}/ingredients/i2", data={**form, **typed, "name": "Mine", "abv": "18"})
    substance = kept(client).drinks[0].ingredients[1].substance
    assert substance.abv.value == 18
    assert substance.sugar == ingredient("cassis-20").substance.sugar


def test_what_the_library_holds_of_allergens_is_never_shown_as_checked(client, path):
    client.post(f"{DRINK}/ingredients/new", data={"amount": "9 ml", "library": "syrup-1-1"})
    syrup = kept(client).drinks[0].ingredients[-1]
    assert syrup.substance.allergens == ()
    address = f"{DRINK}/ingredients/{syrup.id}"
    form = Page(client.get(f"{path}/drinks?edit=ingredient-{syrup.id}")).form(address)
    shown = dict(form.form_values())
    assert "allergens_checked" not in shown
    client.post(address, data=shown)
    assert kept(client).drinks[0].ingredients[-1] == syrup


def test_what_the_library_is_sure_of_and_leaves_open_outlives_its_form(client, path):
    client.post(f"{DRINK}/ingredients/new", data={"amount": "9 ml", "library": "cream-liqueur-17"})
    before = kept(client).drinks[0].ingredients[-1]
    assert (before.substance.allergens, before.substance.allergens_open) == (("milk",), True)
    address = f"{DRINK}/ingredients/{before.id}"
    shown = Page(client.get(f"{path}/drinks?edit=ingredient-{before.id}")).sent_by(address)
    client.post(address, data=shown)
    assert kept(client).drinks[0].ingredients[-1] == before
    client.post(address, data={**shown, "allergens_checked": "yes"})
    substance = kept(client).drinks[0].ingredients[-1].substance
    assert (substance.allergens, substance.allergens_open) == (("milk",), False)


def test_a_tick_alone_does_not_say_that_there_are_no_others(client, path):
    post_gin(client, kind="syrup", **{"allergen-nuts": "yes"})
    substance = kept(client).drinks[0].ingredients[0].substance
    assert (substance.allergens, substance.allergens_open) == (("nuts",), True)


def test_a_short_form_leaves_the_properties_alone(client, path):
    client.post(f"{DRINK}/ingredients/i1", data={"amount": "50 ml", "name": "Gin"})
    assert kept(client).drinks[0].ingredients[0].substance == SPIRIT


def test_properties_are_kept_with_ranges_basis_allergens_and_cost(client, path):
    post_gin(client, sugar="12 (10–14)", sugar_per="100 g", price="28", price_for="70 cl",
             **{"allergen-sulphites": "yes"})  # fmt: skip
    substance = kept(client).drinks[0].ingredients[0].substance
    assert substance.sugar == Content(12.0, 10.0, 14.0, per="100 g")
    assert substance.allergens == ("sulphites",)
    assert substance.cost == Cost(28.0, Amount(70, "cl"))


def test_allergens_are_unknown_until_somebody_checked(client, path):
    post_gin(client)
    assert kept(client).drinks[0].ingredients[0].substance.allergens is None
    post_gin(client, allergens_checked="yes")
    assert kept(client).drinks[0].ingredients[0].substance.allergens == ()


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"abv": "101"}, "abv", "A strength lies between 0 and 100 % vol."),
        ({"abv": "strong"}, "abv", "Give a number, 40, or a range, 38–42."),
        ({"sugar": "200", "sugar_per": "100 ml"}, "sugar", "Nothing holds more sugar than sugar"),
        ({"sugar": "101", "sugar_per": "100 g"}, "sugar", "Sugar lies between 0 and 100 Brix."),
        ({"acid": "-1"}, "acid", "Acid lies between 0 and 200 g"),
        ({"price": "3", "price_for": "a bottle"}, "price_for", "Start with a number"),
        (
            {"making": "brew", "dose_g": "15", "water_g": "170", "beverage_g": "180"},
            "beverage_g",
            "A brew does not yield more than its water.",
        ),
        ({"making": "syrup", "syrup_sugar": "2"}, "syrup_sugar", "A syrup needs sugar, and water"),
    ],
)
def test_what_no_ingredient_can_be_is_told_beside_its_field(client, path, typed, field, told):
    page = Page(post_gin(client, **typed))
    assert page.status == 422
    assert page.fault(field, f"{DRINK}/ingredients/i1").startswith(told)
    assert page.typed(field, f"{DRINK}/ingredients/i1") == typed.get(field)
    assert kept(client) == ROUTINE


def test_a_brew_is_worked_out_beside_its_ingredient(client, path):
    post_gin(client, kind="coffee", abv="", making="brew", dose_g="18", beverage_g="36",
             tds_percent="10")  # fmt: skip
    assert kept(client).drinks[0].ingredients[0].brew == Brew(
        dose_g=18, beverage_g=36, tds_percent=10
    )
    # 36 g x 10 % / 18 g = 20.0 % (mass balance of extraction).
    said = Page(client.get(f"{path}/drinks?edit=ingredient-i1")).text(".panel")
    assert "extraction 20.0 %" in said


def test_an_espresso_is_told_as_coffee_judges_say_it(client, path):
    post_gin(client, kind="coffee", abv="", making="brew", brew_kind="espresso", dose_g="18",
             beverage_g="36", water_c="93", brew_time="0:28")  # fmt: skip
    assert kept(client).drinks[0].ingredients[0].brew == Brew(
        dose_g=18, beverage_g=36, kind="espresso", water_c=93.0, time_s=28.0
    )
    said = Page(client.get(f"{path}/drinks?edit=ingredient-i1")).text(".panel")
    assert "1 : 2.0 beverage to coffee" in said
    assert "espresso at 93 °C in 0:28" in said
    assert "of water" not in said


def test_a_serve_that_stands_over_ice_says_what_it_takes_up(client, path):
    vodka = {"amount": "50 ml", "library": "vodka-40"}
    for part in ("i1", "i2"):
        client.post(f"{DRINK}/ingredients/{part}/delete")
    client.post(f"{DRINK}/ingredients/new", data=vodka)
    first, last = (segment.id for segment in (ROUTINE.segments[0], ROUTINE.segments[-1]))
    form = {"name": "Tide", "serves": "1", "poured": first, "drunk": last, "over_ice": "yes"}
    client.post(DRINK, data=form)
    assert kept(client).drinks[0].service.over_ice
    assert "Over ice" in all_figures(client, path).text(".panel")


def test_a_syrup_is_worked_out_beside_its_ingredient(client, path):
    post_gin(client, kind="syrup", abv="", sugar="", making="syrup", syrup_sugar="1",
             syrup_water="1")  # fmt: skip
    assert kept(client).drinks[0].ingredients[0].syrup == Syrup(1, 1)
    said = Page(client.get(f"{path}/drinks?edit=ingredient-i1")).text(".panel")
    assert "cooked to 50.0 Brix" in said


@pytest.mark.parametrize(
    ("typed", "step"),
    [
        ({"kind": "ice", "to_temp_c": "4", "ice_c": "-10"}, Ice("x", 4.0, -10.0)),
        ({"kind": "stir", "dilution": "15-20"}, Agitate("x", "stir", Figure(17.5, 15.0, 20.0))),
        (
            {"kind": "blend", "ice_g": "180-200", "ice_c": "-10", "to_temp_c": "-4"},
            Blend("x", Figure(190.0, 180.0, 200.0), -10.0, -4.0),
        ),
        ({"kind": "blend"}, Blend("x")),
        ({"kind": "ice", "to_temp_c": "4"}, Ice("x", 4.0)),
        ({"kind": "ice", "to_temp_c": "4", "ice_c": "-5"}, Ice("x", 4.0, ice_measured=True)),
        ({"kind": "blend", "ice_c": "-5"}, Blend("x", ice_measured=True)),
        ({"kind": "stir", "ice_c": "-1"}, Agitate("x", "stir", ice_measured=True)),
        ({"kind": "shake", "ice_c": "-5"}, Agitate("x", "shake", ice_c=-5.0)),
        ({"kind": "filter", "recovered_ml": "400"}, Filter("x", Figure(400.0))),
        ({"kind": "layer"}, Layer("x")),
        ({"kind": "stand", "minutes": "20"}, Rest("x", Figure(20.0))),
    ],
)
def test_a_step_is_added(client, path, typed, step):
    assert client.post(f"{DRINK}/steps/new", data=typed).status_code == 303
    (added,) = kept(client).drinks[0].steps
    assert [getattr(added, name) for name in vars(step) if name != "id"] == [
        value for name, value in vars(step).items() if name != "id"
    ]


@pytest.mark.parametrize(("typed", "shown"), [("", ""), ("-1", "-1"), ("-9", "-9")])
def test_a_step_saved_again_keeps_whether_its_ice_was_measured(client, path, typed, shown):
    client.post(f"{DRINK}/steps/new", data={"kind": "stir", "ice_c": typed})
    (before,) = kept(client).drinks[0].steps
    form = Page(client.get(f"{path}/drinks?edit=step-{before.id}")).sent_by(
        f"{DRINK}/steps/{before.id}"
    )
    assert form["ice_c"].replace("−", "-") == shown
    client.post(f"{DRINK}/steps/{before.id}", data=form)
    assert kept(client).drinks[0].steps == (before,)


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"kind": ""}, "kind", "Choose what is done."),
        ({"kind": "ice", "to_temp_c": ""}, "to_temp_c", "Give a number."),
        ({"kind": "ice", "to_temp_c": "−2 °C"}, "to_temp_c", "Give the number alone, without “°C”"),
        ({"kind": "stand", "minutes": ""}, "minutes", "Give the minutes"),
        ({"kind": "ice", "to_temp_c": "4", "ice_c": "3"}, "ice_c", "Ice"),
        ({"kind": "blend", "ice_g": "0"}, "ice_g", "Ice weighs above 0"),
        ({"kind": "blend", "ice_c": "3"}, "ice_c", "Ice"),
        ({"kind": "filter"}, "recovered_ml", "Give the volume that comes through, or the loss."),
    ],
)
def test_what_no_step_can_be_is_told_beside_its_field(client, path, typed, field, told):
    page = Page(client.post(f"{DRINK}/steps/new", data=typed))
    assert page.status == 422
    assert page.fault(field, f"{DRINK}/steps/new").startswith(told)
    assert kept(client) == ROUTINE


def test_a_slush_is_told_by_its_ice_and_by_what_is_between_it(client, path):
    client.post(f"{DRINK}/ingredients/i2/delete")
    client.post(f"{DRINK}/steps/new", data={"kind": "blend", "ice_g": "100"})
    (step,) = kept(client).drinks[0].steps
    said = all_figures(client, path).text(".panel")
    assert "Ice left in it" in said
    assert "What is liquid between it has" in said
    form = Page(client.get(f"{path}/drinks?edit=step-{step.id}"))
    assert "100 g of ice added" in form.text(".panel")
    assert form.sent_by(f"{DRINK}/steps/{step.id}")["ice_g"] == "100"


def test_steps_move_and_go_and_can_be_brought_back(client, path):
    client.post(f"{DRINK}/steps/new", data={"kind": "shake"})
    client.post(f"{DRINK}/steps/new", data={"kind": "layer"})
    first, second = kept(client).drinks[0].steps
    client.post(f"{DRINK}/steps/{second.id}/move", data={"to": "0"})
    client.post(f"{DRINK}/steps/{first.id}/delete")
    assert kept(client).drinks[0].steps == (second,)
    client.post(f"{path}/undo")
    assert kept(client).drinks[0].steps == (second, first)


SERVED = {"name": "Tide", "serves": "1", "poured": "s1", "drunk": "s3", "room": "20"}


def test_a_drink_says_how_warm_it_is_when_the_judges_drink(client, path):
    client.post(f"{DRINK}/ingredients/i2/delete")
    client.post(DRINK, data={**SERVED, "stated": "20", "vessel": "glass", "mass_g": "100"})
    page = all_figures(client, path)
    # A drink and a glass at room temperature stay there, whatever the plan.
    assert "When the judges drink: 20 °C." in page.text(".panel")
    assert page.texts("#drink-d1 .big-figures div")[2] == "you say 20: fits20 °C"


def test_a_temperature_that_the_glass_does_not_hold_is_contradicted(client, path):
    client.post(f"{DRINK}/ingredients/i2/delete")
    client.post(DRINK, data={**SERVED, "stated": "55", "vessel": "glass", "mass_g": "100"})
    page = Page(client.get(f"{path}/drinks"))
    assert page.texts("#drink-d1 .big-figures .is-wanting") == ["you say 55, it is 20 to 20"]
    assert page.text("h1") == "Tide: you say 55, it is 20 to 20 °C when drunk"


def test_two_readings_fit_the_vessels_cooling(client, path):
    # Mug 96.1 °C, room 22.8 °C, 72.2 °C after 5 min: k = 0.0791/min (Hawkes, project 5.7).
    client.post(DRINK, data={**SERVED, "room": "22.8", "vessel": "mug", "first_c": "96.1",
                             "second_c": "72.2", "apart": "5:00"})  # fmt: skip
    vessel = kept(client).drinks[0].service.vessel
    assert vessel.cooling_per_min.value == pytest.approx(0.0791, abs=0.0005)


def test_readings_that_do_not_cool_are_told_beside_their_field(client, path):
    typed = {**SERVED, "first_c": "60", "second_c": "70", "apart": "5:00"}
    page = Page(client.post(DRINK, data=typed))
    assert page.fault("second_c", DRINK) == "The second reading is nearer to the room temperature."


def test_how_it_is_served_is_kept(client, path):
    client.post(DRINK, data={**SERVED, "stated": "8", "method": "Stir.", "part": "30",
                             "vessel": "coupe", "material": "glass", "vessel_c": "-5"})  # fmt: skip
    drink = kept(client).drinks[0]
    assert (drink.method, drink.part_ml) == ("Stir.", 30.0)
    assert drink.service == Service(Vessel("coupe", "glass", temp_c=-5.0), 20.0, 8.0, "s1", "s3")


def test_a_batch_is_scaled_to_what_can_be_measured(client, path):
    page = Page(client.get(f"{DRINK}/batch?serves=3&spare=1&loss_percent=0&jigger=50+ml"))
    # 45 ml a serve, three serves and one spare: 180 ml, in steps of 50 ml nearest to 200.
    assert page.texts("tbody tr:first-child td")[:2] == ["180 ml", "200 ml"]


def test_a_batch_says_how_much_it_is_and_takes_that_along_to_another_drink(client, path):
    client.post(f"{DRINK}/copy")
    asked = "serves=24&spare=2&loss_percent=0"
    page = Page(client.get(f"{DRINK}/batch?{asked}"))
    assert page.text("h1").endswith("24 serves of Tide and 2 to spare")
    other = page.all(".batch-form .form-end a")[0].get("href")
    assert other.endswith(f"/batch?{asked}")
    assert Page(client.get(other)).text("h1").startswith("24 serves of")
    assert Page(client.get(f"{DRINK}/batch?serves=1")).text("h1").endswith("1 serve of Tide")


def test_what_is_exact_in_a_batch_is_told_to_a_hundredth_of_itself(client):
    parts = (
        Ingredient("i1", "Gin", Amount(0.75, "oz"), (), SPIRIT),
        Ingredient("i2", "Acid", Amount(0.004, "kg"), (), Substance("acid", acid=Content(100))),
    )
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, parts),)))
    page = Page(client.get(f"{DRINK}/batch?serves=1&spare=0&loss_percent=0&jigger=0.25+oz"))
    # Nothing is made larger: what is exact is what the recipe says.
    assert page.texts(".batch-table tbody td")[::3] == ["¾ oz", "0.004 kg"]


def test_a_batch_of_nothing_is_told_beside_its_field(client, path):
    page = Page(client.get(f"{DRINK}/batch?serves=0"))
    assert (page.status, page.fault("serves")) == (422, "Give a number from 1 to 1000.")


def test_two_versions_stand_side_by_side(client, path):
    client.post(f"{DRINK}/copy")
    copied = kept(client).drinks[1]
    changed = copied.ingredients[0].id
    client.post(f"/routines/r1/drinks/{copied.id}/ingredients/{changed}", data={
        "amount": "60 ml", "name": "Gin"})  # fmt: skip
    page = Page(client.get(f"{path}/drinks/compare?left=d1&right={copied.id}"))
    rows = page.texts("tbody tr")
    assert "Gin45 ml60 mlnot the same" in rows
    # 15 ml more at 40 % vol are 4.7 g of ethanol.
    assert any(row.startswith("Ethanol") and "+4.7" in row for row in rows)


def test_one_drink_alone_is_told_how_to_get_a_version(client):
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide"),)))
    assert "Try a variant" in Page(client.get(f"{path}/drinks/compare")).text(".empty")


def test_the_demo_warns_of_what_its_drinks_can_do_and_says_once_who_decides(demo):
    page = Page(demo.get("/routines/routine-demo/drinks?open=figures"))
    said = page.texts(".cautions li")
    assert any("scalds" in words for words in said)
    assert any("cereals with gluten" in words for words in said)
    assert page.text("main").count("Local codes and licensed practice decide.") == 1


def test_the_demo_names_temperatures_that_its_glasses_hold(demo):
    said = Page(demo.get("/routines/routine-demo/drinks")).texts(".big-figures dt")
    assert sum(each.endswith(": fits") for each in said) == 2


def test_a_hazard_in_the_words_stands_in_the_care_of_the_page(client):
    fog = make_segment("s1", hands="Dry ice into the bowl.")
    page = Page(
        client.get(f"{keep(client, make_routine(segments=(fog,), drinks=ROUTINE.drinks))}/drinks")
    )
    assert page.text(".care summary").startswith("Take care: dry ice; contains alcohol")
    assert "Dry ice (hands in “Segment s1”): it burns" in page.texts(".care li")[0]


def test_the_care_of_what_spoils_says_what_to_do_and_who_decides(client):
    milk = Ingredient("i1", "Whole milk", Amount(100, "ml"), (), Substance("dairy"))
    path = keep(client, make_routine(drinks=(Drink("d1", "Foam", 1, (milk,)),)))
    page = Page(client.get(f"{path}/drinks"))
    told = page.text(".care summary")
    assert "holds milk: keep it at 5 °C or below, or at 57 °C or above" in told
    assert told.endswith("Local codes decide.")


def test_a_syrup_by_grams_says_what_one_cooking_yields(client, path):
    form = {"making": "syrup", "syrup_by": "grams", "syrup_sugar": "100", "syrup_water": "100",
            "syrup_solids": "100", "syrup_held": "1"}  # fmt: skip
    post_gin(client, name="Plum syrup", kind="syrup", abv="", sugar="", **form)
    assert kept(client).drinks[0].ingredients[0].syrup.solids == 100
    shown = Page(client.get(f"{path}/drinks?edit=ingredient-i1")).text(".panel")
    assert "cooked to 50.0 Brix (49.8–50.2), gives 81 ml after straining" in shown


def test_a_batch_made_ahead_is_kept_with_its_infusion(client, path):
    post_gin(client, made="700 ml", steeped_h="18", steeped_c="20")
    ahead = kept(client).drinks[0].ingredients[0].ahead
    assert (ahead.made, ahead.steeped_h, ahead.steeped_c) == (Amount(700, "ml"), 18, 20)
    answer = post_gin(client, made="much", steeped_h="0")
    assert answer.status_code == 422
    assert kept(client).drinks[0].ingredients[0].ahead == ahead


def test_what_stands_out_of_the_fridge_says_how_warm_it_goes_in(client, path):
    post_gin(client, temp_c="4", out_min="10 (5–20)")
    part = kept(client).drinks[0].ingredients[0]
    assert part.ahead.out_min == Figure(10, 5, 20)
    page = Page(client.get(f"{path}/drinks?edit=ingredient-i1"))
    assert "It waits 10:00 (5:00–20:00) in the room and goes in at" in page.text(".panel")
    assert "goes in at" in all_figures(client, path).text(".panel")
    answer = post_gin(client, out_min="-3")
    assert Page(answer).fault("out_min").startswith("It stands out for")


def test_listed_ice_that_no_step_melts_leaves_no_figure_whole(client):
    ice = Ingredient("i3", "Ice", Amount(200, "g"), (), ingredient("ice").substance)
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (GIN, ice)),)))
    page = all_figures(client, path)
    told = figures(page)
    assert "at most" in told["Strength"]
    assert "at least" in told["Volume"]


def test_a_bound_that_says_nothing_is_told_as_not_known(client, path):
    shown = figures(all_figures(client, path))
    # The gin holds no caffeine, of the liqueur nobody knows.
    assert shown["Energy"].startswith("at least 9")
    assert estimate(Estimate(0.0, 0.0, 3.0, lacks=("tea",)), 0, "mg") == "not known"
    assert estimate(Estimate(4.0, 3.0, inf, lacks=("juice",), is_most=True), 1) == "not known"


def test_what_two_versions_differ_by_is_what_their_figures_differ_by(client, path):
    client.post(f"{DRINK}/copy")
    copied = kept(client).drinks[1]
    client.post(f"/routines/r1/drinks/{copied.id}/ingredients/{copied.ingredients[0].id}", data={
        "amount": "47.8 ml", "name": "Gin"})  # fmt: skip
    page = Page(client.get(f"{path}/drinks/compare?left=d1&right={copied.id}"))
    cells = {
        row[0]: row[1:]
        for row in (
            [text_of(cell) for cell in row.cssselect("th, td")] for row in page.all("tbody tr")
        )
    }
    left, right, change = cells["Ethanol"][:3]
    numbers = [float(each.split()[-2]) for each in (left, right)]
    # By subtraction: at least 14.2 and 15.0 g (14.206 and 15.090) differ by 0.8 as they are shown.
    assert numbers == [14.2, 15.0]
    assert change.startswith("+0.8")
    # Whether one has more caffeine nobody can tell.
    assert cells["Caffeine"][:3] == ["not known", "not known", "–"]


def test_nothing_against_at_least_so_much_is_no_doubt(client):
    spirit = Drink("d1", "Tide", 1, (GIN,))
    coffee = Ingredient("c", "Coffee", Amount(60, "ml"), (), Substance(
        "coffee", abv=Figure(0.0), sugar=Content(0.0), caffeine=Content(60.0)))  # fmt: skip
    path = keep(client, make_routine(drinks=(spirit, Drink("d2", "Ebb", 1, (coffee, MYSTERY)))))
    page = Page(client.get(f"{path}/drinks/compare?left=d1&right=d2"))
    rows = [[text_of(cell) for cell in row.cssselect("th, td")] for row in page.all("tbody tr")]
    (caffeine,) = [row[1:] for row in rows if row[0] == "Caffeine"]
    # 60 mg in 100 ml, 60 ml of it: 36 mg, and what the liqueur holds.
    assert caffeine == ["0 mg", "at least 36 mg", "+36, at least"]


def test_a_part_of_a_batch_is_not_told_to_sixteen_digits(client):
    thirds = Ingredient("i1", "Gin", Amount(3, "part"), (), SPIRIT)
    keep(client, make_routine(drinks=(Drink("d1", "Tide", 3, (thirds,), part_ml=30.0),)))
    page = Page(client.get(f"{DRINK}/batch?serves=40&spare=2&loss_percent=3&jigger=5+ml"))
    # 42 / 0.97 parts.
    assert page.texts(".batch-table tbody td")[:2] == ["43.3 parts", "43.3 parts"]


def test_what_a_temperature_is_made_of_names_what_it_was_brought_to(client):
    hot = Drink("d1", "Tide", 1, (GIN,), steps=(Bring("h", "heat", 62.0),))
    path = keep(client, make_routine(drinks=(hot,)))
    panel = Page(client.get(f"{path}/drinks?open=origin-temp_c.d1")).text(".panel")
    assert "Heating" in panel
    assert "62 °C" in panel.partition("Heating")[2]


@pytest.mark.parametrize(("abv", "is_told"), [(12, True), (29, True), (31, False), (66, False)])
def test_a_refractometer_is_foretold_for_what_is_no_spirit(client, abv, is_told):
    # CRC Handbook, refractive index of ethanol in water (from memory): 58 % by mass, 66 % vol, has
    # 1.363, which a scale in Brix shows as 20; the formula of fortified wines would say 14.
    spirit = replace(GIN, substance=replace(SPIRIT, abv=Figure(float(abv))))
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (spirit,)),)))
    assert ("a refractometer shows" in all_figures(client, path).text(".panel")) is is_told


@pytest.mark.parametrize("over_ice", [True, False])
def test_ice_that_a_drink_stands_over_is_not_said_to_be_left_out(client, over_ice):
    # Its own sentence tells what melts of it: the page does not say two things of one ice.
    ice = Ingredient("i", "Ice", Amount(120, "g"), (), ingredient("ice").substance)
    segments = (make_segment("s1"), make_segment("s2"))
    service = Service(None, 21.0, None, "s1", "s2", over_ice=over_ice)
    drink = Drink("d1", "Tide", 1, (GIN, ice), service=service)
    path = keep(client, make_routine(segments=segments, drinks=(drink,)))
    shown = all_figures(client, path).text(".panel")
    assert ("more melts until then" in shown) is over_ice
    assert ("none of it is counted" in shown) is not over_ice


def test_a_drink_without_sugar_and_acid_is_said_to_hold_none(client):
    acid_free = replace(GIN, substance=replace(SPIRIT, acid=Content(0.0)))
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide", 1, (acid_free,)),)))
    assert "No sugar, no acid" in Page(client.get(f"{path}/drinks")).text("#drink-d1 .glass-line")


@pytest.mark.parametrize("by_step", [None, Figure(200.0)])
def test_ice_that_is_blended_as_it_is_listed_stands_there_once(client, by_step):
    # 200 g of ice are 200 g, not 400.
    ice = Ingredient("i", "Ice", Amount(200, "g"), (), ingredient("ice").substance)
    parts = (GIN, ice) if by_step is None else (GIN,)
    drink = Drink("d1", "Gull", 1, parts, steps=(Blend("b", by_step),))
    path = keep(client, make_routine(drinks=(drink,)))
    shown = Page(client.get(f"{path}/drinks"))
    assert len([each for each in shown.texts(".parts-list li") if "200 g" in each]) == 1
    # In the picture too it is what fills the glass, hatched as all water is.
    assert any("200 g" in text_of(each) for each in shown.all("#drink-d1 svg title"))


def test_what_all_serves_hold_is_told_where_there_is_more_than_one(client, path):
    assert all_figures(client, path).texts(".balance td small") != []
    assert not any(
        each.startswith("all:") for each in all_figures(client, path).texts(".balance td small")
    )


@pytest.mark.parametrize(
    ("made", "is_told"), [("400 ml", True), ("200 ml", False), ("1 kg", False)]
)
def test_more_made_at_a_time_than_one_cooking_gives_is_told(client, made, is_told):
    # ICUMSA: 350 g at 57.14 Brix are 275.6 ml; 120 g of fruit that keep 0.3 g a gram leave 247.
    syrup = Syrup(200.0, 150.0, solids=120.0, by="grams")
    pear = Ingredient("p", "Pear", Amount(90, "ml"), (), None, None, syrup)
    pear = replace(pear, ahead=replace(pear.ahead, made=parse_amount(made)))
    path = keep(client, make_routine(drinks=(Drink("d1", "Ferry", 1, (pear,)),)))
    shown = Page(client.get(f"{path}/drinks?edit=ingredient-p")).text(".panel")
    assert "after straining" in shown
    assert ("made at a time: more than that gives" in shown) is is_told
