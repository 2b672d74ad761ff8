"""The drinks of the talks and sentences told in huts, station buffets and hotel bars: invented."""

from server.domain.glass.brew import Brew
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.glass.syrup import Syrup
from server.domain.routine.drink import Drink
from tests.domain.claims.drinks.fair import a_coffee, a_dairy, a_tea
from tests.domain.claims.drinks.more import a_juice, a_spirit, a_syrup, part

CORNICE = Drink(
    "cornice",
    "Cornice",
    2,
    (
        part("gentian", "Gentian spirit, 44 % vol", 60, "ml", ("gentian", "earth"),
             a_spirit(44.0)),
        part("whey", "Sweet whey", 120, "ml", ("yoghurt",),
             Substance("dairy", sugar=Content(4.8), fat=Content(0.3), protein=Content(0.8),
                       acid=Content(0.2), abv=Figure(0.0), allergens=("milk",),
                       temp_c=Figure(5.0))),
        part("honey", "Fir honey syrup", 30, "ml", ("honey", "malt"), a_syrup(),
             syrup=Syrup(sugar=2, water=1)),
        part("lemon", "Lemon juice", 30, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("egg", "Egg white", 50, "ml", (),
             Substance("egg", sugar=Content(0.0), fat=Content(0.2), protein=Content(10.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
    ),
    ("gentian", "honey", "tangy", "frothy"),
    steps=(Agitate("shake-cornice", "shake"),),
)  # fmt: skip

GONDOLA = Drink(
    "gondola",
    "Last Gondola",
    2,
    (
        part("hay", "Hay tea, hot", 240, "ml", ("hay", "vanilla"), a_tea(0.0, 80.0)),
        part("pear", "Pear brandy, 42 % vol", 60, "ml", ("pear", "pepper"), a_spirit(42.0)),
        part("honey", "Blossom honey", 24, "g", ("honey",),
             Substance("syrup", sugar=Content(80.0, per="100 g"), acid=Content(0.0),
                       allergens=())),
        part("lemon", "Lemon juice", 16, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("clove", "Clove", 4, "piece", ("clove",), Substance("garnish", allergens=())),
    ),
    ("hay", "pear", "honey", "hot"),
)  # fmt: skip

BUFFET = Drink(
    "buffet",
    "Buffet Car",
    1,
    (
        part("espresso", "Espresso, washed lot", 38, "ml", ("redcurrant", "dark chocolate"),
             a_coffee(190.0, 62.0),
             brew=Brew(dose_g=18, beverage_g=38, kind="espresso", water_c=93.0, time_s=27.0)),
        part("cherry", "Cherry brandy from the stone, 43 % vol", 20, "ml", ("cherry", "almond"),
             a_spirit(43.0)),
        part("beet", "Sugar beet syrup", 10, "ml", ("molasses",), a_syrup()),
        part("cream", "Alp cream", 40, "ml", ("cream",), a_dairy(3.0, 35.0, 2.1, 5.0)),
        part("salt", "Salt solution", 2, "drop", (), Substance("salt", allergens=())),
    ),
    ("cherry", "dark chocolate", "almond", "creamy"),
    steps=(Agitate("stir-buffet", "stir"),),
)  # fmt: skip

TUNNEL = Drink(
    "tunnel",
    "Summit Tunnel",
    3,
    (
        part("needle", "Pine needle tea, chilled", 240, "ml", ("pine", "lemon zest"),
             a_tea(0.0, 5.0)),
        part("currant", "Redcurrant juice", 90, "ml", ("redcurrant",), a_juice(7.0, 2.2)),
        part("spruce", "Spruce tip syrup", 45, "ml", ("spruce", "resin"), a_syrup()),
        part("bitter", "Bitter herb water", 240, "ml", ("wormwood", "orange peel"),
             Substance("soda", sugar=Content(5.0), acid=Content(0.3), abv=Figure(0.0),
                       caffeine=Content(0.0), allergens=(), temp_c=Figure(4.0))),
    ),
    ("pine", "redcurrant", "bitter", "sparkling"),
)  # fmt: skip

CRAMPON = Drink(
    "crampon",
    "Crampon",
    2,
    (
        part("stonepine", "Stone pine spirit, 38 % vol", 80, "ml", ("pine", "resin"),
             a_spirit(38.0)),
        part("root", "Bitter root liqueur, 26 % vol", 40, "ml", ("gentian", "liquorice"),
             Substance("liqueur", abv=Figure(26.0), sugar=Content(20.0), allergens=())),
        part("vermouth", "White vermouth, 16 % vol", 50, "ml", ("chamomile",),
             Substance("wine", abv=Figure(16.0), sugar=Content(12.0), allergens=("sulphites",),
                       temp_c=Figure(6.0))),
        part("salt", "Smoked salt solution", 4, "drop", ("smoke",),
             Substance("salt", allergens=())),
    ),
    ("pine", "gentian", "bitter", "chamomile"),
    steps=(Agitate("stir-crampon", "stir"),),
)  # fmt: skip

TIMETABLE = Drink(
    "timetable",
    "Sunday Timetable",
    2,
    (
        part("coldbrew", "Cold brew coffee", 160, "ml", ("apricot", "black tea"),
             a_coffee(70.0, 4.0),
             brew=Brew(dose_g=60, water_g=900, kind="immersion", time_s=43200)),
        part("apricot", "Apricot brandy, 41 % vol", 60, "ml", ("apricot", "marzipan"),
             a_spirit(41.0)),
        part("meadow", "Meadowsweet syrup", 20, "ml", ("meadowsweet", "honey"), a_syrup(),
             syrup=Syrup(sugar=1, water=1)),
        part("tonic", "Bark tonic", 140, "ml", ("quinine",),
             Substance("soda", sugar=Content(6.0), acid=Content(0.4), abv=Figure(0.0),
                       caffeine=Content(0.0), allergens=(), temp_c=Figure(4.0))),
    ),
    ("apricot", "marzipan", "bitter", "sparkling"),
)  # fmt: skip

CHAPEL = Drink(
    "chapel",
    "Chapel Bell",
    4,
    (
        part("milk", "Whole milk, hot", 400, "ml", (), a_dairy(4.8, 3.8, 3.4, 65.0)),
        part("quince", "Quince brandy, 45 % vol", 120, "ml", ("quince", "rose"), a_spirit(45.0)),
        part("honey", "Chestnut honey", 60, "g", ("honey", "chestnut"),
             Substance("syrup", sugar=Content(80.0, per="100 g"), acid=Content(0.0),
                       allergens=())),
        part("yolk", "Egg yolk", 72, "g", (),
             Substance("egg", sugar=Content(0.2), fat=Content(28.0), protein=Content(16.0),
                       abv=Figure(0.0), acid=Content(0.0), allergens=("eggs",))),
        part("nutmeg", "Nutmeg, grated", 4, "pinch", ("nutmeg",),
             Substance("garnish", allergens=())),
    ),
    ("quince", "honey", "nutmeg", "creamy"),
)  # fmt: skip

LOBBY = Drink(
    "lobby",
    "Lobby Clock",
    2,
    (
        part("raspberry", "Raspberry brandy, 42 % vol", 60, "ml", ("raspberry", "rose"),
             a_spirit(42.0)),
        part("rhubarb", "Rhubarb juice", 60, "ml", ("rhubarb",), a_juice(1.5, 1.8)),
        part("lemon", "Lemon juice", 20, "ml", ("lemon",), a_juice(2.4, 6.0)),
        part("sage", "Sage syrup", 30, "ml", ("sage",), a_syrup(), syrup=Syrup(sugar=1, water=1)),
        part("wine", "Dry sparkling wine, 11.5 % vol", 160, "ml", ("green apple", "bread"),
             Substance("wine", abv=Figure(11.5), sugar=Content(0.6), allergens=("sulphites",),
                       temp_c=Figure(6.0))),
    ),
    ("raspberry", "rhubarb", "sage", "sparkling"),
)  # fmt: skip

ALP_DRINKS = (CORNICE, GONDOLA, BUFFET, TUNNEL, CRAMPON, TIMETABLE, CHAPEL, LOBBY)
