"""The drinks of the talks and sentences told by guests in a second language: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

BERGAMOT = Drink(
    "mill_bergamot",
    "Letter from the Terrace",
    2,
    (
        part("coffee", "Filter coffee, chilled", 160, "ml", ("jasmine", "apricot"),
             a_coffee(60.0, 6.0), brew=Brew(dose_g=20, water_g=300, kind="drip", time_s=180)),
        part("grape", "Grape spirit, 42 % vol", 60, "ml", ("white grape", "elderflower"),
             a_spirit(42.0)),
        part("cordial", "Bergamot cordial", 40, "ml", ("bergamot",), a_juice(40.0, 3.0)),
        part("tonic", "Tonic water", 100, "ml", ("quinine",),
             Substance("soda", sugar=Content(8.0), allergens=(), temp_c=Figure(4.0))),
    ),
    ("bergamot", "jasmine", "apricot", "sparkling"),
)  # fmt: skip

RICE = Drink(
    "mill_rice",
    "Steam on the Window",
    3,
    (
        part("tea", "Green tea with roasted rice, hot", 390, "ml", ("toasted rice", "popcorn"),
             a_tea(12.0, 82.0)),
        part("plum", "Plum liqueur, 16 % vol", 90, "ml", ("plum", "almond"),
             Substance("liqueur", abv=Figure(16.0), sugar=Content(18.0), allergens=())),
        part("ginger", "Ginger syrup", 30, "ml", ("ginger",), a_syrup(50.0),
             syrup=Syrup(sugar=1, water=1)),
        part("salt", "Salt solution", 6, "drop", (), Substance("salt", allergens=())),
    ),
    ("toasted rice", "plum", "ginger", "warm"),
)  # fmt: skip

PASSION = Drink(
    "mill_passion",
    "Sunday Without Shoes",
    2,
    (
        part("cane", "Cane spirit, 40 % vol", 100, "ml", ("grass", "banana"), a_spirit(40.0)),
        part("passion", "Passion fruit juice", 60, "ml", ("passion fruit",), a_juice(9.0, 3.5)),
        part("espresso", "Espresso", 60, "ml", ("dark chocolate", "brown sugar"),
             a_coffee(200.0, 70.0),
             brew=Brew(dose_g=30, beverage_g=60, kind="espresso", water_c=93.0, time_s=28.0)),
        part("panela", "Panela syrup", 30, "ml", ("molasses",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("egg", "Egg white", 50, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
    ),
    ("passion fruit", "dark chocolate", "sour", "frothy"),
    steps=(Agitate("shake-passion", "shake"),),
)  # fmt: skip

SMOKE = Drink(
    "mill_smoke",
    "The Station Buffet",
    2,
    (
        part("tea", "Pine-smoked black tea, chilled", 200, "ml", ("smoke", "pine"),
             a_tea(18.0, 5.0)),
        part("apple", "Apple brandy, 45 % vol", 80, "ml", ("baked apple", "vanilla"),
             a_spirit(45.0)),
        part("honey", "Buckwheat honey syrup", 30, "ml", ("honey", "malt"), a_syrup(50.0),
             syrup=Syrup(sugar=1, water=1)),
        part("bitters", "Walnut bitters, 45 % vol", 4, "dash", ("walnut",),
             Substance("bitters", abv=Figure(45.0), allergens=("nuts",))),
        part("soda", "Soda water", 240, "ml", (), a_water(3.0)),
    ),
    ("smoke", "baked apple", "walnut", "dry"),
)  # fmt: skip

PUNCH = Drink(
    "mill_punch",
    "The Patient One",
    4,
    (
        part("rum", "Aged rum, 46 % vol", 160, "ml", ("raisin", "caramel"), a_spirit(46.0)),
        part("coldbrew", "Cold brew coffee", 240, "ml", ("cocoa", "cherry"), a_coffee(75.0, 4.0),
             brew=Brew(dose_g=60, water_g=600, kind="immersion", time_s=50400)),
        part("pineapple", "Pineapple juice", 120, "ml", ("pineapple",), a_juice(12.0, 0.7)),
        part("lemon", "Lemon juice", 60, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("cinnamon", "Cinnamon syrup", 60, "ml", ("cinnamon",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("milk", "Whole milk", 120, "ml", (), a_dairy(4.8, 3.5, 3.4, 5.0)),
    ),
    ("pineapple", "cinnamon", "cocoa", "silky"),
)  # fmt: skip

GARDEN = Drink(
    "mill_garden",
    "Behind the Mill",
    2,
    (
        part("cascara", "Cascara infusion, cold", 240, "ml", ("hibiscus", "cherry"),
             a_tea(25.0, 4.0)),
        part("cucumber", "Cucumber juice", 100, "ml", ("cucumber",),
             a_juice(1.6, 0.1, abv=Figure(0.0), temp_c=Figure(5.0))),
        part("verjus", "Verjus", 40, "ml", ("green grape", "gooseberry"),
             a_juice(12.0, 2.0, abv=Figure(0.0))),
        part("agave", "Agave syrup", 20, "ml", ("agave",), a_syrup(70.0)),
        part("basil", "Basil", 8, "leaf", ("basil",), Substance("garnish", allergens=())),
        part("soda", "Soda water", 120, "ml", (), a_water(3.0)),
    ),
    ("cucumber", "basil", "hibiscus", "tart"),
)  # fmt: skip

SESAME = Drink(
    "mill_sesame",
    "Two Spoons of Night",
    2,
    (
        part("espresso", "Espresso", 80, "ml", ("hazelnut", "cocoa"), a_coffee(190.0, 72.0),
             brew=Brew(dose_g=40, beverage_g=80, kind="espresso", water_c=92.0, time_s=30.0)),
        part("brandy", "Grape brandy, 38 % vol", 60, "ml", ("dried fig", "oak"), a_spirit(38.0)),
        part("sesame", "Black sesame syrup", 40, "ml", ("sesame",),
             Substance("syrup", sugar=Content(60.0, per="100 g"), acid=Content(0.0),
                       allergens=("sesame",))),
        part("milk", "Whole milk, steamed", 200, "ml", (), a_dairy(4.8, 3.5, 3.4, 60.0)),
        part("orange", "Orange peel tincture, 50 % vol", 4, "drop", ("orange peel",),
             a_spirit(50.0)),
    ),
    ("sesame", "hazelnut", "dried fig", "creamy"),
)  # fmt: skip

MILL_DRINKS = (BERGAMOT, RICE, PASSION, SMOKE, PUNCH, GARDEN, SESAME)
