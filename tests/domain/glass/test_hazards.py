"""Hazards that no figure shows: named as whole words, where the thing itself is used."""

import pytest

from server.domain.base.amounts import parse_amount
from server.domain.glass.caution import DEFER
from server.domain.glass.hazards import HazardText, hazards, hazards_in, part_written
from server.domain.glass.recipe import RecipeLine
from tests.domain.glass.recipes import line
from tests.table import table


def found(place, text):
    return [each.code for each in hazards_in([HazardText(place, "there", text)])]


def of_part(name, amount, serves=1):
    return [
        each.code
        for each in hazards_in([part_written(RecipeLine("a", name, parse_amount(amount)), serves)])
    ]


NAMED = [
    ("act", "Drop two pellets of dry ice in the bowl.", "dry_ice"),
    ("said", "Beneath the glass there is dry ice, for the fog.", "dry_ice"),
    ("said", "Unter dem Glas liegt Trockeneis.", "dry_ice"),
    ("act", "Chill the steel in liquid nitrogen.", "liquid_nitrogen"),
    ("said", "J'ajoute de l'azote liquide.", "liquid_nitrogen"),
    ("act", "Fill the cloche with smoke, lid on.", "smoke"),
    ("said", "Now I smoke the glass with cherry wood.", "smoke"),
    ("act", "Smoking gun, ten seconds.", "smoke"),
    ("act", "Flame the peel over the glass.", "flame"),
    ("said", "We finish it with a flamed orange peel.", "flame"),
    ("act", "Light the rum, count to five.", "flame"),
    ("act", "Char the sugar with the blow-torch.", "flame"),
    ("said", "This is a plum spirit that my uncle distilled at home.", "methanol"),
    ("part", "Home-distilled plum spirit", "methanol"),
    ("act", "Run the gin through the rotovap.", "methanol"),
    ("part", "Tonic water", "quinine"),
    ("said", "A cordial that I steep from cinchona bark.", "quinine"),
    ("part", "Nutmeg tincture", "nutmeg"),
    ("act", "Steep twenty grams of nutmeg in rum overnight.", "nutmeg"),
    ("part", "Tonka bean syrup", "coumarin"),
    ("act", "Lay a petal on the foam.", "flowers"),
    ("part", "Foxglove", "flowers"),
    ("part", "Apricot kernels", "kernels"),
    ("act", "Crack the plum stones and steep them.", "kernels"),
    ("part", "Bitter almonds", "kernels"),
    ("act", "Charge the siphon twice, shake.", "pressure"),
    ("said", "I carbonate it on stage.", "pressure"),
    ("act", "Two N₂O chargers.", "pressure"),
    ("said", "I set fire to the rosemary.", "flame"),
    ("said", "An orange peel, flamed, gives caramel.", "flame"),
    ("said", "I capture hay smoke under this cloche.", "smoke"),
    ("said", "My brother distilled it in his shed.", "methanol"),
    ("act", "Scoop ice with the glass.", "broken_glass"),
    ("act", "Into the blender, twenty seconds.", "blender"),
    ("act", "Blend it with the ice until smooth.", "blender"),
    ("act", "Blend hot, with butter.", "blender"),
    ("act", "Blitz the herbs.", "blender"),
    ("said", "Ein Pürierstab tut es nicht, ich nehme den Standmixer.", "blender"),
    ("said", "Mind the broken glass.", "broken_glass"),
    ("act", "Drop dry ice cubes into the bowl.", "dry_ice"),
    ("act", "Shake hot and vent it.", "pressure"),
    ("part", "Ginger bug", "pressure"),
    ("part", "Activated charcoal", "charcoal"),
    ("part", "Tobacco bitters", "tobacco"),
    ("act", "Steep a cigar in rum for an hour.", "tobacco"),
    ("part", "Pipe tobacco", "tobacco"),
    ("part", "Elderberries, fresh", "elder"),
    ("part", "Rhubarb leaves", "elder"),
    ("part", "Raw milk", "unpasteurised"),
    ("part", "Apple juice, not pasteurised", "unpasteurised"),
    ("part", "Garlic oil", "botulism"),
    ("act", "Infuse chilli in olive oil overnight.", "botulism"),
    ("part", "Phosphoric acid solution", "corrosive"),
    ("part", "Acid phosphate", "corrosive"),
    ("part", "Phosphorsäure, 10 %", "corrosive"),
    ("part", "Lactic acid solution, 80 %", "corrosive"),
    ("part", "Lye", "corrosive"),
    ("part", "Orange essential oil", "essential_oil"),
    ("part", "CBD oil", "cannabis"),
    ("part", "Dried wormwood", "wormwood"),
    ("part", "Edible glitter", "glitter"),
    ("act", "Serve in a copper mug.", "copper"),
    ("act", "Thin it with isopropyl alcohol.", "not_drinkable"),
    ("part", "Pink grapefruit juice", "grapefruit"),
    ("part", "Seville oranges", "grapefruit"),
    ("act", "Squeeze half a grapefruit over it.", "grapefruit"),
]  # fmt: skip

