"""The drinks of the talks and sentences told by an orchard of young competitors: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

CALENDAR = Drink(
    "calendar",
    "Wall Calendar",
    2,
    (
        part("espresso", "Espresso, anaerobic natural", 80, "ml", ("strawberry", "cacao nib"),
             a_coffee(200.0, 62.0), brew=Brew(dose_g=20, beverage_g=40)),
        part("wine", "Wormwood wine, 17 % vol", 60, "ml", ("wormwood", "orange peel"),
             Substance("wine", abv=Figure(17.0), sugar=Content(14.0), allergens=("sulphites",),
                       temp_c=Figure(4.0))),
        part("cascara", "Cascara syrup", 20, "ml", ("date",), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("saline", "Saline", 4, "drop", (), Substance("salt", allergens=())),
    ),
    ("strawberry", "date", "bitter", "syrupy"),
    steps=(Agitate("stir-calendar", "stir"),),
)  # fmt: skip

CURTAIN = Drink(
    "curtain",
    "Milk Curtain",
    4,
    (
        part("filter", "Filter coffee, washed lot", 320, "ml", ("peach", "jasmine"),
             a_coffee(55.0, 60.0), brew=Brew(dose_g=30, water_g=500, time_s=210)),
        part("rice", "Rice spirit, 35 % vol", 160, "ml", ("pear", "steamed rice"),
             a_spirit(35.0)),
        part("lemon", "Lemon juice", 80, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("palm", "Palm sugar syrup", 60, "ml", ("butterscotch",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("milk", "Whole milk", 160, "ml", (), a_dairy(4.8, 3.5, 3.4, 5.0)),
    ),
    ("peach", "butterscotch", "lemon", "silky"),
)  # fmt: skip

BASALT = Drink(
    "basalt",
    "Basalt",
    2,
    (
        part("filter", "Filter coffee, hot", 240, "ml", ("blackcurrant", "tomato leaf"),
             a_coffee(60.0, 86.0), brew=Brew(dose_g=18, water_g=300, time_s=180)),
        part("malt", "Peated malt spirit, 46 % vol", 50, "ml", ("smoke", "iodine"),
             a_spirit(46.0, ("gluten",))),
        part("honey", "Heather honey", 16, "g", ("heather", "honey"),
             Substance("syrup", sugar=Content(80.0, per="100 g"), acid=Content(0.0),
                       allergens=())),
        part("cream", "Whipping cream", 40, "ml", ("cream",), a_dairy(3.2, 32.0, 2.2, 5.0)),
    ),
    ("blackcurrant", "smoke", "heather", "warm"),
)  # fmt: skip

NIGHTJAR = Drink(
    "nightjar",
    "Nightjar",
    2,
    (
        part("marc", "Marc brandy, 43 % vol", 90, "ml", ("grape skin", "rose"), a_spirit(43.0)),
        part("quince", "Quince shrub", 50, "ml", ("quince", "vinegar"), a_juice(38.0, 1.6)),
        part("ginger", "Ginger syrup", 20, "ml", ("ginger",), a_syrup()),
        part("egg", "Egg white", 40, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
        part("bitters", "Clove bitters, 44 % vol", 4, "dash", ("clove",),
             Substance("bitters", abv=Figure(44.0), allergens=())),
    ),
    ("quince", "rose", "ginger", "frothy"),
    steps=(Agitate("shake-nightjar", "shake"),),
)  # fmt: skip

QUARRY = Drink(
    "quarry",
    "White Quarry",
    3,
    (
        part("cascara", "Cascara, cold infusion", 300, "ml", ("rosehip", "tamarind"),
             a_tea(18.0, 5.0)),
        part("peach", "Lacto-fermented peach juice", 90, "ml", ("peach", "yoghurt"),
             a_juice(7.0, 1.1)),
        part("verjus", "Verjus", 30, "ml", ("green grape",), a_juice(4.0, 2.5)),
        part("verbena", "Verbena syrup", 30, "ml", ("verbena",), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("soda", "Soda water", 150, "ml", (), a_water(4.0)),
    ),
    ("rosehip", "peach", "verbena", "sparkling"),
)  # fmt: skip

COPPER = Drink(
    "copper",
    "Copper Season",
    2,
    (
        part("coldbrew", "Cold brew coffee", 120, "ml", ("blueberry", "cola"),
             a_coffee(80.0, 4.0),
             brew=Brew(dose_g=60, water_g=600, kind="immersion", time_s=54000)),
        part("wine", "Oxidised white wine, 18 % vol", 60, "ml", ("walnut", "saline"),
             Substance("wine", abv=Figure(18.0), sugar=Content(0.4), allergens=("sulphites",),
                       temp_c=Figure(8.0))),
        part("maple", "Maple syrup", 20, "ml", ("maple",), a_syrup()),
        part("bitters", "Cedar bitters, 45 % vol", 2, "dash", ("cedar",),
             Substance("bitters", abv=Figure(45.0), allergens=())),
    ),
    ("blueberry", "walnut", "maple", "dry"),
    steps=(Agitate("stir-copper", "stir"),),
)  # fmt: skip

SAFFRON = Drink(
    "saffron",
    "Seven Threads",
    2,
    (
        part("juniper", "Juniper spirit, 44 % vol", 100, "ml", ("juniper", "cardamom"),
             a_spirit(44.0)),
        part("whey", "Whey, strained from yoghurt", 120, "ml", ("yoghurt",),
             Substance("dairy", sugar=Content(4.2), fat=Content(0.1), protein=Content(0.7),
                       acid=Content(0.8), abv=Figure(0.0), allergens=("milk",),
                       temp_c=Figure(4.0))),
        part("apricot", "Apricot juice", 80, "ml", ("apricot",), a_juice(11.0, 1.0)),
        part("syrup", "Saffron syrup", 30, "ml", ("saffron", "hay"), a_syrup()),
        part("lime", "Lime juice", 30, "ml", ("lime",), a_juice(1.7, 6.0)),
    ),
    ("apricot", "saffron", "juniper", "silky"),
    steps=(Agitate("shake-saffron", "shake"),),
)  # fmt: skip

FROST = Drink(
    "frost",
    "First Frost",
    2,
    (
        part("granita", "Espresso granita", 120, "g", ("cherry", "tobacco"),
             a_coffee(90.0, -8.0)),
        part("sake", "Cloudy rice wine, 15 % vol", 120, "ml", ("melon", "koji"),
             Substance("wine", abv=Figure(15.0), sugar=Content(5.0), allergens=(),
                       temp_c=Figure(2.0))),
        part("pandan", "Pandan syrup", 20, "ml", ("pandan",), a_syrup()),
        part("leaf", "Lime leaf", 2, "leaf", ("lime leaf",),
             Substance("garnish", allergens=())),
    ),
    ("melon", "pandan", "cherry", "icy"),
)  # fmt: skip

ORCHARD_DRINKS = (CALENDAR, CURTAIN, BASALT, NIGHTJAR, QUARRY, COPPER, SAFFRON, FROST)
