from server.domain.claims.ledger import TextMark
from server.web.script.view import _apart


def test_of_overlapping_marks_the_more_pressing_is_shown():
    backed, unbacked = TextMark(0, 9, "a", "backed"), TextMark(5, 12, "b", "unbacked")
    after = TextMark(12, 15, "c", "backed")
    assert _apart([backed, unbacked, after]) == [unbacked, after]


def test_marks_beside_one_another_are_all_shown_in_order():
    first, second = TextMark(0, 4, "a", "backed"), TextMark(4, 9, "b", "contradicted")
    assert _apart([first, second]) == [first, second]
