"""The drinks of the talks and sentences told on a hill with a telescope: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, part

DOME = Drink(
    "dome",
    "Open Dome",
    2,
    (
        part(
            "brandy", "Grape brandy, 41 % vol", 80, "ml", ("dried apricot", "oak"), a_spirit(41.0)
        ),
        part(
            "quince", "Quince juice", 100, "ml", ("quince",), a_juice(11.0, 0.9, temp_c=Figure(5.0))
        ),
        part("caraway", "Caraway syrup", 20, "ml", ("caraway",), a_syrup()),
        part("lemon", "Lemon juice", 30, "ml", ("lemon",), a_juice(2.4, 6.0, temp_c=Figure(4.0))),
        part(
            "egg",
            "Egg white",
            40,
            "ml",
            (),
            Substance(
                "egg",
                sugar=Content(0.0),
                fat=Content(0.2),
                protein=Content(10.0),
                allergens=("eggs",),
            ),
        ),
    ),
    ("quince", "caraway", "apricot", "silky"),
    steps=(Agitate("shake-dome", "shake"),),
)

MERIDIAN = Drink(
    "meridian",
    "Meridian",
    2,
    (
        part(
            "coffee",
            "Filter coffee, Hillside lot",
            200,
            "ml",
            ("blackcurrant", "cocoa nib"),
            Substance(
                "coffee",
                abv=Figure(0.0),
                acid=Content(0.0),
                caffeine=Content(60.0),
                allergens=(),
                temp_c=Figure(70.0),
            ),
            brew=Brew(dose_g=16, water_g=250, beverage_g=220),
        ),
        part("maple", "Maple syrup", 15, "ml", ("maple",), a_syrup()),
        part(
            "cream",
            "Single cream",
            30,
            "ml",
            ("cream",),
            Substance(
                "dairy",
                sugar=Content(4.0),
                fat=Content(20.0),
                protein=Content(2.5),
                acid=Content(0.0),
                abv=Figure(0.0),
                allergens=("milk",),
                temp_c=Figure(6.0),
            ),
        ),
        part(
            "zest", "Orange zest", 2, "piece", ("orange zest",), Substance("garnish", allergens=())
        ),
    ),
    ("blackcurrant", "orange", "maple", "warm"),
)

COMET = Drink(
    "comet",
    "Slow Comet",
    3,
    (
        part(
            "tea",
            "Smoked tea, chilled",
            180,
            "ml",
            ("smoked tea", "pine"),
            Substance(
                "tea",
                abv=Figure(0.0),
                acid=Content(0.0),
                caffeine=Content(20.0),
                allergens=(),
                temp_c=Figure(5.0),
            ),
        ),
        part(
            "beet", "Beetroot juice", 60, "ml", ("beetroot",), a_juice(8.0, 0.1, temp_c=Figure(5.0))
        ),
        part("ginger", "Ginger syrup", 30, "ml", ("ginger",), a_syrup()),
        part(
            "cider",
            "Cider vinegar",
            15,
            "ml",
            ("vinegar", "apple"),
            a_juice(0.4, 5.0, temp_c=Figure(20.0)),
        ),
        part(
            "soda",
            "Soda water",
            150,
            "ml",
            (),
            Substance("water", temp_c=Figure(4.0), allergens=()),
        ),
    ),
    ("beetroot", "ginger", "smoke", "sparkling"),
)

ALMANAC = Drink(
    "almanac",
    "Almanac",
    2,
    (
        part(
            "fortified",
            "Dry fortified wine, 17 % vol",
            120,
            "ml",
            ("walnut", "raisin"),
            Substance(
                "wine",
                abv=Figure(17.0),
                sugar=Content(0.2),
                acid=Content(0.4),
                allergens=("sulphites",),
                temp_c=Figure(6.0),
            ),
        ),
        part("seed", "Seed spirit, 42 % vol", 40, "ml", ("dill", "fennel"), a_spirit(42.0)),
        part(
            "pear",
            "Pear liqueur, 24 % vol",
            20,
            "ml",
            ("pear",),
            Substance(
                "liqueur", abv=Figure(24.0), sugar=Content(22.0), acid=Content(0.0), allergens=()
            ),
        ),
        part(
            "bitters",
            "Celery bitters, 40 % vol",
            2,
            "dash",
            ("celery",),
            Substance("bitters", abv=Figure(40.0), allergens=()),
        ),
    ),
    ("pear", "walnut", "dill", "dry"),
    steps=(Agitate("stir-almanac", "stir"),),
)

HILL_DRINKS = (DOME, MERIDIAN, COMET, ALMANAC)
