"""Invented routines, said in English, for takes that are labelled by how they were made."""

from functools import cache

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.ledger import ledger
from server.domain.heard.alignment import spoken_segments
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine, Segment, Spread
from tests.factories import RULES


def _drink(drink_id, name, parts, descriptors):
    made = tuple(
        Ingredient(f"{drink_id}-{n}", part, Amount(value, unit))
        for n, (part, value, unit) in enumerate(parts)
    )
    return Drink(drink_id, name, ingredients=made, descriptors=tuple(descriptors))


def _routine(routine_id, drinks, segments):
    made = tuple(
        Segment(
            f"{routine_id}{n}", name, Spread(float(planned_s)),
            hands=hands, said=said, drink_id=drink_id,
        )
        for n, (name, planned_s, drink_id, hands, said) in enumerate(segments)
    )  # fmt: skip
    return Routine(routine_id, f"Routine {routine_id}", RULES.id, drinks=drinks, segments=made)


HARBOUR = _routine(
    "harbour",
    (
        _drink(
            "first", "Slack Water",
            [("Plum brandy", 40, "ml"), ("Black tea", 90, "ml"), ("Honey syrup", 15, "ml")],
            ["dried apricot", "black tea", "smoke"],
        ),
        _drink(
            "second", "Lantern",
            [("Aged rum", 35, "ml"), ("Lime juice", 20, "ml"), ("Ginger syrup", 25, "ml")],
            ["ginger", "roasted pineapple", "sea salt"],
        ),
    ),
    (
        ("Welcome", 25, None, "Lays out the mats",
         "Good evening, judges, and thank you for having me. My grandfather mended nets in a small "
         "harbour at the end of the road. Every evening he lit a lantern on the pier, and tonight "
         "I would like to light it again for you."),
        ("Set the table", 20, None, "Puts the glasses in a row",
         "In front of you there is a map of that coast. Please leave it closed until I ask you."),
        ("Brew the tea", 15, "first", "Pours the water", ""),
        ("Build Slack Water", 40, "first", "Measures and stirs",
         "We begin where the day ends, at slack water. Forty millilitres of plum brandy go into "
         "the "
         "glass. To this I add ninety millilitres of black tea, brewed for four minutes. Fifteen "
         "millilitres of honey syrup bring it together."),
        ("Taste Slack Water", 35, "first", "Serves the first drink",
         "Please take a first sip now. You will find dried apricot on the palate, then black tea "
         "with a gentle grip. In the finish there is a thread of smoke, like the lamp oil on his "
         "sleeves."),
        ("Wipe down", 10, None, "Cleans the station", ""),
        ("The storm", 30, None, "Lights the lantern",
         "One winter the lantern went out. For three days nobody knew whether the boats would come "
         "home. Now please open the map and look for the red mark."),
        ("Build Lantern", 40, "second", "Shakes",
         "The second drink is called Lantern. I shake thirty five millilitres of aged rum with "
         "twenty millilitres of lime juice. Twenty five millilitres of ginger syrup carry the "
         "heat."),
        ("Taste Lantern", 35, "second", "Serves the second drink",
         "On the nose there is roasted pineapple. The first sip brings bright ginger, and it ends "
         "with a touch of sea salt. Compare it with the first one, and notice how much warmer it "
         "feels."),
        ("Close", 25, None, "Puts out the lantern",
         "He never told us who lit the lantern again. I like to think that somebody was simply "
         "waiting. Thank you for waiting with me tonight."),
    ),
)  # fmt: skip

