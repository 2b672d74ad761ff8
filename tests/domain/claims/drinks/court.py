"""The drinks of the talks and sentences of people who explain and train: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

BASELINE = Drink(
    "court_baseline",
    "Baseline",
    2,
    (
        part("coldbrew", "Cold brew coffee", 160, "ml", ("blueberry", "jasmine"),
             a_coffee(70.0, 4.0),
             brew=Brew(dose_g=80, water_g=800, kind="immersion", time_s=50400)),
        part("grain", "Grain spirit, 42 % vol", 80, "ml", ("malt", "juniper"),
             a_spirit(42.0, ("gluten",))),
        part("currant", "Blackcurrant leaf syrup", 30, "ml", ("blackcurrant",), a_syrup(50.0),
             syrup=Syrup(sugar=1, water=1)),
        part("saline", "Salt solution", 4, "drop", (), Substance("salt", allergens=())),
    ),
    ("blueberry", "jasmine", "juniper", "silky"),
    steps=(Agitate("stir-baseline", "stir"),),
)  # fmt: skip

NET = Drink(
    "court_net",
    "Net Cord",
    2,
    (
        part("apricot", "Apricot brandy, 41 % vol", 100, "ml", ("apricot", "almond"),
             a_spirit(41.0)),
        part("lemon", "Lemon juice", 50, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("assam", "Assam tea syrup", 40, "ml", ("malt", "black tea"), a_syrup(50.0),
             syrup=Syrup(sugar=1, water=1)),
        part("egg", "Egg white", 60, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
        part("bitters", "Clove bitters, 45 % vol", 2, "dash", ("clove",),
             Substance("bitters", abv=Figure(45.0), allergens=())),
    ),
    ("apricot", "lemon", "tart", "frothy"),
    steps=(Agitate("shake-net", "shake"),),
)  # fmt: skip

CLAY = Drink(
    "court_clay",
    "Red Clay",
    2,
    (
        part("coffee", "Filter coffee, hot", 260, "ml", ("walnut", "cocoa"), a_coffee(55.0, 82.0),
             brew=Brew(dose_g=20, water_g=320, kind="immersion", time_s=240)),
        part("whisky", "Smoked malt whisky, 46 % vol", 70, "ml", ("smoke", "heather"),
             a_spirit(46.0, ("gluten",))),
        part("maple", "Maple syrup", 30, "ml", ("maple",), a_syrup(67.0)),
        part("cream", "Whipping cream", 60, "ml", (), a_dairy(3.0, 35.0, 2.2, 4.0)),
        part("nutmeg", "Nutmeg", 2, "pinch", ("nutmeg",),
             Substance("garnish", allergens=())),
    ),
    ("smoke", "maple", "walnut", "hot"),
)  # fmt: skip

RALLY = Drink(
    "court_rally",
    "Long Rally",
    3,
    (
        part("sencha", "Sencha, cold brewed", 240, "ml", ("seaweed", "cut grass"),
             a_tea(12.0, 4.0),
             brew=Brew(dose_g=12, water_g=480, kind="immersion", time_s=21600)),
        part("barley", "Barley spirit, 25 % vol", 120, "ml", ("barley", "pear"),
             a_spirit(25.0, ("gluten",))),
        part("yuzu", "Yuzu juice", 30, "ml", ("yuzu",), a_juice(3.0, 5.0)),
        part("cordial", "Cucumber cordial", 45, "ml", ("cucumber",), a_syrup(50.0)),
        part("soda", "Soda water", 240, "ml", (), a_water(3.0)),
        part("shiso", "Shiso", 3, "leaf", ("shiso",), Substance("garnish", allergens=())),
    ),
    ("yuzu", "cucumber", "crisp", "sparkling"),
)  # fmt: skip

TIEBREAK = Drink(
    "court_tiebreak",
    "Tie-Break",
    4,
    (
        part("rum", "Pot still rum, 57 % vol", 160, "ml", ("banana", "clove"), a_spirit(57.0)),
        part("pineapple", "Pineapple juice", 160, "ml", ("pineapple",), a_juice(10.0, 0.7)),
        part("oolong", "Oolong tea, strong", 160, "ml", ("peach", "orchid"), a_tea(18.0, 80.0)),
        part("lime", "Lime juice", 60, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("palm", "Palm sugar syrup", 60, "ml", ("caramel",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("milk", "Whole milk", 120, "ml", (), a_dairy(4.8, 3.5, 3.4, 5.0)),
    ),
    ("pineapple", "banana", "peach", "silky"),
)  # fmt: skip

UMPIRE = Drink(
    "court_umpire",
    "The Umpire's Chair",
    2,
    (
        part("cascara", "Cascara tea, chilled", 180, "ml", ("hibiscus", "raisin"),
             a_tea(25.0, 5.0),
             brew=Brew(dose_g=15, water_g=300, kind="immersion", time_s=480)),
        part("beet", "Beetroot juice", 60, "ml", ("beetroot", "earth"),
             Substance("juice", sugar=Content(7.0), acid=Content(0.2), abv=Figure(0.0),
                       allergens=(), temp_c=Figure(4.0))),
        part("vinegar", "Raspberry vinegar syrup", 40, "ml", ("raspberry",),
             Substance("syrup", sugar=Content(40.0), acid=Content(2.5), abv=Figure(0.0),
                       allergens=())),
        part("tonic", "Tonic water", 160, "ml", ("quinine",),
             Substance("soda", sugar=Content(8.0), abv=Figure(0.0), allergens=(),
                       temp_c=Figure(4.0))),
    ),
    ("beetroot", "raspberry", "tangy", "sparkling"),
)  # fmt: skip

DEUCE = Drink(
    "court_deuce",
    "Deuce",
    2,
    (
        part("espresso", "Espresso", 80, "ml", ("dark chocolate", "hazelnut"),
             a_coffee(200.0, 88.0)),
        part("amaro", "Orange amaro, 32 % vol", 60, "ml", ("orange peel", "gentian"),
             Substance("liqueur", abv=Figure(32.0), sugar=Content(20.0), allergens=())),
        part("tonka", "Tonka bean syrup", 20, "ml", ("tonka", "vanilla"), a_syrup(50.0),
             syrup=Syrup(sugar=1, water=1)),
        part("oat", "Oat drink", 100, "ml", ("oat",),
             Substance("other", sugar=Content(4.0), abv=Figure(0.0), allergens=("gluten",),
                       temp_c=Figure(5.0))),
        part("bitters", "Cocoa bitters, 44 % vol", 4, "dash", ("cocoa",),
             Substance("bitters", abv=Figure(44.0), allergens=())),
    ),
    ("orange peel", "dark chocolate", "bitter", "creamy"),
    steps=(Agitate("shake-deuce", "shake"),),
)  # fmt: skip

COURT_DRINKS = (BASELINE, NET, CLAY, RALLY, TIEBREAK, UMPIRE, DEUCE)
