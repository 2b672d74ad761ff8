"""Turns of speech, short forms without their mark, and words that are only spoken of."""

import pytest

from tests.domain.claims import said
from tests.table import table


def tastes(drink_id, text):
    """ "-" for what is denied, "~" for what is there within bounds, and the phrase."""
    marks = {"lacks": "-", "some": "~", "has": ""}
    finds = said.compared(said.Said(drink_id, "en", text, ()))
    return [
        marks[find.polarity] + find.phrase.casefold()
        for _, find, _ in finds
        if find.kind == "descriptor"
    ]


@pytest.mark.usefixtures("by_rules_alone")
@table(
    "text",
    [
        "My aunt has a sweet tooth.",
        "In a nutshell, that is the sour part of the job.",
        "It's the icing on the cake.",
        "He had a warm welcome and a cold shoulder.",
        "I tried chilli; it was a trick.",
        "I'd like to defend rosemary.",
        "Without the syrup it would be harsh.",
        "Lime would flatten it.",
        "If it's lukewarm, send it back.",
        'They come in and say, "Just something hot."',
        "Apples, some people cannot have them.",
        "A syrup with cinnamon and star anise.",
        "There's alcohol in it, very little.",
        "You drink it through a straw.",
    ],
)
def test_what_is_only_spoken_of_claims_no_taste(text):
    assert tastes("kettle", text) == []


def test_a_tea_that_was_roasted_tastes_of_nothing_yet():
    assert tastes("platform", "A machine does hot roasted tea in a can.") == []


@table(
    "text, wanted",
    [
        ("its dry its icy and theres no smoke in it", ["dry", "icy", "-smoke"]),
        ("its finish is dry", ["dry"]),
        ("It isnt sweet, it's tart.", ["-sweet", "tart"]),
    ],
)
def test_a_short_form_without_its_mark_is_read_as_one(text, wanted):
    assert tastes("slush", text) == wanted


@pytest.mark.usefixtures("by_rules_alone")
@table(
    "text, wanted",
    [
        ("Strawberry up front, basil on the exhale.", ["strawberry", "basil"]),
        ("Top of the glass it's all basil.", ["basil"]),
        ("Under that, basil.", ["basil"]),
        ("The basil does most of the talking.", ["basil"]),
        ("What surprises people is how light it is.", ["light"]),
        ("I'd sooner have it tart than sweet.", ["tart", "-sweet"]),
        ("It doesn't make it heavy.", ["-heavy"]),
        ("Nobody finds it heavy.", ["-heavy"]),
        ("It couldn't be drier if it tried.", ["drier"]),
        ("It's no more sweet than a pear.", ["~sweet"]),
        ("It's not sweet, not very.", ["~sweet"]),
        ("Forget smoke, it's tart.", ["-smoke", "tart"]),
        ("You'd expect it to be thin; this one is thick.", ["-thin", "thick"]),
        ("If it's sweetness you're after, look elsewhere.", ["-sweetness"]),
        ("You won't taste the alcohol.", ["-alcohol"]),
        ("It's melony and a bit figgy.", ["melony", "figgy"]),
        ("There is a tiny spoon beside it, tiny as a pin.", []),
    ],
)
def test_a_taste_is_found_where_people_put_it(text, wanted):
    assert tastes("slush", text) == wanted


def states(drink_id, text):
    finds = said.compared(said.Said(drink_id, "en", text, ()))
    return [(find.word, state) for _, find, state in finds if find.kind == "free"]


@table(
    "drink_id, text, wanted",
    [
        ("whey", "I've left out the sugar.", ["sugar"]),
        ("whey", "I've left egg out.", ["egg"]),
        ("whey", "Nuts: none. Egg: none.", ["nuts", "egg"]),
        ("still", "It's got no grog in it.", ["alcohol"]),
        ("whey", "It's free of nuts, but not of dairy.", ["nuts"]),
    ],
)
def test_what_is_left_out_or_listed_as_none_is_not_in_it(drink_id, text, wanted):
    assert [word for word, _ in states(drink_id, text)] == wanted


@table(
    "drink_id, text, state",
    [
        # Macadamia cream comes of no animal; butter is no cream; an exception names what is left.
        ("veranda", "It's vegan.", "unchecked"),
        ("kettle", "There's no cream in there.", "unchecked"),
        ("kettle", "There's no dairy in there.", "contradicted"),
        ("platform", "It's got no sugar apart from what's in the cordial.", "backed"),
        ("platform", "It's got no sugar.", "contradicted"),
    ],
)
def test_a_denial_is_contradicted_only_by_what_it_denies(drink_id, text, state):
    assert [told for _, told in states(drink_id, text)] == [state]
