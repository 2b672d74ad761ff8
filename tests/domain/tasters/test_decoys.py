"""Decoys: what a drink surely does not hold, near its words and far from them."""

import pytest

from server.demo import demo_file
from server.domain.base.amounts import Amount
from server.domain.claims.taxonomy import shipped
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.own_words import OwnWord
from server.domain.tasters.decoys import words_for
from server.domain.tasters.flavours import flavours_for
from tests.table import table

DRINKS = demo_file().routine.drinks


def decoys(drink, count=8, own=(), seed=1):
    return [each for each in words_for(drink, shipped(), count, own, seed) if each.is_decoy]


@table("drink", DRINKS, ids=lambda drink: drink.id)
@table("seed", range(6))
def test_no_decoy_is_a_word_of_the_drink_or_of_what_is_in_it(drink, seed):
    held = [*drink.descriptors, *(part.name for part in drink.ingredients)]
    held += [word for part in drink.ingredients for word in part.descriptors]
    taxonomy = shipped()
    related = {"same", "more general", "more particular"}
    for each in decoys(drink, 16, seed=seed):
        assert not related & {taxonomy.relation(each.word, other) for other in held}
        assert taxonomy.family(each.word) not in ("taste", "touch", "course")


@pytest.mark.parametrize("drink", DRINKS, ids=lambda drink: drink.id)
def test_half_of_the_decoys_are_near_and_half_far(drink):
    sorts = [each.sort for each in decoys(drink, 8)]
    assert (sorts.count("near"), sorts.count("far")) == (4, 4)


def test_a_near_decoy_is_of_the_group_of_a_word_while_there_is_one():
    drink = Drink("d", "Sour", descriptors=("orange",))
    (near,) = decoys(drink, 1)
    assert "citrus" in shipped().ancestors(near.word)


def test_a_far_decoy_is_of_a_family_that_the_drink_has_nothing_of():
    drink = Drink("d", "Sour", descriptors=("orange", "honey"))
    families = {shipped().family(word) for word in drink.descriptors}
    far = [each.word for each in decoys(drink, 20) if each.sort == "far"]
    assert far
    assert not families & {shipped().family(word) for word in far}


def test_what_an_ingredient_brings_is_no_decoy_though_nobody_says_it():
    part = Ingredient("i", "Cordial", Amount(10, "ml"), descriptors=("lemon", "jasmine"))
    drink = Drink("d", "Sour", ingredients=(part,), descriptors=("orange",))
    names = [each.word for each in decoys(drink, 30)]
    assert not {"lemon", "jasmine"} & set(names)


def test_your_own_decoys_come_first_and_words_of_the_card_are_none():
    drink = Drink("d", "Sour", descriptors=("orange",))
    found = decoys(drink, 2, own=("Orange", "brake fluid", "brake fluid"))
    assert [each.word for each in found if each.sort == "own"] == ["brake fluid"]
    assert len(found) == 2


def test_more_decoys_than_fit_are_as_many_as_fit():
    drink = Drink("d", "Sour", descriptors=("orange",))
    found = decoys(drink, 100_000)
    assert 20 < len(found) < 900
    assert len({each.word for each in found}) == len(found)


def test_words_and_decoys_stand_mixed():
    asked = words_for(DRINKS[0], shipped(), 7, (), seed=2)
    flags = [each.is_decoy for each in asked]
    assert flags not in (sorted(flags), sorted(flags, reverse=True))


def test_in_a_language_without_words_decoys_come_from_the_other_drinks():
    pear = Drink("d1", "Lampe", descriptors=("Birne",))
    part = Ingredient("i", "Sirup", Amount(10, "ml"), descriptors=("Heu", "Birnen"))
    other = Drink("d2", "Hafen", ingredients=(part,), descriptors=("Kirsche", "Birne"))
    asked = words_for(pear, flavours_for("other"), 5, (), 1, (pear, other))
    assert {each.word: each.sort for each in asked} == {
        "Birne": "stated", "Kirsche": "other", "Heu": "other",
    }  # fmt: skip


@table("language", ["de", "fr", "es", "it", "pt"])
def test_decoys_are_of_the_language_of_the_routine_half_of_them_near(language):
    flavours = flavours_for(language)
    names = [name for name, word in flavours.words.items() if not word.is_silent]
    drink = Drink("d", "Sour", descriptors=tuple(names[:2]))
    asked = [each for each in words_for(drink, flavours, 8, (), 1) if each.is_decoy]
    assert [each.sort for each in asked].count("near") == 4
    assert {each.word for each in asked} <= set(names[2:])


def test_a_decoy_does_not_stand_within_a_word_of_the_drink_that_is_written_as_one():
    drink = Drink("d", "Sauer", descriptors=("Orangenschale", "Honigmelone"))
    asked = [each.word for each in words_for(drink, flavours_for("de"), 100, (), 1)]
    assert not {"Orange", "Melone"} & set(asked)


def test_a_word_of_ones_own_is_a_decoy_where_it_is_a_kind_of_a_known_one():
    flavours = flavours_for("de", (OwnWord("Zitronenkuchen", kind_of="Zitrone"),))
    drink = Drink("d", "Sauer", descriptors=("Limette",))
    assert "Zitronenkuchen" in [each.word for each in words_for(drink, flavours, 100, (), 1)]
