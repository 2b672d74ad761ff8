"""Outside checks: means, variances and chances of worked networks (see `published`)."""

import pytest

from server.domain.risk.pert import chain_time, mean_s, variance_s2
from server.domain.routine.estimate import Estimate
from tests.domain.risk import published


def chain_of(network, chain):
    known = published.estimates(network)
    return chain_time(known[each] for each in chain)


def test_means_of_the_fourteen_activities():
    means = [mean_s(known) for known in published.estimates(published.FOURTEEN).values()]
    expected = "5.333 2.333 5.000 8.167 9.667 4.667 5.833 4.333 6.667 4.167 9.833 5.333 2.167 7.833"
    assert means == pytest.approx([float(each) for each in expected.split()], abs=0.001)


def test_variances_of_the_eight_activities():
    variances = [variance_s2(known) for known in published.estimates(published.EIGHT).values()]
    expected = [0.111, 0.111, 0.111, 0.444, 1.0, 1.778, 1.778, 0.111]
    assert variances == pytest.approx(expected, abs=0.001)


@pytest.mark.parametrize(
    ("network", "chain", "sd", "deadline", "chance"),
    [
        (published.EIGHT, "ACEGH", 1.7638, 16, 0.7146),
        (published.FOURTEEN, "ACEHIKMN", 3.346, 53, 0.7414),
        (published.FOURTEEN, "ACEHIKMN", 3.346, 55, 0.8935),
        (published.COURSE, "cfh", 1.3844, 43, 0.0927),
        (published.COURSE, "cfh", 1.3844, 48, 0.9889),
    ],
)
def test_deviation_and_chance_of_the_critical_chain(network, chain, sd, deadline, chance):
    time = chain_of(network, chain)
    assert time.sd_s == pytest.approx(sd, abs=0.001)
    assert time.chance_by(deadline) == pytest.approx(chance, abs=0.0005)


def test_a_certain_chain_is_in_time_or_it_is_not():
    time = chain_time([Estimate(5, 5, 5)])
    assert (time.chance_by(4.9), time.chance_by(5)) == (0.0, 1.0)
