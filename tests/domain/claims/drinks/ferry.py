"""The drinks of the talks and sentences told in a polished final by the ferry landing: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

FIRST = Drink(
    "ferry_first",
    "First Crossing",
    2,
    (
        part("espresso", "Espresso, washed, light roast", 80, "ml", ("apricot", "jasmine"),
             a_coffee(180.0, 68.0), brew=Brew(dose_g=20, water_g=80, kind="espresso", time_s=28)),
        part("brandy", "Apple brandy, 42 % vol", 70, "ml", ("apple", "oak"), a_spirit(42.0)),
        part("maple", "Maple syrup", 20, "ml", ("maple",), a_syrup(67.0)),
        part("verjus", "Verjus", 30, "ml", ("green grape",), a_juice(9.0, 1.8)),
    ),
    ("apricot", "apple", "maple", "silky"),
    steps=(Agitate("stir-first", "stir"),),
)  # fmt: skip

SOUR = Drink(
    "ferry_sour",
    "Lee Shore",
    2,
    (
        part("gin", "Dry gin, 44 % vol", 90, "ml", ("juniper", "coriander"), a_spirit(44.0)),
        part("buckthorn", "Sea buckthorn juice", 50, "ml", ("sea buckthorn", "passion fruit"),
             a_juice(4.0, 3.2, temp_c=Figure(4.0))),
        part("chamomile", "Chamomile syrup", 40, "ml", ("chamomile", "hay"), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("egg", "Egg white", 50, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
        part("saline", "Saline solution", 6, "drop", (), Substance("salt", allergens=())),
    ),
    ("sea buckthorn", "chamomile", "sour", "frothy"),
    steps=(Agitate("shake-sour", "shake"),),
)  # fmt: skip

LAMP = Drink(
    "ferry_lamp",
    "Lamp Room",
    2,
    (
        part("filter", "Filter coffee, hot", 260, "ml", ("blackcurrant", "cocoa"),
             a_coffee(50.0, 82.0), brew=Brew(dose_g=20, water_g=320, kind="drip", time_s=200)),
        part("rum", "Dark rum, 50 % vol", 60, "ml", ("molasses", "raisin"), a_spirit(50.0)),
        part("pear", "Spiced pear syrup", 30, "ml", ("pear", "cinnamon"), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("cream", "Cream, lightly whipped", 60, "ml", ("cream",),
             a_dairy(3.0, 35.0, 2.2, 4.0)),
    ),
    ("blackcurrant", "molasses", "creamy", "hot"),
)  # fmt: skip

SIGNAL = Drink(
    "ferry_signal",
    "Signal Flag",
    2,
    (
        part("tea", "Jasmine green tea, chilled", 120, "ml", ("jasmine", "fresh peas"),
             a_tea(14.0, 4.0)),
        part("pearspirit", "Pear spirit, 40 % vol", 80, "ml", ("pear", "white pepper"),
             a_spirit(40.0)),
        part("cordial", "Cucumber cordial", 50, "ml", ("cucumber", "dill"), a_juice(40.0, 2.4)),
        part("soda", "Soda water", 180, "ml", (), a_water(3.0)),
    ),
    ("cucumber", "jasmine", "pear", "sparkling"),
)  # fmt: skip

BALLAST = Drink(
    "ferry_ballast",
    "Clear Ballast",
    4,
    (
        part("rum", "Aged rum, 46 % vol", 180, "ml", ("vanilla", "banana"), a_spirit(46.0)),
        part("tea", "Bergamot black tea", 160, "ml", ("bergamot", "malt"), a_tea(20.0, 80.0)),
        part("pineapple", "Pineapple juice", 120, "ml", ("pineapple",), a_juice(12.0, 0.8)),
        part("lemon", "Lemon juice", 60, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("cardamom", "Cardamom syrup", 60, "ml", ("cardamom",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("milk", "Whole milk", 140, "ml", (), a_dairy(4.8, 3.5, 3.4, 5.0)),
    ),
    ("pineapple", "bergamot", "cardamom", "silky"),
)  # fmt: skip

BUOY = Drink(
    "ferry_buoy",
    "Bell Buoy",
    3,
    (
        part("coldbrew", "Cold brew coffee", 240, "ml", ("cherry", "tonka"), a_coffee(70.0, 4.0),
             brew=Brew(dose_g=80, water_g=960, kind="immersion", time_s=57600)),
        part("rhubarb", "Rhubarb juice", 90, "ml", ("rhubarb",), a_juice(2.0, 1.6)),
        part("rosemary", "Rosemary syrup", 45, "ml", ("rosemary", "pine"), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("tonic", "Tonic water", 240, "ml", ("quinine",),
             Substance("soda", sugar=Content(8.0), abv=Figure(0.0), allergens=(),
                       temp_c=Figure(3.0))),
    ),
    ("cherry", "rosemary", "bitter", "sparkling"),
)  # fmt: skip

KEEL = Drink(
    "ferry_keel",
    "Keel and Timber",
    2,
    (
        part("rye", "Rye whisky, 48 % vol", 100, "ml", ("rye", "black pepper"),
             Substance("spirit", abv=Figure(48.0), sugar=Content(0.0), acid=Content(0.0),
                       allergens=("gluten",), temp_c=Figure(-16.0))),
        part("liqueur", "Coffee liqueur, 24 % vol", 40, "ml", ("dark chocolate", "fig"),
             Substance("liqueur", abv=Figure(24.0), sugar=Content(28.0), caffeine=Content(40.0),
                       allergens=())),
        part("smoke", "Smoked cherry syrup", 10, "ml", ("smoke", "cherry"), a_syrup()),
        part("bitters", "Walnut bitters, 45 % vol", 4, "dash", ("walnut",),
             Substance("bitters", abv=Figure(45.0), allergens=("nuts",))),
    ),
    ("dark chocolate", "walnut", "smoke", "velvety"),
    steps=(Agitate("stir-keel", "stir"),),
)  # fmt: skip

FERRY_DRINKS = (FIRST, SOUR, LAMP, SIGNAL, BALLAST, BUOY, KEEL)
