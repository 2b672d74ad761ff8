"""Flavours in scenes, acts and general truths claim nothing; the same words of the drink do."""

from tests.domain.claims import said
from tests.table import table


def phrases(drink_id, text):
    one = said.Said(drink_id, "en", text, ())
    return [find.phrase for _, find, _ in said.compared(one) if find.kind == "descriptor"]


@table(
    "text",
    [
        "I light the rosemary and I blow it out.",
        "I ferment it myself.",
        "I roast coffee.",
        "Pears don't like to be rushed.",
        "Robusta is often described as rubbery, woody or burnt.",
        "I could have gone for something smoky, something loud.",
        "Next year I want to do something with smoke and tar.",
        "When the baker opened the hatch you got butter.",
        "I don't like when a drink is only sour.",
    ],
)
def test_a_scene_an_act_or_a_truth_of_the_world_claims_nothing(text):
    assert phrases("loft", text) == []


@table(
    "text, found",
    [
        ("To me it says hay.", ["hay"]),
        ("It leaves you with toast.", ["toast"]),
        ("What hits you is the elderflower.", ["elderflower"]),
        ("The pear comes up, then the elderflower.", ["pear", "elderflower"]),
        ("The texture should be silky.", ["silky"]),
        ("It goes from smoke to plum.", ["smoke", "plum"]),
        ("Something like apple peel and, if you wait, elderflower.", ["apple peel", "elderflower"]),
        ("In the beginning is sour.", ["sour"]),
    ],
)
def test_a_taste_is_found_in_the_words_of_those_who_tell_it_another_way(text, found):
    assert phrases("loft", text) == found
