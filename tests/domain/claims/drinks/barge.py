"""The drinks of the talks and sentences told on a barge in a lock: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

WEIR = Drink(
    "weir",
    "Under the Weir",
    2,
    (
        part("aquavit", "Caraway spirit, 43 % vol", 80, "ml", ("caraway", "dill"), a_spirit(43.0)),
        part("kefir", "Milk kefir", 120, "ml", ("yoghurt",),
             Substance("dairy", sugar=Content(3.5), fat=Content(3.5), protein=Content(3.3),
                       acid=Content(0.9), abv=Figure(0.0), allergens=("milk",),
                       temp_c=Figure(5.0))),
        part("cucumber", "Cucumber juice", 60, "ml", ("cucumber",), a_juice(1.7, 0.1)),
        part("honey", "Honey syrup", 30, "ml", ("honey",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("mint", "Mint", 8, "leaf", ("mint",), Substance("garnish", allergens=())),
    ),
    ("cucumber", "caraway", "tangy", "creamy"),
    steps=(Agitate("shake-weir", "shake"),),
)  # fmt: skip

EMBER = Drink(
    "ember",
    "Slow Ember",
    2,
    (
        part("tea", "Smoked black tea, hot", 220, "ml", ("smoke", "pine"), a_tea(18.0, 82.0)),
        part("brandy", "Plum brandy, 45 % vol", 50, "ml", ("plum", "marzipan"), a_spirit(45.0)),
        part("bramble", "Blackberry syrup", 30, "ml", ("blackberry",), a_syrup()),
        part("lemon", "Lemon juice", 16, "ml", ("lemon",), a_juice(2.4, 6.0)),
    ),
    ("smoke", "blackberry", "plum", "warm"),
)  # fmt: skip

MOOR = Drink(
    "moor",
    "Moorhen",
    1,
    (
        part("espresso", "Espresso, natural lot", 40, "ml", ("raisin", "walnut"),
             a_coffee(190.0, 62.0), brew=Brew(dose_g=19, beverage_g=40)),
        part("sheep", "Sheep's milk", 90, "ml", (), a_dairy(5.1, 6.5, 5.5, 5.0)),
        part("fig", "Fig syrup", 15, "ml", ("fig",), a_syrup()),
        part("salt", "Salt solution", 3, "drop", (), Substance("salt", allergens=())),
    ),
    ("fig", "walnut", "raisin", "creamy"),
)  # fmt: skip

ROPE = Drink(
    "rope",
    "Wet Rope",
    2,
    (
        part("agave", "Agave spirit, 40 % vol", 80, "ml", ("agave", "pepper"), a_spirit(40.0)),
        part("grapefruit", "Grapefruit juice", 90, "ml", ("grapefruit",),
             a_juice(8.0, 1.4, temp_c=Figure(4.0))),
        part("brine", "Pickled plum brine", 10, "ml", ("plum",),
             Substance("salt", abv=Figure(0.0), allergens=())),
        part("kombucha", "Green tea kombucha", 180, "ml", ("green apple", "vinegar"),
             Substance("other", sugar=Content(3.0), acid=Content(0.5), abv=Figure(0.5),
                       caffeine=Content(8.0), allergens=(), temp_c=Figure(4.0))),
    ),
    ("grapefruit", "pepper", "salty", "sparkling"),
)  # fmt: skip

WINDFALL = Drink(
    "windfall",
    "Windfall",
    4,
    (
        part("perry", "Perry, 6 % vol", 400, "ml", ("pear", "honeysuckle"),
             Substance("wine", abv=Figure(6.0), sugar=Content(2.5), allergens=("sulphites",),
                       temp_c=Figure(5.0))),
        part("apple", "Apple brandy, 42 % vol", 120, "ml", ("apple", "oak"), a_spirit(42.0)),
        part("thyme", "Lemon thyme syrup", 60, "ml", ("thyme",), a_syrup()),
        part("lemon", "Lemon juice", 60, "ml", ("lemon",), a_juice(2.4, 6.0)),
    ),
    ("pear", "thyme", "apple", "sparkling"),
)  # fmt: skip

HAYLOFT = Drink(
    "hayloft",
    "Hayloft",
    2,
    (
        part("coldbrew", "Cold brew coffee", 150, "ml", ("date", "tobacco"), a_coffee(75.0, 4.0),
             brew=Brew(dose_g=80, water_g=800, kind="immersion", time_s=57600)),
        part("rye", "Rye whisky, 46 % vol", 60, "ml", ("rye", "clove"),
             a_spirit(46.0, ("gluten",))),
        part("muscovado", "Muscovado syrup", 20, "ml", ("molasses",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("cream", "Hay cream", 60, "ml", ("hay", "vanilla"), a_dairy(3.0, 30.0, 2.2, 5.0)),
    ),
    ("date", "hay", "rye", "velvety"),
    steps=(Agitate("stir-hayloft", "stir"),),
)  # fmt: skip

RIBBON = Drink(
    "ribbon",
    "Third Ribbon",
    3,
    (
        part("tea", "White tea, chilled", 300, "ml", ("melon", "white peach"), a_tea(12.0, 6.0)),
        part("rhubarb", "Rhubarb juice", 90, "ml", ("rhubarb",), a_juice(1.5, 1.8)),
        part("shrub", "Strawberry shrub", 45, "ml", ("strawberry", "vinegar"), a_juice(40.0, 1.5)),
        part("tarragon", "Tarragon syrup", 30, "ml", ("tarragon", "anise"), a_syrup()),
        part("soda", "Soda water", 135, "ml", (), a_water(4.0)),
    ),
    ("rhubarb", "strawberry", "tarragon", "sparkling"),
)  # fmt: skip

ROOF = Drink(
    "roof",
    "Tin Roof",
    2,
    (
        part("cane", "Cane spirit, 55 % vol", 60, "ml", ("sugar cane", "olive"), a_spirit(55.0)),
        part("tepache", "Tepache, 2 % vol", 180, "ml", ("pineapple", "cinnamon"),
             Substance("other", sugar=Content(6.0), acid=Content(0.5), abv=Figure(2.0),
                       caffeine=Content(0.0), allergens=(), temp_c=Figure(4.0))),
        part("lime", "Lime juice", 30, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("coconut", "Coconut cream", 40, "g", ("coconut",),
             Substance("other", fat=Content(24.0), abv=Figure(0.0), acid=Content(0.0),
                       allergens=())),
        part("chilli", "Green chilli", 2, "slice", ("chilli",),
             Substance("garnish", allergens=())),
    ),
    ("pineapple", "coconut", "lime", "spicy"),
    steps=(Agitate("shake-roof", "shake"),),
)  # fmt: skip

BARGE_DRINKS = (WEIR, EMBER, MOOR, ROPE, WINDFALL, HAYLOFT, RIBBON, ROOF)
