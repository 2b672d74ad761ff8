"""Flavours of other drinks, places and times, beside those of the drink at hand."""

import pytest

from tests.domain.claims import said
from tests.table import table

ELSEWHERE = """
People want sweetness and smoke before noon.
Most recipes ask for sugar and cream and vanilla.
It could have been cherry, it could have been plum, and I didn't want either.
The first version was too sweet, the second was too sour.
I used to make it with grapefruit, but that was too bitter.
I tried it with mint, with basil, and nothing worked.
The harbour smelled of tar and smoke.
You would expect chocolate from a coffee like this.
Before this I had a coffee with notes of strawberry on my menu.
About lime. It was squeezed at noon.
I let the salt do its work.
A pinch of salt makes everything taste softer.
I picked green tea because it is dry.
My father used to stir a drink for a quarter of an hour.
The night boat takes fifty minutes and the last seat is mine.
I squeeze about thirty millilitres from each lime.
I bought two kilos of limes this morning.
She drank a litre of tea every morning.
On the coast it is minus five degrees in January.
I have one minute left, I think.
I have practised this for three months, four hours a day.
""".strip().splitlines()

HERE = """
Some [almond !t] in the finish, and [lime !t] at the front.
Most of you will find [lime !t] first.
What can be tasted here is [almond !t].
I tried hard to give you a taste of [lime !t].
Some people find [almond !t] in this drink.
Some [limes|lime !t] and some [almond !t] on the nose.
""".strip().splitlines()


@pytest.mark.usefixtures("by_rules_alone")
@table("line", ELSEWHERE)
def test_a_flavour_or_number_of_something_else_claims_nothing(line):
    found = said.compared(said.parsed(line, "quay", "en"))
    assert [find.phrase for _, find, _ in found if find] == []


@pytest.mark.parametrize("line", HERE)
def test_what_comes_back_to_the_glass_is_still_a_claim(line):
    text = said.parsed(line, "quay", "en")
    found = said.compared(text)
    assert len(text.labels) == len([1 for label, find, _ in found if label and find])
    assert [find.phrase for label, find, _ in found if label is None] == []
