"""The words page: what is known of flavour, aroma and texture, and what a routine adds."""

import pytest

from server.domain.routine.own_words import OwnWord
from tests.factories import make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, kept

WORDS = "/routines/r1/words"
NEW = f"{WORDS}/new"


@pytest.fixture
def path(client):
    said = "You will find membrillo."
    return keep(client, make_routine(segments=(make_segment("s1", said=said),)))


def test_words_are_browsed_by_family_group_and_word_with_their_synonyms(client, path):
    page = Page(client.get(WORDS))
    fruit = next(each for each in page.all("details") if "fruit" in each[0].text_content())
    shown = fruit.text_content()
    assert shown.index("citrus") < shown.index("orange zest")
    assert len(page.all("details")) >= 8


def test_some_fourteen_hundred_words_are_known(client, path):
    counts = Page(client.get(WORDS)).texts(".families summary small")
    assert 1300 <= sum(int(each.split()[0]) for each in counts) <= 1500


@pytest.mark.parametrize(
    ("phrase", "told"),
    [
        ("orange zest", "fruit › citrus › orange › orange zest"),
        ("ripe pear", "fruit › orchard fruit › pear"),
        ("anvil", "is not known"),
    ],
)
def test_a_phrase_can_be_looked_up(client, path, phrase, told):
    assert told in Page(client.get(WORDS, params={"find": phrase})).text("main [role=status]")


def test_a_word_of_ones_own_is_kept_found_and_taken_out_again(client, path):
    typed = {"word": "quince paste", "kind_of": "fruit", "synonyms": "membrillo, cotognata"}
    assert client.post(NEW, data=typed).status_code == 303
    assert kept(client).own_words == (
        OwnWord("quince paste", "fruit", ("membrillo", "cotognata")),
    )  # fmt: skip
    assert "quince paste" in client.get("/routines/r1/claims").text
    client.post(f"{WORDS}/delete", data={"gone": "quince paste"})
    assert kept(client).own_words == ()


def test_a_word_of_ones_own_stands_in_the_arrangement(client, path):
    client.post(NEW, data={"word": "quince paste", "kind_of": "orchard fruit"})
    page = Page(client.get(WORDS, params={"find": "quince paste"}))
    assert "fruit › orchard fruit › quince paste" in page.text("main [role=status]")


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"word": ""}, "word", "Give it a name."),
        ({"word": "☕"}, "word", "has no letters to look for"),
        ({"word": "x" * 121}, "word", "Keep it to 120 characters"),
        ({"word": "fig", "synonyms": "!!"}, "synonyms", "has no letters to look for"),
        ({"word": "fig", "kind_of": "anvil"}, "kind_of", "is none of the words below"),
        ({"word": "fig", "opposite_of": "anvil"}, "opposite_of", "is none of the words below"),
    ],
)
def test_a_word_that_cannot_be_taken_is_refused_beside_its_field(client, path, typed, field, told):
    page = Page(client.post(NEW, data=typed))
    assert page.status == 422
    assert told in page.fault(field, NEW)
    assert page.typed("word", NEW) == typed["word"]


def test_the_same_word_twice_is_refused(client, path):
    client.post(NEW, data={"word": "fig leaf"})
    page = Page(client.post(NEW, data={"word": "Fig Leaf"}))
    assert "one of your words already" in page.fault("word", NEW)


def test_a_word_that_is_no_longer_there_cannot_be_taken_out(client, path):
    assert client.post(f"{WORDS}/delete", data={"gone": "nothing"}).status_code == 404


def test_a_language_without_shipped_words_starts_empty_and_takes_own_ones(client):
    keep(client, make_routine(language="de"))
    assert "English only" in Page(client.get(WORDS)).text(".notice")
    client.post(NEW, data={"word": "Rauch"})
    assert Page(client.get(WORDS)).texts(".families summary") == ["Rauch 1"]