TRAPS = [
    ("said", "It is dry, ice cold and long."),
    ("act", "Dry ice cubes with a cloth."),
    ("said", "There is no dry ice in this glass, only water."),
    ("said", "A smoky flavour, then a hint of smoke."),
    ("part", "Smoked agave spirit, 45 %"),
    ("said", "It tastes like smoke from a far fire."),
    ("said", "A whisper of wood smoke on the nose."),
    ("said", "We light the lamp and pass the torch to the orchard."),
    ("said", "Its colour is flame red."),
    ("said", "I have distilled this story into one sentence."),
    ("part", "Distilled water"),
    ("said", "A tonic for tired people."),
    ("part", "Tonic wine, 15 %"),
    ("said", "On the finish there is a nutmeg note."),
    ("act", "Grate a little nutmeg over the foam."),
    ("part", "Orange flower water"),
    ("part", "Elderflower cordial"),
    ("part", "Cauliflower"),
    ("said", "Notes of bitter almond and cherry."),
    ("said", "Stone fruit, ripe and dark."),
    ("act", "Remove the plum stones first."),
    ("part", "Bitter almond extract"),
    ("act", "Brew with the siphon brewer."),
    ("said", "I work well under pressure."),
    ("part", "Naturally carbonated water"),
    ("act", "Large broken ice to the rim."),
    ("said", "The sugar glass breaks on the tongue."),
    ("said", "It warms you like an open flame."),
    ("act", "Never scoop with a cup, no flame near it."),
    ("said", "Where there's smoke there's fire."),
    ("said", "A frozen grimace."),
    ("part", "Elderberry syrup"),
    ("act", "Remove the leaves, then juice the rhubarb."),
    ("said", "Tobacco and leather on the nose."),
    ("said", "Pipe tobacco and orange marmalade."),
    ("said", "The bay glitters like cut glass."),
    ("act", "Express the essential oils of the peel over the glass."),
    ("part", "Anise and wormwood spirit, 60 %"),
    ("part", "Citric acid solution, 6 %"),
    ("part", "Charcoal filtered vodka"),
    ("act", "Serve in a steel-lined copper mug."),
    ("said", "It comes from old copper pot stills."),
    ("act", "Wipe the bar with isopropyl alcohol."),
    ("part", "Unpasteurised egg white"),
    ("part", "Olive oil"),
    ("part", "Grapefruit bitters"),
    ("part", "Blended whisky, 40 %"),
    ("part", "Peach purée"),
    ("act", "Pour the blend with care."),
    ("act", "Float the raspberry purée."),
    ("said", "The flavours blend with the coffee."),
    ("act", "Twist a zest of grapefruit over it."),
    ("said", "You find grapefruit on the nose."),
]  # fmt: skip


@table("place, text, code", NAMED)
def test_a_hazard_is_told_where_it_is_named(place, text, code):
    assert code in found(place, text)


@table("place, text", TRAPS)
def test_a_taste_or_an_idiom_is_no_hazard(place, text):
    assert found(place, text) == []


def test_every_hazard_has_a_line_a_source_and_defers():
    for hazard in hazards():
        assert 60 < len(hazard.words) < 260
        assert hazard.source
    (told,) = hazards_in([HazardText("act", "hands in “Fog”", "Dry ice in.")])
    assert told.words.startswith("Dry ice (hands in “Fog”): ")
    assert "FDA, Food Code interpretation of 31 October 2018" in told.words
    assert told.words.endswith(DEFER)


def test_a_blender_is_told_with_its_maker_and_a_public_body():
    # OSHA, Young Worker Safety in Restaurants, food preparation: unplug before cleaning, no hands
    # into a machine that runs, follow the manufacturer's instructions.
    (told,) = hazards_in([HazardText("act", "the method", "Put it in the blender.")])
    assert told.words.startswith("Blender (the method): ")
    for word in ("scalds", "lid", "sealed", "blades", "maker's instructions", "OSHA"):
        assert word in told.words


def test_quinine_is_told_with_its_limit_in_soft_drinks():
    # 21 CFR 172.575: 83 parts per million; BfR press release 17/2005: 85 mg/l, pregnant women.
    (told,) = hazards_in([part_written(line("tonic-water", "120 ml"), 1)])
    assert "83 to 85 mg/l" in told.words
    assert "pregnant" in told.words


# Case reports from 5 g on; a grating weighs a tenth of a gram or so.
@pytest.mark.parametrize(
    ("amount", "serves", "codes"),
    [("0.3 g", 1, []), ("8 g", 4, ["nutmeg"]), ("1 pinch", 1, []), ("20 ml", 1, ["nutmeg"])],
)
def test_nutmeg_is_a_hazard_in_large_amounts_only(amount, serves, codes):
    assert of_part("Nutmeg", amount, serves) == codes


def test_grated_nutmeg_that_is_weighed_goes_by_its_weight():
    assert of_part("Nutmeg, freshly grated", "8 g") == ["nutmeg"]
    assert of_part("Freshly grated nutmeg", "8 g") == ["nutmeg"]


def test_other_spices_are_told_from_two_grams_a_serve_on():
    assert of_part("Cloves", "1 g") == []
    assert of_part("Cloves", "12 g", 4) == ["spices"]


def test_a_hazard_is_told_once_with_its_first_place():
    texts = [HazardText("act", "first", "dry ice"), HazardText("said", "second", "dry ice")]
    (told,) = hazards_in(texts)
    assert "(first)" in told.words
