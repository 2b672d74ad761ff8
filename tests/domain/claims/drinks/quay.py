"""The drinks of the talks and sentences told at a fish market on a northern quay: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part


def a_fino(abv, temp_c):
    return Substance(
        "wine", abv=Figure(abv), sugar=Content(0.2), acid=Content(0.4),
        allergens=("sulphites",), temp_c=Figure(temp_c),
    )  # fmt: skip


SLAB = Drink(
    "slab",
    "Cold Slab",
    2,
    (
        part("gin", "Harbour gin, 44 % vol", 100, "ml", ("juniper", "bay leaf"), a_spirit(44.0)),
        part("fino", "Dry fortified wine, 15 % vol", 40, "ml", ("almond", "green apple"),
             a_fino(15.0, 5.0)),
        part("brine", "Pickled lemon brine", 10, "ml", ("lemon",),
             Substance("salt", abv=Figure(0.0), allergens=())),
        part("dulse", "Dulse tincture, 40 % vol", 4, "drop", ("seaweed",), a_spirit(40.0)),
    ),
    ("seaweed", "almond", "salty", "dry"),
    steps=(Agitate("stir-slab", "stir"),),
)  # fmt: skip

FOGHORN = Drink(
    "foghorn",
    "Foghorn",
    2,
    (
        part("malt", "Malt spirit, 38 % vol", 80, "ml", ("malt", "juniper"),
             a_spirit(38.0, ("gluten",))),
        part("broth", "Mushroom broth, hot", 200, "ml", ("mushroom", "umami"),
             Substance("other", sugar=Content(0.5), fat=Content(0.0), protein=Content(0.6),
                       acid=Content(0.0), abv=Figure(0.0), caffeine=Content(0.0), allergens=(),
                       temp_c=Figure(78.0))),
        part("birch", "Birch syrup", 20, "ml", ("birch", "caramel"), a_syrup()),
        part("lemon", "Lemon juice", 16, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("pepper", "Long pepper, ground", 2, "pinch", ("pepper",),
             Substance("garnish", allergens=())),
    ),
    ("mushroom", "malt", "savoury", "hot"),
)  # fmt: skip

BOLLARD = Drink(
    "bollard",
    "Bollard",
    2,
    (
        part("coldbrew", "Cold brew coffee", 140, "ml", ("blackcurrant", "cocoa"),
             a_coffee(75.0, 4.0),
             brew=Brew(dose_g=70, water_g=700, kind="immersion", time_s=50400)),
        part("rum", "Pot still rum, 57 % vol", 60, "ml", ("banana", "molasses"), a_spirit(57.0)),
        part("cloudberry", "Cloudberry cordial", 30, "ml", ("cloudberry", "honey"),
             a_juice(45.0, 1.5)),
        part("bitters", "Pine bitters, 42 % vol", 4, "dash", ("pine",),
             Substance("bitters", abv=Figure(42.0), allergens=())),
    ),
    ("blackcurrant", "cloudberry", "pine", "velvety"),
    steps=(Agitate("stir-bollard", "stir"),),
)  # fmt: skip

GULL = Drink(
    "gull",
    "Gull's Breakfast",
    3,
    (
        part("grain", "Grain spirit, 42 % vol", 120, "ml", ("malt", "caraway"),
             a_spirit(42.0, ("gluten",))),
        part("buckthorn", "Sea buckthorn juice", 90, "ml", ("sea buckthorn", "orange"),
             a_juice(4.0, 2.5, temp_c=Figure(4.0))),
        part("honey", "Heather honey syrup", 60, "ml", ("honey", "heather"), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("egg", "Egg white", 75, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
        part("salt", "Salt solution", 6, "drop", (), Substance("salt", allergens=())),
    ),
    ("sea buckthorn", "honey", "malt", "frothy"),
    steps=(Agitate("shake-gull", "shake"),),
)  # fmt: skip

SCALE = Drink(
    "scale",
    "Fish Scales",
    4,
    (
        part("nettle", "Nettle tea, chilled", 400, "ml", ("nettle", "grass"), a_tea(0.0, 5.0)),
        part("lingon", "Lingonberry juice", 160, "ml", ("lingonberry",), a_juice(8.0, 2.0)),
        part("kelp", "Kelp syrup", 60, "ml", ("seaweed", "umami"), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("juniper", "Juniper berries, crushed", 8, "piece", ("juniper",),
             Substance("garnish", allergens=())),
        part("soda", "Soda water", 280, "ml", (), a_water(3.0)),
    ),
    ("lingonberry", "nettle", "seaweed", "sparkling"),
)  # fmt: skip

NET = Drink(
    "net",
    "Mended Net",
    4,
    (
        part("fino", "Dry fortified wine, 15.5 % vol", 240, "ml", ("almond", "bread"),
             a_fino(15.5, 6.0)),
        part("tea", "Jasmine tea, cold", 160, "ml", ("jasmine",), a_tea(12.0, 6.0)),
        part("gooseberry", "Gooseberry cordial", 80, "ml", ("gooseberry",), a_juice(40.0, 1.8)),
        part("soda", "Soda water", 320, "ml", (), a_water(4.0)),
        part("dill", "Dill", 4, "sprig", ("dill",), Substance("garnish", allergens=())),
    ),
    ("gooseberry", "dill", "dry", "sparkling"),
)  # fmt: skip

GALLEY = Drink(
    "galley",
    "Galley Stove",
    2,
    (
        part("rum", "Dark rum, 46 % vol", 70, "ml", ("toffee", "raisin"), a_spirit(46.0)),
        part("barley", "Roasted barley tea, hot", 220, "ml", ("toast", "hazelnut"),
             Substance("tea", abv=Figure(0.0), acid=Content(0.0), caffeine=Content(0.0),
                       allergens=("gluten",), temp_c=Figure(84.0))),
        part("rye", "Rye bread syrup", 30, "ml", ("rye bread", "caraway"),
             Substance("syrup", sugar=Content(60.0, per="100 g"), acid=Content(0.0),
                       allergens=("gluten",))),
        part("cream", "Whipping cream", 60, "ml", ("cream",), a_dairy(3.0, 36.0, 2.0, 5.0)),
        part("salt", "Smoked salt", 2, "pinch", ("smoke",), Substance("salt", allergens=())),
    ),
    ("toast", "rye bread", "raisin", "creamy"),
)  # fmt: skip

ICEHOUSE = Drink(
    "icehouse",
    "Ice House",
    2,
    (
        part("gin", "Distilled gin, 47 % vol", 80, "ml", ("juniper", "cardamom"), a_spirit(47.0)),
        part("bilberry", "Bilberries, frozen", 120, "g", ("bilberry",),
             Substance("other", sugar=Content(6.0), acid=Content(1.2), abv=Figure(0.0),
                       allergens=(), temp_c=Figure(-18.0))),
        part("buttermilk", "Buttermilk", 100, "ml", ("yoghurt",),
             Substance("dairy", sugar=Content(4.0), fat=Content(0.8), protein=Content(3.4),
                       acid=Content(0.8), abv=Figure(0.0), allergens=("milk",),
                       temp_c=Figure(4.0))),
        part("spruce", "Spruce tip syrup", 40, "ml", ("spruce", "lemon zest"), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
    ),
    ("bilberry", "spruce", "tangy", "icy"),
)  # fmt: skip

QUAY_DRINKS = (SLAB, FOGHORN, BOLLARD, GULL, SCALE, NET, GALLEY, ICEHOUSE)
