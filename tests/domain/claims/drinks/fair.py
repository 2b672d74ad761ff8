"""The drinks of the talks and sentences told at a fair by the harbour: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part


def a_dairy(sugar, fat, protein, temp_c):
    return Substance(
        "dairy", sugar=Content(sugar), fat=Content(fat), protein=Content(protein),
        abv=Figure(0.0), acid=Content(0.0), allergens=("milk",), temp_c=Figure(temp_c),
    )  # fmt: skip


def a_coffee(caffeine, temp_c):
    return Substance(
        "coffee", abv=Figure(0.0), acid=Content(0.0), caffeine=Content(caffeine), allergens=(),
        temp_c=Figure(temp_c),
    )  # fmt: skip


def a_tea(caffeine, temp_c):
    return Substance(
        "tea", abv=Figure(0.0), acid=Content(0.0), caffeine=Content(caffeine), allergens=(),
        temp_c=Figure(temp_c),
    )  # fmt: skip


def _an_egg():
    return Substance(
        "egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0), abv=Figure(0.0),
        acid=Content(0.0), allergens=("eggs",),
    )  # fmt: skip


def _a_liqueur(abv, sugar):
    return Substance("liqueur", abv=Figure(abv), sugar=Content(sugar), allergens=())


WHEY = Drink(
    "whey",
    "Whey Out",
    4,
    (
        part("arrack", "Palm arrack, 50 % vol", 200, "ml", ("funk", "banana"), a_spirit(50.0)),
        part("mango", "Mango juice", 160, "ml", ("mango",), a_juice(13.0, 0.4)),
        part("lime", "Lime juice", 80, "ml", ("lime",), a_juice(1.7, 6.0, temp_c=Figure(4.0))),
        part("chai", "Chai, strong", 120, "ml", ("cardamom", "ginger"), a_tea(20.0, 85.0)),
        part("milk", "Whole milk", 120, "ml", (), a_dairy(4.8, 3.5, 3.4, 5.0)),
    ),
    ("mango", "cardamom", "lime", "silky"),
)  # fmt: skip

PLATFORM = Drink(
    "platform",
    "Long Platform",
    2,
    (
        part("whisky", "Grain whisky, 43 % vol", 90, "ml", ("vanilla", "biscuit"),
             a_spirit(43.0, ("gluten",))),
        part("hojicha", "Roasted green tea", 120, "ml", ("hazelnut", "toast"), a_tea(8.0, 4.0)),
        part("yuzu", "Yuzu cordial", 30, "ml", ("yuzu",), a_juice(45.0, 3.0)),
        part("soda", "Soda water", 200, "ml", (), a_water(3.0)),
    ),
    ("yuzu", "hazelnut", "sparkling", "dry"),
    steps=(Agitate("stir-platform", "stir"),),
)  # fmt: skip

SHIFT = Drink(
    "shift",
    "Late Shift",
    2,
    (
        part("coldbrew", "Cold brew coffee", 140, "ml", ("cherry", "cocoa"), a_coffee(80.0, 4.0),
             brew=Brew(dose_g=70, water_g=700, kind="immersion", time_s=43200)),
        part("amaro", "Amaro, 30 % vol", 50, "ml", ("rhubarb", "orange peel"),
             _a_liqueur(30.0, 22.0)),
        part("demerara", "Demerara syrup", 15, "ml", ("toffee",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("bitters", "Mole bitters, 45 % vol", 3, "dash", ("chocolate",),
             Substance("bitters", abv=Figure(45.0), allergens=())),
    ),
    ("cherry", "orange peel", "bitter", "velvety"),
    steps=(Agitate("stir-shift", "stir"),),
)  # fmt: skip

KETTLE = Drink(
    "kettle",
    "Harbour Kettle",
    2,
    (
        part("rum", "Dark rum, 54 % vol", 80, "ml", ("molasses", "liquorice"), a_spirit(54.0)),
        part("cider", "Cloudy apple juice", 240, "ml", ("apple",),
             a_juice(10.5, 0.6, temp_c=Figure(75.0))),
        part("butter", "Brown butter", 20, "g", ("butter", "hazelnut"),
             Substance("dairy", sugar=Content(0.0), fat=Content(82.0), protein=Content(0.6),
                       abv=Figure(0.0), allergens=("milk",))),
        part("spice", "Spice syrup", 20, "ml", ("cinnamon", "star anise"), a_syrup()),
    ),
    ("apple", "cinnamon", "buttery", "hot"),
)  # fmt: skip

SLUSH = Drink(
    "slush",
    "Ice Fair",
    2,
    (
        part("tequila", "Highland tequila, 40 % vol", 100, "ml", ("green pepper",),
             a_spirit(40.0)),
        part("strawberry", "Strawberries, frozen", 150, "g", ("strawberry",),
             Substance("other", sugar=Content(5.0), abv=Figure(0.0), allergens=(),
                       temp_c=Figure(-18.0))),
        part("lime", "Lime juice", 50, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("basil", "Basil syrup", 40, "ml", ("basil",), a_syrup()),
    ),
    ("strawberry", "basil", "icy", "lime"),
)  # fmt: skip

POST = Drink(
    "post",
    "Second Post",
    3,
    (
        part("gin", "Navy gin, 57 % vol", 60, "ml", ("juniper", "coriander seed"), a_spirit(57.0)),
        part("elder", "Elderflower cordial", 45, "ml", ("elderflower",), a_juice(50.0, 1.5)),
        part("lemon", "Lemon juice", 45, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("wine", "Dry sparkling wine, 12 % vol", 270, "ml", ("brioche", "green apple"),
             Substance("wine", abv=Figure(12.0), sugar=Content(0.8), allergens=("sulphites",),
                       temp_c=Figure(6.0))),
    ),
    ("elderflower", "lemon", "sparkling", "brioche"),
)  # fmt: skip

KILN = Drink(
    "kiln",
    "Kiln",
    2,
    (
        part("mezcal", "Mezcal, 47 % vol", 90, "ml", ("smoke", "green olive"), a_spirit(47.0)),
        part("tamarind", "Tamarind syrup", 40, "ml", ("tamarind",), a_syrup(50.0)),
        part("lime", "Lime juice", 40, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("chilli", "Chilli tincture, 40 % vol", 6, "drop", ("chilli",), a_spirit(40.0)),
        part("egg", "Egg white", 50, "ml", (), _an_egg()),
    ),
    ("smoke", "tamarind", "sour", "frothy"),
    steps=(Agitate("shake-kiln", "shake"),),
)  # fmt: skip

SHORE = Drink(
    "shore",
    "Rock Pool",
    2,
    (
        part("vodka", "Potato vodka, 42 % vol", 100, "ml", (), a_spirit(42.0)),
        part("tomato", "Tomato water", 80, "ml", ("tomato",), a_juice(3.0, 0.4)),
        part("kombu", "Kombu brine", 10, "ml", ("seaweed", "umami"),
             Substance("salt", abv=Figure(0.0), allergens=())),
        part("sherry", "Dry sherry, 15 % vol", 20, "ml", ("almond", "saline"),
             Substance("wine", abv=Figure(15.0), sugar=Content(0.3), allergens=("sulphites",))),
    ),
    ("tomato", "savoury", "salty", "dry"),
    steps=(Agitate("stir-shore", "stir"),),
)  # fmt: skip

STILL = Drink(
    "still",
    "Still Here",
    2,
    (
        part("verjus", "Verjus", 60, "ml", ("green grape",), a_juice(4.0, 2.5)),
        part("apple", "Apple juice", 120, "ml", ("apple",), a_juice(10.5, 0.6)),
        part("rosemary", "Rosemary syrup", 20, "ml", ("rosemary", "pine"), a_syrup()),
        part("tonic", "Tonic water", 160, "ml", ("quinine",),
             Substance("soda", sugar=Content(8.0), acid=Content(0.4), abv=Figure(0.0),
                       caffeine=Content(0.0), allergens=(), temp_c=Figure(5.0))),
    ),
    ("apple", "rosemary", "bitter", "sparkling"),
)  # fmt: skip

SLICE = Drink(
    "slice",
    "Last Slice",
    2,
    (
        part("brandy", "Wine brandy, 40 % vol", 80, "ml", ("prune", "oak"), a_spirit(40.0)),
        part("cacao", "Cacao liqueur, 24 % vol", 40, "ml", ("dark chocolate",),
             _a_liqueur(24.0, 38.0)),
        part("cream", "Double cream", 50, "ml", ("cream",), a_dairy(2.6, 48.0, 1.7, 5.0)),
        part("espresso", "Espresso", 60, "ml", ("caramel",), a_coffee(200.0, 60.0),
             brew=Brew(dose_g=18, beverage_g=40)),
        part("tonka", "Tonka bean, grated", 2, "piece", ("tonka bean", "marzipan")),
    ),
    ("dark chocolate", "tonka bean", "creamy", "prune"),
    steps=(Agitate("shake-slice", "shake"),),
)  # fmt: skip

SISTER = Drink(
    "sister",
    "Younger Sister",
    2,
    (
        part("pisco", "Grape spirit, 42 % vol", 100, "ml", ("muscat", "jasmine"), a_spirit(42.0)),
        part("lychee", "Lychee juice", 60, "ml", ("lychee", "rose"), a_juice(15.0, 0.3)),
        part("lemon", "Lemon juice", 40, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("sugar", "Sugar syrup", 20, "ml", (), a_syrup(), syrup=Syrup(sugar=1, water=1)),
        part("egg", "Egg white", 40, "ml", (), _an_egg()),
    ),
    ("lychee", "jasmine", "lemon", "silky"),
    steps=(Agitate("shake-sister", "shake"),),
)  # fmt: skip

VERANDA = Drink(
    "veranda",
    "Back Veranda",
    2,
    (
        part("espresso", "Espresso, washed lot", 76, "ml", ("mandarin", "honey"),
             a_coffee(200.0, 65.0), brew=Brew(dose_g=20, beverage_g=38)),
        part("tonic", "Tonic water", 240, "ml", ("quinine",),
             Substance("soda", sugar=Content(8.0), acid=Content(0.4), abv=Figure(0.0),
                       caffeine=Content(0.0), allergens=(), temp_c=Figure(4.0))),
        part("myrtle", "Lemon myrtle syrup", 30, "ml", ("lemongrass",), a_syrup()),
        part("macadamia", "Macadamia cream", 40, "ml", ("macadamia",),
             Substance("other", abv=Figure(0.0), fat=Content(30.0), allergens=("nuts",))),
    ),
    ("mandarin", "lemongrass", "bitter", "creamy"),
)  # fmt: skip

FAIR_DRINKS = (
    WHEY, PLATFORM, SHIFT, KETTLE, SLUSH, POST, KILN, SHORE, STILL, SLICE, SISTER, VERANDA,
)  # fmt: skip
