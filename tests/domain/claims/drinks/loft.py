"""The drinks of the loft talks: invented, told by bartenders and baristas in their own words."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

LADDER = Drink(
    "loft_ladder",
    "The Attic Ladder",
    2,
    (
        part("coldbrew", "Cold brew coffee, natural", 140, "ml", ("strawberry", "cocoa"),
             a_coffee(75.0, 4.0),
             brew=Brew(dose_g=70, water_g=700, kind="immersion", time_s=57600)),
        part("plum", "Plum brandy, 42 % vol", 80, "ml", ("plum", "almond"), a_spirit(42.0)),
        part("tonka", "Tonka syrup", 24, "ml", ("tonka", "vanilla"), a_syrup(50.0),
             syrup=Syrup(sugar=1, water=1)),
        part("cream", "Cream, lightly whipped", 60, "ml", (), a_dairy(3.2, 32.0, 2.3, 5.0)),
    ),
    ("plum", "cocoa", "tonka", "creamy"),
    steps=(Agitate("stir-ladder", "stir"),),
)  # fmt: skip

PIGEON = Drink(
    "loft_pigeon",
    "Pigeon Post",
    2,
    (
        part("gin", "Dry gin, 46 % vol", 100, "ml", ("juniper", "pine"), a_spirit(46.0)),
        part("lemon", "Lemon juice", 50, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("rhubarb", "Rhubarb syrup", 40, "ml", ("rhubarb",), a_syrup(50.0),
             syrup=Syrup(sugar=1, water=1)),
        part("egg", "Egg white", 50, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
        part("bitters", "Celery bitters, 40 % vol", 4, "dash", ("celery",),
             Substance("bitters", abv=Figure(40.0), allergens=())),
    ),
    ("rhubarb", "juniper", "sour", "foamy"),
    steps=(Agitate("shake-pigeon", "shake"),),
)  # fmt: skip

BOILER = Drink(
    "loft_boiler",
    "Boiler Room",
    2,
    (
        part("tea", "Pine-smoked black tea, hot", 280, "ml", ("smoke", "pine resin"),
             a_tea(18.0, 86.0), brew=Brew(dose_g=8, water_g=320, kind="immersion", time_s=240)),
        part("malt", "Malt whisky, 48 % vol", 70, "ml", ("malt", "heather"),
             a_spirit(48.0, ("gluten",))),
        part("apple", "Apple juice", 60, "ml", ("apple",), a_juice(10.5, 0.6)),
        part("honey", "Heather honey syrup", 30, "ml", ("honey",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("clove", "Clove", 6, "piece", ("clove",), Substance("garnish", allergens=())),
    ),
    ("smoke", "apple", "honey", "hot"),
)  # fmt: skip

SKYLIGHT = Drink(
    "loft_skylight",
    "Skylight",
    2,
    (
        part("tea", "Jasmine green tea, cold", 100, "ml", ("jasmine", "hay"), a_tea(16.0, 4.0),
             brew=Brew(dose_g=12, water_g=600, kind="immersion", time_s=28800)),
        part("grape", "Grape spirit, 40 % vol", 80, "ml", ("grape", "muscat"),
             Substance("spirit", abv=Figure(40.0), sugar=Content(0.0), acid=Content(0.0),
                       allergens=(), temp_c=Figure(-16.0))),
        part("cucumber", "Cucumber juice", 60, "ml", ("cucumber",),
             a_juice(1.6, 0.1, temp_c=Figure(4.0))),
        part("cordial", "Elderflower cordial", 30, "ml", ("elderflower",), a_syrup(50.0)),
        part("soda", "Soda water", 200, "ml", (), a_water(3.0)),
        part("salt", "Salt solution", 4, "drop", (), Substance("salt", allergens=())),
    ),
    ("jasmine", "cucumber", "grape", "fizzy"),
)  # fmt: skip

RAFTER = Drink(
    "loft_rafter",
    "Under the Rafters",
    4,
    (
        part("rum", "Pot still rum, 55 % vol", 180, "ml", ("banana", "molasses"), a_spirit(55.0)),
        part("pineapple", "Pineapple juice", 200, "ml", ("pineapple",), a_juice(12.0, 0.8)),
        part("lime", "Lime juice", 80, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("tea", "Masala tea, strong", 160, "ml", ("cardamom", "cinnamon"), a_tea(22.0, 80.0)),
        part("sugar", "Demerara syrup", 60, "ml", ("toffee",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("milk", "Whole milk", 160, "ml", (), a_dairy(4.8, 3.5, 3.4, 5.0)),
    ),
    ("pineapple", "cardamom", "banana", "silky"),
)  # fmt: skip

SWIFT = Drink(
    "loft_swift",
    "Swifts at Seven",
    3,
    (
        part("coffee", "Filter coffee, washed, chilled", 210, "ml", ("blackcurrant", "tomato leaf"),
             a_coffee(50.0, 6.0),
             brew=Brew(dose_g=24, water_g=360, kind="drip", time_s=195)),
        part("leaf", "Blackcurrant leaf syrup", 36, "ml", ("blackcurrant", "green leaf"),
             a_syrup(50.0), syrup=Syrup(sugar=1, water=1)),
        part("verjus", "Verjus", 30, "ml", ("green grape",), a_juice(6.0, 2.5)),
        part("tonic", "Tonic water", 240, "ml", ("quinine",),
             Substance("soda", sugar=Content(8.0), abv=Figure(0.0), allergens=(),
                       temp_c=Figure(4.0))),
    ),
    ("blackcurrant", "green leaf", "bitter", "sparkling"),
)  # fmt: skip

STOVE = Drink(
    "loft_stove",
    "The Nut Stove",
    2,
    (
        part("espresso", "Espresso, hot", 72, "ml", ("hazelnut", "dark chocolate"),
             a_coffee(180.0, 88.0),
             brew=Brew(dose_g=36, beverage_g=72, kind="espresso", time_s=28)),
        part("corn", "Corn whisky, 50 % vol", 60, "ml", ("vanilla", "oak"),
             a_spirit(50.0, ("gluten",))),
        part("walnut", "Walnut liqueur, 24 % vol", 40, "ml", ("walnut", "orange peel"),
             Substance("liqueur", abv=Figure(24.0), sugar=Content(22.0), allergens=("nuts",))),
        part("milk", "Steamed milk", 160, "ml", (), a_dairy(4.8, 3.5, 3.4, 60.0)),
    ),
    ("hazelnut", "walnut", "oak", "warm"),
)  # fmt: skip

LOFT_DRINKS = (LADDER, PIGEON, BOILER, SKYLIGHT, RAFTER, SWIFT, STOVE)
