from server.domain.base.memo import Memo


def made(memo, key, basis):
    """What the memo has under `key`, and whether it was made just now."""
    makings = []

    def make():
        makings.append(key)
        return f"{key} of {basis}"

    return memo.of(key, basis, make), bool(makings)


def test_what_is_made_from_the_same_is_made_once():
    memo = Memo(most=2)
    assert made(memo, "run", [612, "First"]) == ("run of [612, 'First']", True)
    assert made(memo, "run", [612, "First"]) == ("run of [612, 'First']", False)


def test_what_is_made_from_something_else_is_made_anew():
    memo = Memo(most=2)
    made(memo, "run", 612)
    assert made(memo, "run", 590) == ("run of 590", True)
    assert made(memo, "run", 612) == ("run of 612", True)


def test_no_more_is_kept_than_was_said_and_the_oldest_goes():
    memo = Memo(most=2)
    for key in ("first", "second", "third"):
        made(memo, key, 1)
    assert len(memo) == 2
    assert made(memo, "third", 1) == ("third of 1", False)
    assert made(memo, "first", 1) == ("first of 1", True)
