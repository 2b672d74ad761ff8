"""Triangle tests and preferences: the figures of the standards, and SciPy's binomial."""

import pytest
from scipy import stats

from server.domain.base.errors import InvalidInput
from server.domain.tasters.telling_apart import DifferenceAim, critical, needed, outcome, power

ISO_4120_FIVE_PERCENT = {
    6: 5, 7: 5, 8: 6, 9: 6, 10: 7, 11: 7, 12: 8, 15: 9, 18: 10, 20: 11, 24: 13, 30: 15, 36: 18,
    42: 20, 48: 22, 60: 27,
}  # fmt: skip
"""Tasters -> fewest right for a difference at 5 % (ISO 4120, table A.1), from memory."""

ISO_4120_NEEDED = {0.5: 23, 0.4: 40, 0.3: 66, 0.2: 147, 0.1: 572}
"""Share who can tell -> tasters for 5 % and 5 % (ISO 4120, table A.3), from memory."""


def test_the_fewest_right_are_those_of_the_standard():
    found = {n: critical("triangle", n, 0.05) for n in ISO_4120_FIVE_PERCENT}
    assert found == ISO_4120_FIVE_PERCENT


def test_the_tasters_needed_are_those_of_the_standard():
    found = {pd: needed("triangle", DifferenceAim(pd, 0.05, 0.05)) for pd in ISO_4120_NEEDED}
    assert found == ISO_4120_NEEDED


@pytest.mark.parametrize("kind", ["triangle", "preference"])
@pytest.mark.parametrize("alpha", [0.05, 0.01])
def test_the_fewest_are_the_first_that_scipy_finds_rare_enough(kind, alpha):
    guess, tail = (1 / 3, alpha) if kind == "triangle" else (0.5, alpha / 2)
    for tasters in range(1, 121):
        found = critical(kind, tasters, alpha)
        rare = [k for k in range(tasters + 1) if stats.binom.sf(k - 1, tasters, guess) <= tail]
        assert found == (rare[0] if rare else None)


@pytest.mark.parametrize("kind", ["triangle", "preference"])
@pytest.mark.parametrize(
    "aim",
    [DifferenceAim(0.5, 0.05, 0.2), DifferenceAim(0.3, 0.01, 0.1), DifferenceAim(0.4, 0.1, 0.05)],
)
def test_the_tasters_needed_are_the_first_with_enough_power_by_scipy(kind, aim):
    guess, tail = (1 / 3, aim.alpha) if kind == "triangle" else (0.5, aim.alpha / 2)
    right = guess + (1 - guess) * aim.pd

    def scipys_power(tasters):
        fewest = int(stats.binom.isf(tail, tasters, guess)) + 1
        return stats.binom.sf(fewest - 1, tasters, right)

    wanted = next(n for n in range(1, 2000) if scipys_power(n) >= 1 - aim.beta)
    assert needed(kind, aim) == wanted
    assert power(kind, wanted, aim) == pytest.approx(scipys_power(wanted))


def test_what_can_be_told_from_too_few():
    assert critical("triangle", 2, 0.05) is None
    assert power("triangle", 2, DifferenceAim()) == 0.0
    assert outcome("triangle", 2, 2, 0.05).tells(0.05) is False
    assert outcome("triangle", 0, 0, 0.05).tells(1.0) is False


def test_more_tasters_than_anybody_has_are_none():
    assert needed("preference", DifferenceAim(0.05, 0.001, 0.001)) is None


def test_the_share_who_can_tell_lies_within_its_bounds():
    seen = outcome("triangle", 20, 30, 0.05)
    # 20 of 30: a half can tell; Wilson's 0.488 to 0.808 become 0.23 to 0.71.
    assert (round(seen.least, 2), round(seen.most, 2)) == (0.23, 0.71)
    assert outcome("triangle", 3, 30, 0.05).least == 0.0


def test_an_aim_out_of_reach_is_refused():
    with pytest.raises(InvalidInput):
        DifferenceAim(pd=1.0)
