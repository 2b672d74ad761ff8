"""The drinks that the sentences of `said/` speak of: invented, with all that a recipe can tell."""

from server.domain.claims.facts import GlassFacts, KnownNumber, strengths_in_names
from server.domain.claims.glass_facts import facts_of_glass
from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.alp import ALP_DRINKS
from tests.domain.claims.drinks.barge import BARGE_DRINKS
from tests.domain.claims.drinks.court import COURT_DRINKS
from tests.domain.claims.drinks.desert import DESERT_DRINKS
from tests.domain.claims.drinks.fair import FAIR_DRINKS
from tests.domain.claims.drinks.ferry import FERRY_DRINKS
from tests.domain.claims.drinks.gable import GABLE_DRINKS
from tests.domain.claims.drinks.hill import HILL_DRINKS
from tests.domain.claims.drinks.loft import LOFT_DRINKS
from tests.domain.claims.drinks.mill import MILL_DRINKS
from tests.domain.claims.drinks.more import MORE_DRINKS, part
from tests.domain.claims.drinks.orchard import ORCHARD_DRINKS
from tests.domain.claims.drinks.quay import QUAY_DRINKS
from tests.domain.claims.drinks.stepped import stepped
from tests.domain.claims.drinks.tram import TRAM_DRINKS
from tests.domain.claims.drinks.voices import VOICES_DRINKS


def _syrup(allergens=()):
    return Substance(
        "syrup", sugar=Content(66.0, per="100 g"), acid=Content(0.0), allergens=tuple(allergens)
    )


QUAY = Drink(
    "quay",
    "Quay Lantern",
    4,
    (
        part(
            "gin", "Dry gin, 46 % vol", 160, "ml", ("juniper", "lemon zest"),
            Substance("spirit", abv=Figure(46.0), sugar=Content(0.0)),
        ),
        part(
            "tea", "Green tea, chilled", 240, "ml", ("grass", "green tea"),
            Substance("tea", acid=Content(0.0), caffeine=Content(15.0), temp_c=Figure(5.0)),
        ),
        part(
            "lime", "Lime juice", 80, "ml", ("lime",),
            Substance(
                "juice", sugar=Content(1.7), acid=Content(6.0), allergens=(), temp_c=Figure(4.0)
            ),
        ),
        part("almond", "Almond syrup", 60, "ml", ("almond",), _syrup(("nuts",))),
        part(
            "egg", "Egg white", 80, "ml", (),
            Substance(
                "egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                allergens=("eggs",),
            ),
        ),
        part("salt", "Salt solution", 8, "drop", (), Substance("salt")),
    ),
    ("lime", "almond", "juniper", "frothy", "silky"),
    steps=(Agitate("shake", "shake"),),
)  # fmt: skip

FERRY = Drink(
    "ferry",
    "Night Ferry",
    2,
    (
        part(
            "barley", "Barley spirit, 43 % vol", 60, "ml", ("malt", "pear"),
            Substance("spirit", abv=Figure(43.0), sugar=Content(0.0), allergens=("gluten",)),
        ),
        part(
            "coffee", "Filter coffee, washed", 180, "ml", ("apricot", "black tea"),
            Substance("coffee", acid=Content(0.0), caffeine=Content(60.0), temp_c=Figure(80.0)),
            brew=Brew(dose_g=20, water_g=300, beverage_g=260),
        ),
        part(
            "honey", "Buckwheat honey syrup", 20, "ml", ("honey", "malt"), _syrup(),
            syrup=Syrup(sugar=2, water=1),
        ),
        part(
            "cream", "Double cream", 40, "ml", ("cream",),
            Substance(
                "dairy", sugar=Content(2.6), fat=Content(48.0), protein=Content(1.7),
                acid=Content(0.0), allergens=("milk",), temp_c=Figure(6.0),
            ),
        ),
        part(
            "bitters", "Orange bitters, 39 % vol", 2, "dash", (),
            Substance(
                "bitters", abv=Figure(39.0), sugar=Content(0.0), acid=Content(0.0), allergens=()
            ),
        ),
    ),
    ("apricot", "honey", "malt", "creamy", "warm"),
)  # fmt: skip

SHRUB = Drink(
    "shrub",
    "December Spritz",
    1,
    (
        part("shrub", "Plum shrub", 50, "ml", ("plum", "clove")),
        part(
            "sparkling", "Sparkling water", 100, "ml", (),
            Substance("water", temp_c=Figure(3.0)),
        ),
        part("pear", "Pear juice", 30, "ml", ("pear",), Substance("juice", sugar=Content(9.0))),
    ),
    ("plum", "clove", "sparkling"),
)  # fmt: skip

