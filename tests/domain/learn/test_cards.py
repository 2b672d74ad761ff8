"""Cue cards."""

from server.domain.claims.due import DueClaim
from server.domain.learn.cards import MOST_LINES, cue_cards
from tests.factories import make_routine, make_segment


def test_a_card_has_the_first_words_of_each_sentence_and_the_claims_said():
    routine = make_routine(
        segments=(
            "s1",
            make_segment("s2", said="In this jug are plums. Please sip.", hands="Pour."),
        )
    )
    due = (
        DueClaim("k1", "plum", "d1", ("s2",), True),
        DueClaim("k2", "rosehip", "d1", ("s2",), False),
    )
    (card,) = cue_cards(routine, due)
    assert (card.number, card.start_s, card.lines) == (2, 60, ("In this jug are …", "Please sip."))
    assert card.claims == ("plum",)


def test_a_long_segment_goes_on_another_card():
    said = " ".join(f"Sentence {number} is short." for number in range(MOST_LINES + 2))
    cards = cue_cards(make_routine(segments=(make_segment("s1", said=said),)))
    assert [(card.part, card.parts, len(card.lines)) for card in cards] == [
        (1, 2, MOST_LINES),
        (2, 2, 2),
    ]


def test_a_routine_without_words_has_no_cards():
    assert cue_cards(make_routine()) == ()
