"""The drinks of the talks and sentences told by a cross-section of speakers: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate, Filter
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

ORCHARD = Drink(
    "gable_orchard",
    "Ladder Against the Gable",
    2,
    (
        part("brandy", "Apple brandy, 42 % vol", 80, "ml", ("apple", "vanilla"), a_spirit(42.0)),
        part("tea", "Malty black tea, hot", 240, "ml", ("malt", "black tea"), a_tea(18.0, 82.0)),
        part("honey", "Chestnut honey syrup", 30, "ml", ("honey", "chestnut"), a_syrup(),
             syrup=Syrup(sugar=3, water=1)),
        part("lemon", "Lemon juice", 20, "ml", ("lemon",), a_juice(2.4, 6.0)),
    ),
    ("apple", "malt", "honey", "warm"),
)  # fmt: skip

SLATE = Drink(
    "gable_slate",
    "Wet Slate",
    2,
    (
        part("rye", "Rye whiskey, 46 % vol", 70, "ml", ("rye", "baking spice"), a_spirit(46.0)),
        part("espresso", "Espresso", 72, "ml", ("dark chocolate", "cherry"), a_coffee(200.0, 60.0),
             brew=Brew(dose_g=36, beverage_g=72, kind="espresso", time_s=28)),
        part("walnut", "Black walnut liqueur, 24 % vol", 30, "ml", ("walnut",),
             Substance("liqueur", abv=Figure(24.0), sugar=Content(25.0), acid=Content(0.0),
                       allergens=("nuts",))),
        part("demerara", "Demerara syrup", 20, "ml", ("toffee",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("bitters", "Orange bitters, 40 % vol", 4, "dash", ("orange peel",),
             Substance("bitters", abv=Figure(40.0), allergens=())),
    ),
    ("dark chocolate", "walnut", "rye", "silky"),
    steps=(Agitate("stir-slate", "stir"),),
)  # fmt: skip

HEN = Drink(
    "gable_hen",
    "Hen on the Step",
    2,
    (
        part("brandy", "Grape brandy, 40 % vol", 100, "ml", ("grape", "white flowers"),
             a_spirit(40.0)),
        part("tea", "Jasmine tea, chilled", 80, "ml", ("jasmine", "green tea"), a_tea(10.0, 5.0)),
        part("rhubarb", "Rhubarb syrup", 50, "ml", ("rhubarb", "strawberry"), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("lemon", "Lemon juice", 40, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("egg", "Egg white", 50, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
    ),
    ("rhubarb", "jasmine", "sour", "frothy"),
    steps=(Agitate("shake-hen", "shake"),),
)  # fmt: skip

PIER = Drink(
    "gable_pier",
    "End of the Pier",
    3,
    (
        part("gin", "Dry gin, 41 % vol", 90, "ml", ("juniper", "coriander seed"),
             Substance("spirit", abv=Figure(41.0), sugar=Content(0.0), acid=Content(0.0),
                       allergens=(), temp_c=Figure(-16.0))),
        part("coldbrew", "Cold brew coffee", 120, "ml", ("blackcurrant", "cola"),
             a_coffee(70.0, 4.0),
             brew=Brew(dose_g=60, water_g=600, kind="immersion", time_s=57600)),
        part("bay", "Bay leaf syrup", 30, "ml", ("bay", "eucalyptus"), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("tonic", "Tonic water", 300, "ml", ("quinine",),
             Substance("soda", sugar=Content(8.0), acid=Content(0.5), caffeine=Content(0.0),
                       allergens=(), temp_c=Figure(4.0))),
        part("salt", "Salt solution", 6, "drop", (), Substance("salt", allergens=())),
    ),
    ("juniper", "blackcurrant", "bitter", "sparkling"),
)  # fmt: skip

COT = Drink(
    "gable_cot",
    "Cotton Sheets",
    4,
    (
        part("rum", "Aged rum, 43 % vol", 120, "ml", ("banana", "molasses"), a_spirit(43.0)),
        part("tea", "Roasted green tea", 160, "ml", ("toasted rice", "hay"), a_tea(8.0, 60.0)),
        part("pineapple", "Pineapple juice", 80, "ml", ("pineapple",), a_juice(12.0, 0.8)),
        part("lime", "Lime juice", 40, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("cinnamon", "Cinnamon syrup", 40, "ml", ("cinnamon",), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("milk", "Whole milk", 100, "ml", (), a_dairy(4.8, 3.6, 3.4, 5.0)),
    ),
    ("pineapple", "banana", "toasted rice", "silky"),
    steps=(Filter("clear-cot", loss_percent=Figure(15.0), curd=True),),
)  # fmt: skip

LOFT = Drink(
    "gable_loft",
    "The Pigeon Loft",
    3,
    (
        part("coffee", "Filter coffee, chilled", 180, "ml", ("apricot", "black tea"),
             a_coffee(45.0, 5.0),
             brew=Brew(dose_g=30, water_g=480, kind="drip", water_c=94, time_s=210)),
        part("verjus", "Verjus", 60, "ml", ("green grape", "gooseberry"),
             a_juice(8.0, 2.0, temp_c=Figure(4.0))),
        part("elder", "Elderflower cordial", 45, "ml", ("elderflower", "lychee"), a_syrup(50.0)),
        part("soda", "Soda water", 150, "ml", (), a_water(3.0)),
        part("cucumber", "Cucumber", 6, "slice", ("cucumber",),
             Substance("garnish", allergens=())),
    ),
    ("apricot", "elderflower", "tangy", "sparkling"),
)  # fmt: skip

BARN = Drink(
    "gable_barn",
    "Barn Dance After Rain",
    2,
    (
        part("agave", "Pit-roasted agave spirit, 44 % vol", 80, "ml", ("smoke", "roasted pepper"),
             a_spirit(44.0)),
        part("carrot", "Carrot juice", 100, "ml", ("carrot",),
             a_juice(6.5, 0.1, temp_c=Figure(5.0))),
        part("cascara", "Coffee cherry tea, cold", 100, "ml", ("rosehip", "raisin"),
             a_tea(22.0, 5.0)),
        part("ginger", "Ginger syrup", 30, "ml", ("ginger",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("lime", "Lime juice", 30, "ml", ("lime",), a_juice(1.7, 6.0)),
    ),
    ("carrot", "smoke", "ginger", "earthy"),
    steps=(Agitate("shake-barn", "shake"),),
)  # fmt: skip

GABLE_DRINKS = (ORCHARD, SLATE, HEN, PIER, COT, LOFT, BARN)