SIGNAL = Drink(
    "signal",
    "Signal Box",
    1,
    (
        part(
            "espresso", "Espresso", 36, "ml", ("cherry", "cocoa"),
            Substance("coffee", caffeine=Content(200.0)), brew=Brew(dose_g=18, beverage_g=36),
        ),
        part(
            "oat", "Oat drink", 100, "ml", (),
            Substance("other", abv=Figure(0.0), allergens=("gluten",)),
        ),
        part("hazel", "Hazelnut syrup", 15, "ml", ("hazelnut",), _syrup(("nuts",))),
        part(
            "nib", "Cocoa nib tincture, 40 % vol", 5, "ml", ("cocoa nib",),
            Substance("spirit", abv=Figure(40.0), sugar=Content(0.0), allergens=()),
        ),
    ),
    ("dark chocolate", "hazelnut", "cherry", "creamy"),
    steps=(Agitate("shake-box", "shake"),),
)  # fmt: skip

TERRACE = Drink(
    "terrace",
    "Tin Terrace",
    2,
    (
        part(
            "rum", "Pot still rum, 40 % vol", 120, "ml", ("molasses", "banana"),
            Substance("spirit", abv=Figure(40.0), sugar=Content(0.0), allergens=()),
        ),
        part(
            "pine", "Pineapple juice", 90, "ml", ("pineapple",),
            Substance("juice", sugar=Content(10.0), acid=Content(0.8), allergens=()),
        ),
        part(
            "lime", "Lime juice", 40, "ml", ("lime",),
            Substance("juice", sugar=Content(1.7), acid=Content(6.0), allergens=()),
        ),
        part("spice", "Allspice syrup", 30, "ml", ("clove", "cinnamon"), _syrup()),
        part("nutmeg", "Nutmeg, grated", 2, "piece", ("nutmeg",)),
    ),
    ("pineapple", "clove", "molasses", "nutmeg"),
    steps=(Agitate("shake-tin", "shake"),),
)  # fmt: skip

ABROAD = {
    "de": (("Tee", "Limettensaft", "Mandelsirup"), ("Limette", "Mandel"), ("tee", "limette")),
    "fr": (("Thé vert", "Jus de citron vert", "Sirop d'amande"), ("citron vert", "amande"),
           ("the", "citron")),
    "es": (("Té", "Zumo de lima", "Jarabe de almendra"), ("lima", "almendra"), ("te", "lima")),
    "it": (("Tè", "Succo di lime", "Sciroppo di mandorla"), ("lime", "mandorla"), ("te", "lime")),
    "pt": (("Chá", "Sumo de limão", "Xarope de amêndoa"), ("limão", "amêndoa"), ("cha", "limao")),
}  # fmt: skip
GIN = {"es": "Ginebra, 46 % vol"}


def _abroad(code):
    (tea, sour, nut), (acid, almond), (tea_id, sour_id) = ABROAD[code]
    gin, _, lime, syrup, *_ = QUAY.ingredients
    return Drink(
        code,
        "Laterne",
        4,
        (
            part("gin", GIN.get(code, "Gin, 46 % vol"), 160, "ml", (), gin.substance),
            part(tea_id, tea, 240, "ml"),
            part(sour_id, sour, 80, "ml", (acid,), lime.substance),
            part("nut", nut, 60, "ml", (almond,), syrup.substance),
        ),
        (acid, almond),
    )


_ALL = (QUAY, FERRY, SHRUB, SIGNAL, TERRACE, *map(_abroad, ABROAD), *MORE_DRINKS, *HILL_DRINKS,
        *FAIR_DRINKS, *BARGE_DRINKS, *VOICES_DRINKS, *QUAY_DRINKS, *ORCHARD_DRINKS, *DESERT_DRINKS,
        *ALP_DRINKS, *FERRY_DRINKS, *LOFT_DRINKS, *MILL_DRINKS, *COURT_DRINKS, *TRAM_DRINKS,
        *GABLE_DRINKS)  # fmt: skip
DRINKS = {drink.id: drink for drink in (*_ALL, *stepped(_ALL))}

TIMES = (
    KnownNumber("time", "the slot", 600.0, 600.0, about=("slot",)),
    KnownNumber("time", "“Brew the coffee”", 150.0, 150.0, about=("Brew the coffee",)),
    KnownNumber("time", "“Shake”", 12.0, 15.0, about=("Shake",)),
)


def facts(drink):
    """What is known of a drink, computed as the app does."""
    return (
        facts_of_glass(drink, (), "WHO"),
        GlassFacts(drink.id, strengths_in_names(drink)),
    )
