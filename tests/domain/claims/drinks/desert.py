"""The drinks of the talks and sentences told in hot countries: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, a_water, part

WELL = Drink(
    "well",
    "The Third Well",
    2,
    (
        part("agave", "Agave spirit, 45 % vol", 90, "ml", ("agave", "wet stone"), a_spirit(45.0)),
        part("hibiscus", "Hibiscus tea, chilled", 160, "ml", ("hibiscus", "cranberry"),
             Substance("tea", acid=Content(0.6), abv=Figure(0.0), caffeine=Content(0.0),
                       allergens=(), temp_c=Figure(5.0))),
        part("date", "Date syrup", 30, "ml", ("date",), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("lime", "Lime juice", 40, "ml", ("lime",), a_juice(1.7, 6.0)),
        part("chilli", "Chilli tincture, 50 % vol", 4, "drop", ("chilli",), a_spirit(50.0)),
    ),
    ("hibiscus", "date", "sour", "spicy"),
    steps=(Agitate("shake-well", "shake"),),
)  # fmt: skip

LATTICE = Drink(
    "lattice",
    "Lattice Window",
    3,
    (
        part("anise", "Anise spirit, 52 % vol", 90, "ml", ("anise", "fennel"),
             Substance("spirit", abv=Figure(52.0), sugar=Content(0.0), acid=Content(0.0),
                       allergens=(), temp_c=Figure(-14.0))),
        part("pomegranate", "Pomegranate juice", 180, "ml", ("pomegranate",),
             a_juice(13.0, 1.2, temp_c=Figure(4.0))),
        part("blossom", "Orange blossom water", 6, "drop", ("orange blossom",), a_water(20.0)),
        part("mint", "Mint", 9, "leaf", ("mint",), Substance("garnish", allergens=())),
        part("soda", "Soda water", 240, "ml", (), a_water(4.0)),
    ),
    ("anise", "pomegranate", "floral", "sparkling"),
)  # fmt: skip

DALLAH = Drink(
    "dallah",
    "The Second Cup",
    2,
    (
        part("coffee", "Cardamom coffee, light roast", 240, "ml", ("cardamom", "hay"),
             a_coffee(45.0, 84.0), brew=Brew(dose_g=20, water_g=300, kind="immersion", time_s=600)),
        part("datebrandy", "Date brandy, 44 % vol", 50, "ml", ("date", "walnut"), a_spirit(44.0)),
        part("honey", "Saffron honey syrup", 20, "ml", ("saffron", "honey"), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("rose", "Rose water", 4, "drop", ("rose",), a_water(20.0)),
    ),
    ("cardamom", "saffron", "date", "hot"),
)  # fmt: skip

BRASS = Drink(
    "brass",
    "Brass Tray",
    2,
    (
        part("fig", "Fig spirit, 40 % vol", 100, "ml", ("fig", "pear"), a_spirit(40.0)),
        part("orange", "Sour orange juice", 60, "ml", ("orange", "marmalade"), a_juice(4.0, 4.5)),
        part("almond", "Almond syrup", 40, "ml", ("almond",),
             Substance("syrup", sugar=Content(66.0, per="100 g"), acid=Content(0.0),
                       allergens=("nuts",))),
        part("egg", "Egg white", 60, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
        part("bitters", "Aromatic bitters, 44 % vol", 4, "dash", ("clove",),
             Substance("bitters", abv=Figure(44.0), allergens=())),
    ),
    ("fig", "almond", "sour", "frothy"),
    steps=(Agitate("shake-brass", "shake"),),
)  # fmt: skip

GOAT = Drink(
    "goat",
    "Goat on the Roof",
    3,
    (
        part("yoghurt", "Goat's yoghurt", 240, "ml", ("yoghurt", "goat"),
             Substance("dairy", sugar=Content(3.9), fat=Content(4.5), protein=Content(3.8),
                       acid=Content(1.0), abv=Figure(0.0), allergens=("milk",),
                       temp_c=Figure(4.0))),
        part("melon", "Watermelon juice", 180, "ml", ("watermelon",),
             a_juice(6.2, 0.1, temp_c=Figure(4.0))),
        part("cumin", "Toasted cumin syrup", 30, "ml", ("cumin",), a_syrup()),
        part("salt", "Salt solution", 9, "drop", (), Substance("salt", allergens=())),
        part("soda", "Soda water", 90, "ml", (), a_water(3.0)),
    ),
    ("watermelon", "cumin", "salty", "tangy"),
)  # fmt: skip

MIRAGE = Drink(
    "mirage",
    "Mirage at Kilometre Nine",
    2,
    (
        part("coldbrew", "Cold brew coffee", 160, "ml", ("cocoa", "orange"), a_coffee(75.0, 4.0),
             brew=Brew(dose_g=75, water_g=750, kind="immersion", time_s=50400)),
        part("smoked", "Pit-roasted agave spirit, 48 % vol", 60, "ml", ("smoke", "leather"),
             a_spirit(48.0)),
        part("carob", "Carob molasses", 20, "ml", ("carob", "caramel"), a_syrup(70.0)),
        part("camel", "Camel milk", 80, "ml", (), a_dairy(4.4, 3.5, 3.1, 5.0)),
    ),
    ("carob", "smoke", "cocoa", "velvety"),
    steps=(Agitate("stir-mirage", "stir"),),
)  # fmt: skip

SOUK = Drink(
    "souk",
    "The Ninth Bale",
    3,
    (
        part("tea", "Dried lime tea, hot", 360, "ml", ("dried lime", "black tea"),
             a_tea(14.0, 78.0)),
        part("cane", "Aged cane spirit, 50 % vol", 75, "ml", ("brown sugar", "tobacco"),
             a_spirit(50.0)),
        part("ginger", "Ginger syrup", 45, "ml", ("ginger",), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("pepper", "Black pepper tincture, 45 % vol", 6, "drop", ("pepper",), a_spirit(45.0)),
    ),
    ("dried lime", "ginger", "pepper", "warm"),
)  # fmt: skip

FLAT = Drink(
    "flat",
    "Salt Flat",
    4,
    (
        part("aperitif", "Bitter orange aperitif, 18 % vol", 120, "ml", ("orange peel", "gentian"),
             Substance("liqueur", abv=Figure(18.0), sugar=Content(20.0), allergens=())),
        part("prickly", "Prickly pear juice", 120, "ml", ("prickly pear", "melon"),
             a_juice(10.0, 0.2, temp_c=Figure(5.0))),
        part("wine", "Dry sparkling wine, 11 % vol", 360, "ml", ("green apple", "brioche"),
             Substance("wine", abv=Figure(11.0), sugar=Content(0.7), allergens=("sulphites",),
                       temp_c=Figure(6.0))),
        part("salt", "Salt solution", 8, "drop", (), Substance("salt", allergens=())),
    ),
    ("orange peel", "prickly pear", "bitter", "sparkling"),
)  # fmt: skip

DESERT_DRINKS = (WELL, LATTICE, DALLAH, BRASS, GOAT, MIRAGE, SOUK, FLAT)
