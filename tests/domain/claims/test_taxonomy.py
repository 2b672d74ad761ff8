"""Outside check of the relations: WordNet 3.1 (Princeton University), noun database, whose data are
named by the eight-digit offset of each synset. The pairs below were read in it: the food sense of
the word, and the more general synset above it. No WordNet data are shipped."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.base.tokens import tokens_of
from server.domain.claims.lexicon import lexicon_for
from server.domain.claims.mentions import mentions_in
from server.domain.claims.taxonomy import extended, for_language, shipped
from server.domain.routine.own_words import OwnWord
from tests.table import table

TAXONOMY = shipped()
SAYABLE = sorted(name for name, word in TAXONOMY.words.items() if not word.is_silent)
words = st.sampled_from(SAYABLE)

# (our word, its synset, WordNet's name above it, that synset, what we call it)
WORDNET = [
    ("orange", "07763583", "citrus", "07763031", "citrus"),
    ("lemon", "07765558", "citrus", "07763031", "citrus"),
    ("lime", "07765707", "citrus", "07763031", "citrus"),
    ("grapefruit", "07765945", "citrus", "07763031", "citrus"),
    ("mandarin", "07763927", "citrus", "07763031", "citrus"),
    ("peach", "07766980", "drupe", "13159085", "stone fruit"),
    ("plum", "07767427", "drupe", "13159085", "stone fruit"),
    ("cherry", "07773108", "drupe", "13159085", "stone fruit"),
    ("apple", "07755101", "pome", "13159619", "orchard fruit"),
    ("pear", "07783823", "pome", "13159619", "orchard fruit"),
    ("raisin", "07768640", "dried_fruit", "07768353", "dried fruit"),
    ("raspberry", "07761442", "berry", "07758680", "berry"),
    ("strawberry", "07761916", "berry", "07758680", "berry"),
    ("blueberry", "07759520", "berry", "07758680", "berry"),
    ("blackcurrant", "07760535", "berry", "07758680", "berry"),
    ("almond", "07766562", "edible_nut", "07753057", "nut"),
    ("hazelnut", "07788764", "edible_nut", "07753057", "nut"),
    ("walnut", "07787188", "edible_nut", "07753057", "nut"),
    ("peanut", "07753721", "edible_nut", "07753057", "nut"),
    ("cinnamon", "07830179", "spice", "07828160", "spice"),
    ("clove", "07830463", "spice", "07828160", "spice"),
    ("nutmeg", "07831400", "spice", "07828160", "spice"),
    ("star anise", "07842906", "spice", "07828160", "spice"),
    ("ginger", "07831139", "spice", "07828160", "spice"),
    ("mint", "07835142", "herb", "07827392", "herb"),
    ("rosemary", "07836121", "herb", "07827392", "herb"),
    ("butter", "07864314", "dairy_product", "07859751", "dairy"),
    ("cream", "07863174", "dairy_product", "07859751", "dairy"),
    ("caramel", "07610751", "sugar", "07875260", "cooked sugar"),
    ("brown sugar", "07612023", "sugar", "07875260", "cooked sugar"),
]


@table("word, synset, above, above_synset, ours", WORDNET)
def test_what_is_more_general_in_wordnet_is_so_here(word, synset, above, above_synset, ours):
    assert TAXONOMY.relation(ours, word) == "more general"
    assert TAXONOMY.relation(word, ours) == "more particular"


def test_where_wordnet_keeps_to_botany_we_keep_to_taste():
    # WordNet has coconut (07788911) among edible nuts, and no apricot (07766848) among drupes.
    assert TAXONOMY.relation("tropical fruit", "coconut") == "more general"
    assert TAXONOMY.relation("stone fruit", "apricot") == "more general"


def test_there_are_some_fourteen_hundred_words_and_more_synonyms():
    forms = sum(len(word.forms) for word in TAXONOMY.words.values())
    assert 1300 <= len(SAYABLE) <= 1500
    assert forms >= 2000


def test_every_word_has_its_place_under_a_family():
    families = {word.name for word in TAXONOMY.words.values() if word.parent is None}
    assert {TAXONOMY.family(name) for name in TAXONOMY.words} == families


def test_no_form_belongs_to_two_sayable_words():
    owners = {}
    for name in SAYABLE:
        for form in (name, *TAXONOMY.words[name].forms):
            owners.setdefault(form.lower(), set()).add(name)
    assert {form: who for form, who in owners.items() if len(who) > 1} == {}


# Pairs of the list of irregular adjectives of WordNet 3.1 (adj.exc): these are spelt by rule.
COMPARED = [
    ("thinner", "thin"), ("leaner", "lean"), ("smokier", "smoky"), ("fluffier", "fluffy"),
    ("stickier", "sticky"), ("spicier", "spicy"), ("fruitier", "fruity"), ("nuttier", "nutty"),
    ("denser", "dense"), ("crunchier", "crunchy"), ("waxier", "waxy"), ("staler", "stale"),
]  # fmt: skip


@table("form, adjective", COMPARED)
def test_an_adjective_of_taste_or_touch_is_compared_without_being_listed(form, adjective):
    assert TAXONOMY.resolve(form) == TAXONOMY.resolve(adjective) is not None
    listed = {each for word in TAXONOMY.words.values() for each in (word.name, *word.forms)}
    assert form not in listed


@pytest.mark.parametrize("form", ["longer", "heater", "stinger", "flatter", "number", "witness"])
def test_what_is_no_word_of_taste_is_not_made_one(form):
    assert TAXONOMY.resolve(form) != form
    assert not any(form in word.made for word in TAXONOMY.words.values())


@table(
    "text, word, needs_company",
    [
        ("leafy", "leafy", False), ("vegetal", "vegetable", True), ("short", "short", True),
        ("smokier", "smoke", False), ("stickiness", "sticky", False), ("thinner", "thin", True),
        ("exotic", "tropical fruit", True), ("chilly", "cold", True), ("chilli", "chilli", False),
        ("burning", "burning", True), ("burn", "boozy", True), ("greens", "steamed greens", True),
        ("green", "green", True),
    ],
)  # fmt: skip
def test_a_word_is_read_as_it_is_spelt_and_everyday_ones_need_company(text, word, needs_company):
    (mention,) = mentions_in(tokens_of(text), lexicon_for((), "en", ()))
    assert (mention.descriptor.word, mention.descriptor.needs_company) == (word, needs_company)


@table(
    "claimed, brought, relation",
    [
        ("smoky", "smoke", "same"),
        ("zest of orange", "orange peel", "same"),
        ("cassis", "black currant", "same"),
        ("fruity", "fruit", "same"),
        ("citrus", "blood orange", "more general"),
        ("apricot", "dried apricot", "more general"),
        ("dried apricot", "apricot", "more particular"),
        ("orange", "citrus", "more particular"),
        ("light-bodied", "syrupy", "opposite"),
        ("dry", "sugary", "opposite"),
        ("silky", "gritty", "opposite"),
        ("hot", "ice-cold", "opposite"),
        ("orange", "lemon", "none"),
        ("rose", "walnut", "none"),
    ],
)
def test_two_words_are_related_by_meaning_not_by_spelling(claimed, brought, relation):
    assert TAXONOMY.relation(claimed, brought) == relation


def test_an_unknown_phrase_finds_its_place_by_its_known_words():
    assert TAXONOMY.relation("ripe pear", "pear") == "more particular"
    assert TAXONOMY.relation("pear", "grandmother's pear") == "more general"
    assert TAXONOMY.ancestors("grandmother's ladder") == ()


def test_what_a_thing_is_to_the_touch_does_not_make_it_a_touch():
    assert TAXONOMY.relation("warm", "warm ginger") == "none"


@given(words, words)
def test_the_relation_read_backwards_is_the_converse(one, other):
    converse = {"more general": "more particular", "more particular": "more general"}
    forth, back = TAXONOMY.relation(one, other), TAXONOMY.relation(other, one)
    assert back == converse.get(forth, forth)


@given(words, words, words)
def test_more_general_carries_over(one, middle, other):
    up = TAXONOMY.relation(one, middle) == "more general"
    if up and TAXONOMY.relation(middle, other) == "more general":
        assert TAXONOMY.relation(one, other) == "more general"


@given(words)
def test_no_word_is_its_own_opposite(word):
    assert not TAXONOMY.is_opposite(word, word)


def test_a_routine_adds_words_of_its_own():
    own = OwnWord("gorse", kind_of="floral", synonyms=("whin",))
    grown = extended(TAXONOMY, [own])
    assert grown.relation("flower", "whin") == "more general"
    assert TAXONOMY.resolve("gorse") is None


def test_an_own_word_can_have_an_opposite():
    grown = extended(TAXONOMY, [OwnWord("crackling", opposite_of="silky")])
    assert grown.relation("crackling", "silk") == "opposite"


def test_an_own_word_of_an_unknown_kind_stands_alone():
    grown = extended(TAXONOMY, [OwnWord("gorse", kind_of="shrubbery")])
    assert grown.ancestors("gorse") == ()


def test_a_shipped_word_can_be_moved():
    grown = extended(TAXONOMY, [OwnWord("coconut", kind_of="nut")])
    assert grown.relation("nut", "coconut") == "more general"


@pytest.mark.parametrize("word", ["", "   ", "…", "🙂"])
def test_an_own_word_without_letters_is_refused(word):
    with pytest.raises(InvalidInput):
        OwnWord(word)


def test_other_languages_start_empty():
    german = extended(for_language("de"), [OwnWord("Zimt")])
    assert german.resolve("zimt") == "Zimt"
    assert german.resolve("cinnamon") is None
