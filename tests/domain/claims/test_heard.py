"""What of the claims is said, and what is forgotten most."""

from server.domain.claims.heard import HeardDescriptor, most_forgotten


def test_the_most_forgotten_descriptor_comes_first():
    ticks = {
        "plum": [True] * 10,
        "clove": [False] * 5 + [True] * 5,
        "hay": [False],
        "never ticked": [],
    }
    assert [row.label for row in most_forgotten(ticks)] == ["clove", "hay", "plum"]


def test_heard_counts_what_was_ticked():
    row = HeardDescriptor.of("plum", [True, False, True])
    assert (row.said, row.runs) == (2, 3)
