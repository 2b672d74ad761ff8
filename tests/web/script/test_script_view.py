from server.domain.claims.ledger import Mark
from server.web.script.view import _apart


def test_of_overlapping_marks_the_more_pressing_is_shown():
    backed, unbacked = Mark(0, 9, "a", "backed"), Mark(5, 12, "b", "unbacked")
    after = Mark(12, 15, "c", "backed")
    assert _apart([backed, unbacked, after]) == [unbacked, after]


def test_marks_beside_one_another_are_all_shown_in_order():
    first, second = Mark(0, 4, "a", "backed"), Mark(4, 9, "b", "contradicted")
    assert _apart([first, second]) == [first, second]
