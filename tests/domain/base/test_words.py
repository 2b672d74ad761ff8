"""Outside check of counting: the Gettysburg Address (Bliss copy, public domain) is given as 272
words, 271 where "battle-field" is one; "The North Wind and the Sun", the specimen text of the
Handbook of the International Phonetic Association, has 113 words in 5 sentences. Both texts are
written here from memory."""

from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.tokens import number_of, sentences_of, tokens_of
from tests.domain.shorthand import spoken_words
from tests.table import table

GETTYSBURG = (
    "Four score and seven years ago our fathers brought forth on this continent, a new nation, "
    "conceived in Liberty, and dedicated to the proposition that all men are created equal. "
    "Now we are engaged in a great civil war, testing whether that nation, or any nation so "
    "conceived and so dedicated, can long endure. We are met on a great battle-field of that war. "
    "We have come to dedicate a portion of that field, as a final resting place for those who here "
    "gave their lives that that nation might live. It is altogether fitting and proper that we "
    "should do this. But, in a larger sense, we can not dedicate -- we can not consecrate -- we "
    "can not hallow -- this ground. The brave men, living and dead, who struggled here, have "
    "consecrated it, far above our poor power to add or detract. The world will little note, nor "
    "long remember what we say here, but it can never forget what they did here. It is for us the "
    "living, rather, to be dedicated here to the unfinished work which they who fought here have "
    "thus far so nobly advanced. It is rather for us to be here dedicated to the great task "
    "remaining before us -- that from these honored dead we take increased devotion to that cause "
    "for which they gave the last full measure of devotion -- that we here highly resolve that "
    "these dead shall not have died in vain -- that this nation, under God, shall have a new birth "
    "of freedom -- and that government of the people, by the people, for the people, shall not "
    "perish from the earth."
)
NORTH_WIND = (
    "The North Wind and the Sun were disputing which was the stronger, when a traveler came along "
    "wrapped in a warm cloak. They agreed that the one who first succeeded in making the traveler "
    "take his cloak off should be considered stronger than the other. Then the North Wind blew as "
    "hard as he could, but the more he blew the more closely did the traveler fold his cloak "
    "around him; and at last the North Wind gave up the attempt. Then the Sun shined out warmly, "
    "and immediately the traveler took off his cloak. And so the North Wind was obliged to confess "
    "that the Sun was the stronger of the two."
)


def norms(text):
    return [token.norm for token in tokens_of(text)]


def sentences(text, language="en"):
    return [text[s.start : s.end] for s in sentences_of(text, language)]


def test_a_hyphen_parts_words_as_they_are_said():
    assert spoken_words(GETTYSBURG) == 272
    assert spoken_words(GETTYSBURG.replace("battle-field", "battlefield")) == 271


def test_known_texts_have_their_known_numbers_of_words_and_sentences():
    assert (spoken_words(NORTH_WIND), len(sentences(NORTH_WIND))) == (113, 5)
    assert len(sentences(GETTYSBURG)) == 10


@table(
    "text, words",
    [
        ("45 ml", 3),
        ("forty-five ml", 3),
        ("2.5", 3),
        ("½ oz", 2),
        ("1½ oz", 3),
        ("12 %", 2),
        ("55 °C", 3),
        ("don't stop", 2),
        ("— … !!", 0),
        ("🙂🍊", 0),
    ],
)
def test_digits_count_as_the_words_they_are_said_with(text, words):
    assert spoken_words(text) == words


def test_digits_are_said_in_the_language_of_the_talk():
    assert spoken_words("45", "de") == 1
    assert spoken_words("45", "es") == 3


@table(
    "text, found",
    [
        ("It’s here", ["it's", "here"]),
        ("4.5cl", ["4.5", "cl"]),
        ("50–55 °C", ["50", "55", "°c"]),
        ("cin\u00adnamon", ["cinnamon"]),
        ("a\u00a0sip", ["a", "sip"]),
        ("<b>silky</b>&nbsp;and <span style='x'>dry</span>", ["silky", "and", "dry"]),
        ("see https://example.org/a?b now", ["see", "now"]),
        ("שלום עולם", ["שלום", "עולם"]),
        ("نكهة البرتقال", ["نكهة", "البرتقال"]),
        ("cafe\u0301 crème", ["café", "crème"]),
        ("2 < 3 and 5 > 4", ["2", "3", "and", "5", "4"]),
    ],
)
def test_words_are_read_through_what_a_paste_brings_along(text, found):
    assert norms(text) == found


@table(
    "text, count",
    [
        ("One. Two! Three? Four… Five", 5),
        ("It is 1.5 oz of rum.", 1),
        ("Pour approx. 20 ml now.", 1),
        ("Pour 15 ml. Then stir.", 2),
        ("A line\nanother line", 2),
        ("“Really?” she said.", 1 + 1),
        ("...", 0),
        ("", 0),
    ],
)
def test_sentences_end_where_a_listener_hears_it(text, count):
    assert len(sentences(text)) == count


@given(st.text(max_size=200))
def test_every_token_is_a_stretch_of_the_text(text):
    tokens = tokens_of(text)
    ends = [0]
    for token in tokens:
        assert ends[-1] <= token.start < token.end <= len(text)
        ends.append(token.end)


@given(st.text(max_size=200))
def test_sentences_follow_one_another_and_keep_every_word(text):
    found = sentences_of(text)
    assert all(a.end <= b.start for a, b in pairwise(found))
    inside = [t for t in tokens_of(text) for s in found if s.start <= t.start and t.end <= s.end]
    words = [t for t in tokens_of(text) if any(c.isalnum() for c in t.norm)]
    assert len(inside) >= len(words) - text.count("\n") - text.count("<") - text.count("http")


def test_a_division_by_zero_is_no_number():
    assert number_of("1/0") is None
    assert number_of("1,250.5") == 1250.5
