"""The drinks of the talks and sentences of beginners at rehearsal: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

DEPOT = Drink(
    "tram_depot",
    "Last Tram to the Depot",
    2,
    (
        part("coffee", "Espresso, natural lot", 60, "ml", ("blueberry", "cocoa"),
             a_coffee(170.0, 60.0),
             brew=Brew(dose_g=20, beverage_g=60, kind="espresso", time_s=28)),
        part("rye", "Rye spirit, 45 % vol", 80, "ml", ("rye bread", "pepper"),
             a_spirit(45.0, ("gluten",))),
        part("maple", "Maple syrup", 30, "ml", ("maple",), a_syrup()),
        part("walnut", "Walnut bitters, 40 % vol", 4, "dash", ("walnut",),
             Substance("bitters", abv=Figure(40.0), allergens=("nuts",))),
    ),
    ("blueberry", "maple", "walnut", "silky"),
    steps=(Agitate("stir-depot", "stir"),),
)  # fmt: skip

CONDUCTOR = Drink(
    "tram_conductor",
    "The Conductor's Thermos",
    2,
    (
        part("coffee", "Filter coffee, hot", 240, "ml", ("red apple", "caramel"),
             a_coffee(50.0, 80.0),
             brew=Brew(dose_g=18, water_g=288, kind="drip", time_s=195, water_c=93)),
        part("brandy", "Apple brandy, 42 % vol", 60, "ml", ("baked apple", "oak"),
             a_spirit(42.0)),
        part("cinnamon", "Cinnamon syrup", 20, "ml", ("cinnamon",), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("cream", "Cream, lightly whipped", 60, "ml", (), a_dairy(3.2, 32.0, 2.4, 4.0)),
    ),
    ("apple", "cinnamon", "caramel", "hot"),
)  # fmt: skip

BELL = Drink(
    "tram_bell",
    "Ring Once for Stop",
    2,
    (
        part("gin", "Gin, 44 % vol", 90, "ml", ("juniper", "lemon peel"), a_spirit(44.0)),
        part("rhubarb", "Rhubarb juice", 60, "ml", ("rhubarb",), a_juice(1.5, 1.6)),
        part("lemon", "Lemon juice", 30, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("vanilla", "Vanilla syrup", 40, "ml", ("vanilla",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("egg", "Egg white", 40, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
    ),
    ("rhubarb", "vanilla", "sour", "frothy"),
    steps=(Agitate("shake-bell", "shake"),),
)  # fmt: skip

TRANSFER = Drink(
    "tram_transfer",
    "Transfer at Mill Street",
    3,
    (
        part("tea", "Green tea, chilled", 180, "ml", ("cut grass", "pea"), a_tea(12.0, 5.0)),
        part("rum", "White rum, 40 % vol", 120, "ml", ("sugar cane", "banana"), a_spirit(40.0)),
        part("cucumber", "Cucumber juice", 60, "ml", ("cucumber",),
             a_juice(1.4, 0.1, temp_c=Figure(4.0))),
        part("lime", "Lime juice", 45, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("basil", "Basil syrup", 45, "ml", ("basil",), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("soda", "Soda water", 240, "ml", (), a_water(4.0)),
    ),
    ("cucumber", "basil", "lime", "sparkling"),
)  # fmt: skip

WINDOW = Drink(
    "tram_window",
    "Window Seat",
    4,
    (
        part("whisky", "Malt whisky, 46 % vol", 160, "ml", ("smoke", "barley"),
             a_spirit(46.0, ("gluten",))),
        part("coffee", "Cold brew coffee", 240, "ml", ("cherry", "dark chocolate"),
             a_coffee(70.0, 4.0),
             brew=Brew(dose_g=60, water_g=600, kind="immersion", time_s=57600)),
        part("pineapple", "Pineapple juice", 120, "ml", ("pineapple",), a_juice(12.0, 0.8)),
        part("clove", "Clove syrup", 60, "ml", ("clove",), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("milk", "Whole milk", 120, "ml", (), a_dairy(4.8, 3.5, 3.4, 5.0)),
    ),
    ("pineapple", "smoke", "cherry", "silky"),
)  # fmt: skip

SCHOOL = Drink(
    "tram_school",
    "The Half Past Seven",
    2,
    (
        part("coffee", "Decaffeinated cold brew", 120, "ml", ("hazelnut", "malt"),
             a_coffee(3.0, 4.0),
             brew=Brew(dose_g=40, water_g=400, kind="immersion", time_s=43200)),
        part("oat", "Oat drink", 120, "ml", ("oat",),
             Substance("other", sugar=Content(4.0), fat=Content(1.5), protein=Content(1.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("gluten",),
                       temp_c=Figure(5.0))),
        part("raspberry", "Raspberry syrup", 30, "ml", ("raspberry",), a_syrup()),
        part("salt", "Salt solution", 6, "drop", (), Substance("salt", allergens=())),
    ),
    ("raspberry", "malt", "oat", "creamy"),
    steps=(Agitate("shake-school", "shake"),),
)  # fmt: skip

LAMP = Drink(
    "tram_lamp",
    "Lamp in the Fog",
    2,
    (
        part("tea", "Black tea, hot", 280, "ml", ("tannin", "bergamot"), a_tea(20.0, 82.0)),
        part("plum", "Plum spirit, 48 % vol", 50, "ml", ("plum", "marzipan"), a_spirit(48.0)),
        part("honey", "Heather honey syrup", 30, "ml", ("honey", "heather"), a_syrup(),
             syrup=Syrup(sugar=3, water=1)),
        part("lemon", "Lemon juice", 15, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("star", "Star anise tincture, 50 % vol", 6, "drop", ("star anise",), a_spirit(50.0)),
    ),
    ("plum", "honey", "bergamot", "warm"),
)  # fmt: skip

TRAM_DRINKS = (DEPOT, CONDUCTOR, BELL, TRANSFER, WINDOW, SCHOOL, LAMP)