ORCHARD = _routine(
    "orchard",
    (
        _drink(
            "press", "Windfall",
            [("Apple brandy", 50, "ml"), ("Pear juice", 60, "ml"), ("Verjuice", 10, "ml")],
            ["baked apple", "pear", "almond"],
        ),
        _drink(
            "frost", "First Frost",
            [("Gin", 30, "ml"), ("Quince cordial", 20, "ml"), ("Soda water", 80, "ml")],
            ["quince", "juniper", "white pepper"],
        ),
    ),
    (
        ("Open", 25, None, "Stands still",
         "Time. Hello and welcome to our orchard. It stands on a hill above the river, and in "
         "autumn you can smell it before you can see it. Four trees are older than the house."),
        ("Press", 20, "press", "Presses pears",
         "While I talk, my hands are pressing pears. They were picked by my sister on Monday "
         "morning."),
        ("Build Windfall", 40, "press", "Stirs over ice",
         "Windfall is a stirred drink, so listen to the ice. It starts with fifty millilitres of "
         "apple brandy. I add sixty millilitres of fresh pear juice and ten millilitres of "
         "verjuice. I stir for thirty seconds until the glass is cold."),
        ("Taste Windfall", 35, "press", "Serves",
         "Now lift the glass to your nose. There is baked apple, warm and round. On the palate you "
         "will find ripe pear, and behind it almond, which comes from the seeds."),
        ("Change over", 12, None, "Changes the glasses", ""),
        ("The frost", 30, None, "Opens the box",
         "Then comes the night that every grower fears. The first frost takes what was not picked. "
         "What survives it becomes sweeter, and that is the story of the second drink."),
        ("Build First Frost", 40, "frost", "Builds in the glass",
         "I use thirty millilitres of gin in a tall glass. Twenty millilitres of quince cordial "
         "give it colour. Eighty millilitres of soda water make it long. It is served at four "
         "degrees."),
        ("Taste First Frost", 35, "frost", "Serves",
         "Take a long sip through the straw. You should find quince in the middle and juniper on "
         "the sides. Wait a moment, because white pepper arrives last."),
        ("Thanks", 25, None, "Bows",
         "Every bottle here was washed by somebody, and every pear was carried. This evening is "
         "for "
         "all of them. Judges, enjoy your drinks."),
    ),
)  # fmt: skip

NIGHT = _routine(
    "night",
    (
        _drink(
            "dusk", "Quiet Hour",
            [("Espresso", 40, "ml"), ("Oat milk", 60, "ml"), ("Walnut liqueur", 15, "ml")],
            ["dark chocolate", "walnut", "orange peel"],
        ),
        _drink(
            "dawn", "Early Bus",
            [("Cold brew", 100, "ml"), ("Jasmine syrup", 20, "ml"), ("Lemon juice", 10, "ml")],
            ["jasmine", "blackcurrant", "lemon"],
        ),
    ),
    (
        ("Greeting", 20, None, "Looks up",
         "Good morning, everyone. I work at night, and these two drinks are how my night begins "
         "and "
         "how it stops."),
        ("Grind", 15, "dusk", "Grinds", ""),
        ("Coffee", 40, "dusk", "Pulls the shots",
         "The coffee was grown at nineteen hundred metres by a family of seven. It was dried for "
         "twenty days under a roof. I chose it because it stays calm when milk arrives."),
        ("Build Quiet Hour", 40, "dusk", "Pours",
         "Forty millilitres of espresso come first. I warm sixty millilitres of oat milk to fifty "
         "five degrees, never more. Fifteen millilitres of walnut liqueur go in at the end."),
        ("Taste Quiet Hour", 35, "dusk", "Serves",
         "Please stir three times before you drink. You will taste dark chocolate, then walnut, "
         "and "
         "a long finish of orange peel. The body is heavy and smooth."),
        ("The street", 25, None, "Turns the sign",
         "At four in the morning the street belongs to bakers and to taxis. Nobody hurries, and "
         "everybody nods. I wanted to put that nod into a glass."),
        ("Build Early Bus", 35, "dawn", "Shakes",
         "One hundred millilitres of cold brew meet twenty millilitres of jasmine syrup. Ten "
         "millilitres of lemon juice wake it up. I shake it hard for twelve seconds."),
        ("Taste Early Bus", 35, "dawn", "Serves",
         "Smell it first, it opens with jasmine. In the mouth there is blackcurrant, bright and "
         "juicy. It closes with lemon, clean and short."),
        ("Goodbye", 20, None, "Switches off the light",
         "That is how I say good night when you say good morning. Thank you for staying up with "
         "me. "
         "Time."),
    ),
)  # fmt: skip

