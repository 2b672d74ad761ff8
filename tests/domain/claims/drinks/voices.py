"""The drinks of four talks in four voices: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

LOFT = Drink(
    "loft",
    "Pigeon Loft",
    2,
    (
        part("vodka", "Wheat vodka, 40 % vol", 80, "ml", ("wheat",), a_spirit(40.0)),
        part(
            "chamomile", "Chamomile infusion", 100, "ml", ("chamomile", "hay"),
            Substance("tea", acid=Content(0.0), caffeine=Content(0.0), allergens=()),
        ),
        part("pear", "Pear juice", 70, "ml", ("pear",), a_juice(10.0, 0.3)),
        part("elder", "Elderflower cordial", 30, "ml", ("elderflower",), a_syrup(55.0)),
        part("lemon", "Lemon juice", 20, "ml", ("lemon",), a_juice(2.4, 6.0)),
    ),
    ("pear", "chamomile", "elderflower", "light"),
)  # fmt: skip

ALIBI = Drink(
    "alibi",
    "Cast-Iron Alibi",
    2,
    (
        part("bourbon", "Corn whiskey, 45 % vol", 90, "ml", ("popcorn", "vanilla"), a_spirit(45.0)),
        part("plum", "Plum brandy, 42 % vol", 20, "ml", ("plum", "marzipan"), a_spirit(42.0)),
        part("sherry", "Dry fortified wine, 17 % vol", 40, "ml", ("walnut",),
             Substance("wine", abv=Figure(17.0), sugar=Content(0.3), acid=Content(0.4),
                       allergens=("sulphites",))),
        part("blackberry", "Blackberry syrup", 20, "ml", ("blackberry",), a_syrup()),
        part("bitters", "Chocolate bitters", 4, "dash", ("cocoa",),
             Substance("bitters", abv=Figure(40.0), allergens=())),
    ),
    ("plum", "walnut", "cocoa", "velvety"),
)  # fmt: skip

GREENHOUSE = Drink(
    "greenhouse",
    "Control Group",
    4,
    (
        part(
            "filter", "Washed filter coffee", 480, "ml", ("jasmine", "peach"),
            Substance(
                "coffee", abv=Figure(0.0), caffeine=Content(60.0), temp_c=Figure(60.0), allergens=()
            ),
            brew=Brew(dose_g=30, water_g=500, water_c=94, time_s=180),
        ),
        part("verjus", "Verjus", 40, "ml", ("green grape",), a_juice(3.0, 2.5)),
        part("acacia", "Acacia honey syrup", 60, "ml", ("honey",), a_syrup(50.0)),
        part("thyme", "Lemon thyme, a sprig in each", 4, "piece", ("lemon thyme",)),
        part("soda", "Soda water", 200, "ml", (), a_water(4.0)),
    ),
    ("jasmine", "peach", "honey", "sparkling"),
)  # fmt: skip

HARVEST = Drink(
    "harvest",
    "The Seventh Basket",
    2,
    (
        part("cane", "White cane spirit, 39 % vol", 100, "ml", ("sugar cane",), a_spirit(39.0)),
        part("guava", "Guava puree", 90, "ml", ("guava",), a_juice(9.0, 0.8)),
        part("hibiscus", "Hibiscus tea, cold", 80, "ml", ("hibiscus", "cranberry"),
             Substance("tea", acid=Content(0.8), allergens=(), temp_c=Figure(4.0))),
        part("lime", "Lime juice", 40, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("cinnamon", "Cinnamon syrup", 25, "ml", ("cinnamon",), a_syrup()),
        part("salt", "Salt solution", 4, "drop", (), Substance("salt", allergens=())),
    ),
    ("guava", "hibiscus", "cinnamon", "lime"),
)  # fmt: skip

VOICES_DRINKS = (LOFT, ALIBI, GREENHOUSE, HARVEST)
