"""The drinks of the latest talks: invented, each of another style."""

from server.domain.base.amounts import Amount
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink, Ingredient


def part(part_id, name, value, unit, words=(), substance=None, **more):
    return Ingredient(part_id, name, Amount(value, unit), tuple(words), substance, **more)


def a_spirit(abv, allergens=()):
    return Substance(
        "spirit", abv=Figure(abv), sugar=Content(0.0), acid=Content(0.0), allergens=tuple(allergens)
    )


def a_syrup(sugar=66.0):
    return Substance("syrup", sugar=Content(sugar, per="100 g"), acid=Content(0.0), allergens=())


def a_juice(sugar, acid, **more):
    return Substance("juice", sugar=Content(sugar), acid=Content(acid), allergens=(), **more)


def a_water(temp_c):
    return Substance("water", temp_c=Figure(temp_c), allergens=())


CLOTH = Drink(
    "cloth",
    "Cloth and Straw",
    2,
    (
        part("rum", "Aged rum, 42 % vol", 100, "ml", ("vanilla", "raisin"), a_spirit(42.0)),
        part("tea", "Oolong tea", 120, "ml", ("peach",), Substance("tea", acid=Content(0.0))),
        part("sugar", "Brown sugar syrup", 30, "ml", ("brown sugar",), a_syrup()),
        part("lemon", "Lemon juice", 40, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part(
            "milk", "Whole milk", 60, "ml", (),
            Substance(
                "dairy", sugar=Content(4.8), fat=Content(3.5), protein=Content(3.4),
                allergens=("milk",), temp_c=Figure(5.0),
            ),
        ),
    ),
    ("peach", "vanilla", "lemon", "silky"),
)  # fmt: skip

BEE = Drink(
    "bee",
    "Beeline",
    2,
    (
        part("agave", "Agave spirit, 38 % vol", 80, "ml", ("white pepper",), a_spirit(38.0)),
        part("grapefruit", "Grapefruit juice", 120, "ml", ("grapefruit",), a_juice(8.0, 1.4)),
        part(
            "honey", "Chilli honey syrup", 30, "ml", ("honey", "chilli"), a_syrup(),
            syrup=Syrup(sugar=2, water=1),
        ),
        part("soda", "Soda water", 180, "ml", (), a_water(4.0)),
    ),
    ("grapefruit", "honey", "spicy", "sparkling"),
)  # fmt: skip

TIDE = Drink(
    "tide",
    "Low Tide",
    2,
    (
        part(
            "coldbrew", "Cold brew coffee", 160, "ml", ("plum",),
            Substance(
                "coffee", abv=Figure(0.0), acid=Content(0.0), caffeine=Content(70.0), allergens=(),
                temp_c=Figure(5.0),
            ),
            brew=Brew(dose_g=60, water_g=600, kind="immersion", time_s=57600),
        ),
        part("fig", "Fig leaf syrup", 30, "ml", ("coconut",), a_syrup()),
        part(
            "tonic", "Tonic water", 120, "ml", ("quinine",),
            Substance("soda", sugar=Content(8.0), allergens=(), temp_c=Figure(4.0)),
        ),
        part("saline", "Saline solution", 2, "drop", (), Substance("salt", allergens=())),
    ),
    ("plum", "coconut", "bitter", "cold"),
)  # fmt: skip

LEDGER = Drink(
    "ledger",
    "Balance Sheet",
    2,
    (
        part(
            "rye", "Rye whisky, 50 % vol", 100, "ml", ("pepper", "oak", "rye"),
            a_spirit(50.0, ("gluten",)),
        ),
        part(
            "vermouth", "Red vermouth, 16 % vol", 50, "ml", (),
            Substance("wine", abv=Figure(16.0), sugar=Content(15.0), allergens=("sulphites",)),
        ),
        part(
            "amaro", "Amaro, 28 % vol", 20, "ml", ("orange", "gentian"),
            Substance("liqueur", abv=Figure(28.0), sugar=Content(20.0), allergens=()),
        ),
        part(
            "bitters", "Aromatic bitters, 44 % vol", 4, "dash", (),
            Substance("bitters", abv=Figure(44.0), allergens=()),
        ),
    ),
    ("rye", "orange", "bitter", "pepper"),
    steps=(Agitate("stir-ledger", "stir"),),
)  # fmt: skip

FOUNDRY = Drink(
    "foundry",
    "Four O'Clock",
    2,
    (
        part(
            "rooibos", "Rooibos tea, hot", 240, "ml", (),
            Substance("tea", acid=Content(0.0), caffeine=Content(0.0), allergens=(),
                      temp_c=Figure(85.0)),
        ),
        part(
            "brandy", "Apple brandy, 40 % vol", 60, "ml", ("baked apple", "vanilla"),
            a_spirit(40.0),
        ),
        part(
            "honey", "Chestnut honey", 30, "ml", ("honey",),
            Substance("syrup", sugar=Content(80.0, per="100 g"), acid=Content(0.0), allergens=()),
        ),
        part("lemon", "Lemon juice", 20, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("clove", "Clove", 2, "piece", ("clove",)),
    ),
    ("baked apple", "honey", "clove", "hot"),
)  # fmt: skip

MOTH = Drink(
    "moth",
    "Moth Hour",
    3,
    (
        part("cucumber", "Cucumber juice", 90, "ml", ("cucumber",), a_juice(1.5, 0.1)),
        part("vodka", "Vodka, 40 % vol", 120, "ml", (), a_spirit(40.0)),
        part("cordial", "Elderflower cordial", 45, "ml", ("elderflower", "muscat"), a_syrup(50.0)),
        part("lime", "Lime juice", 60, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("basil", "Basil", 9, "leaf", ("basil",), Substance("garnish", allergens=())),
    ),
    ("cucumber", "basil", "elderflower"),
    steps=(Agitate("shake-moth", "shake"),),
)  # fmt: skip

SNOW = Drink(
    "snow",
    "Snowline",
    4,
    (
        part("whiterum", "White rum, 38 % vol", 160, "ml", ("sugar cane", "pear"), a_spirit(38.0)),
        part("strawberry", "Strawberry puree", 200, "ml", ("strawberry",), a_juice(12.0, 0.8)),
        part("lime", "Lime juice", 80, "ml", ("lime",), a_juice(1.7, 6.0)),
        part(
            "coconut", "Coconut cream", 60, "ml", ("coconut",),
            Substance("other", abv=Figure(0.0), fat=Content(20.0), sugar=Content(3.0),
                      allergens=()),
        ),
        part("ice", "Ice", 400, "g", (), Substance("ice", temp_c=Figure(-18.0), allergens=())),
    ),
    ("strawberry", "coconut", "lime", "icy"),
)  # fmt: skip

BOAT = Drink(
    "boat",
    "Paper Boat",
    2,
    (
        part("verjus", "Verjus", 50, "ml", ("green apple",), a_juice(3.0, 2.5)),
        part("rhubarb", "Rhubarb syrup", 40, "ml", ("rhubarb", "rose"), a_syrup(50.0)),
        part(
            "whitetea", "White tea", 100, "ml", (),
            Substance("tea", acid=Content(0.0), caffeine=Content(15.0), allergens=(),
                      temp_c=Figure(5.0)),
        ),
        part("siphon", "Soda water", 80, "ml", (), a_water(3.0)),
    ),
    ("rhubarb", "rose", "green apple", "sparkling"),
)  # fmt: skip

MORE_DRINKS = (CLOTH, BEE, TIDE, LEDGER, FOUNDRY, MOTH, SNOW, BOAT)