WEAVER = _routine(
    "weaver",
    (
        _drink(
            "warp", "Long Thread",
            [("Barley spirit", 45, "ml"), ("Green tea", 70, "ml"), ("Maple syrup", 10, "ml")],
            ["toasted rice", "green tea", "maple"],
        ),
        _drink(
            "weft", "Cross Thread",
            [("Dry vermouth", 50, "ml"), ("Plum juice", 30, "ml"), ("Vinegar", 5, "ml")],
            ["ripe plum", "rosemary", "red wine"],
        ),
    ),
    (
        ("Hello", 15, None, "Bows", "Hello, judges. My name is on the loom behind me."),
        ("The loom", 25, None, "Moves the shuttle",
         "A loom has two kinds of thread. The long thread waits, and the cross thread travels. "
         "Both of them are needed for a cloth."),
        ("Lay the cups", 12, None, "Lays four cups", ""),
        ("Water", 12, "warp", "Pours hot water", ""),
        ("Build Long Thread", 35, "warp", "Stirs",
         "The first drink is Long Thread. Forty five millilitres of barley spirit go in first. "
         "Then come seventy millilitres of green tea, and ten millilitres of maple syrup."),
        ("Taste Long Thread", 30, "warp", "Serves",
         "Please take a sip with me now. You will find toasted rice, then green tea. The finish is "
         "maple, long and quiet."),
        ("Turn", 8, None, "Turns the board", "Now we turn the cloth."),
        ("Build Cross Thread", 35, "weft", "Shakes",
         "The second drink is Cross Thread. Fifty millilitres of dry vermouth go in first. Then "
         "come thirty millilitres of plum juice, and five millilitres of vinegar."),
        ("Taste Cross Thread", 30, "weft", "Serves",
         "Please take a sip with me now. You will find ripe plum, then rosemary. The finish is red "
         "wine, short and dry."),
        ("Both", 25, None, "Puts the cups together",
         "Hold the two cups side by side. One of them waited and one of them travelled. Drink from "
         "both, and the cloth is whole."),
        ("Thread cut", 12, None, "Cuts a thread", "The thread is cut. Thank you, judges."),
    ),
)  # fmt: skip

KILN = _routine(
    "kiln",
    (
        _drink(
            "clay", "Wet Clay",
            [("Agave spirit", 40, "ml"), ("Carrot juice", 50, "ml"), ("Sherry", 20, "ml")],
            ["earth", "sweet carrot", "hazelnut"],
        ),
        _drink(
            "glaze", "Blue Glaze",
            [("White rum", 35, "ml"), ("Coconut water", 90, "ml"), ("Lime juice", 15, "ml")],
            ["coconut", "lime", "wet stone"],
        ),
    ),
    (
        ("At the door", 20, None, "Opens the kiln",
         "Come closer, it is still warm. This bowl left the fire six hours ago, and nobody has "
         "drunk from it yet."),
        ("Who made it", 30, None, "Lifts a bowl",
         "My teacher threw away nine bowls out of ten. I asked her why, and she said that a bowl "
         "is a promise. So tonight I made only four."),
        ("Build Wet Clay", 45, "clay", "Stirs in a jug",
         "This one is called Wet Clay, because it tastes of the ground. I measure forty "
         "millilitres of agave spirit. Fifty millilitres of carrot juice give it weight. Twenty "
         "millilitres of sherry dry it out again."),
        ("Pour", 10, "clay", "Pours into bowls", ""),
        ("Taste Wet Clay", 40, "clay", "Serves the bowls",
         "Take the bowl in both hands. First there is earth, like a garden after rain. Sweet "
         "carrot follows, and hazelnut stays behind when you put it down. Do not hurry with it."),
        ("Second firing", 25, None, "Turns the lamp blue",
         "A second firing makes the colour. It can ruin everything, and that is why we love it."),
        ("Build Blue Glaze", 40, "glaze", "Shakes",
         "For Blue Glaze I shake thirty five millilitres of white rum. Ninety millilitres of "
         "coconut water make it light. Fifteen millilitres of lime juice sharpen the edge."),
        ("Taste Blue Glaze", 35, "glaze", "Serves the glasses",
         "Drink it while the glass is frosted. You should notice coconut at once and lime right "
         "after. What remains is wet stone, clean as a river bed."),
        ("Stack", 8, None, "Stacks the bowls", ""),
        ("Keep the bowl", 20, None, "Gives the bowls away",
         "The bowl is yours to keep. If it breaks one day, then it was used, and that was the "
         "promise."),
    ),
)  # fmt: skip

ROUTINES = {each.id: each for each in (HARBOUR, ORCHARD, NIGHT)}

FRESH_ROUTINES = {each.id: each for each in (WEAVER, KILN)}
"""Of fresh takes alone."""

ALL_ROUTINES = ROUTINES | FRESH_ROUTINES


@cache
def checked(routine_id):
    """The case of a routine, its ledger, and its segments as they are to be said."""
    routine = ALL_ROUTINES[routine_id]
    case = case_of(Plan(routine, RULES))
    return case, ledger(case), spoken_segments(routine)
