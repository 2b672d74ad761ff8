"""The next run in words: the same wherever it is told."""

import doctest

import numpy as np
import pytest

from server.domain.belief.believe import PastTotal, Why
from server.domain.belief.total import TotalAhead
from server.domain.risk import saying
from server.domain.risk.saying import in_a_hundred, past_words, why_words

AHEAD = TotalAhead(log_s=np.log(595), scale=0.015, freedom=8, rate=0.0)


def test_the_examples_hold():
    assert doctest.testmod(saying).failed == 0


@pytest.mark.parametrize(
    ("chance", "words"),
    [(0.0, "under 1 in 100"), (0.0051, "1 in 100"), (0.994, "99 in 100"), (1, "over 99 in 100")],
)
def test_nothing_is_told_as_never_or_always(chance, words):
    assert in_a_hundred(chance) == words


@pytest.mark.parametrize(
    ("why", "words"),
    [
        (Why(0, 0.0, 0.0, 1.0), "Rests on your plan alone: no run counts yet."),
        (Why(1, 1.0, 0.1, 0.7), "Rests on one run; your plan counts for 70 %."),
        (
            Why(5, 5.0, 0.0, 1.0),
            "Rests on your plan at the pace of five runs: none measured these segments.",
        ),
        (Why(2, 2.0, 3.0, 0.7), "Rests on two runs; your plan counts for 70 %."),
        (
            Why(12, 5.9, -2.2, 0.04),
            "Rests on twelve runs, mostly the latest six; 2 s faster a run of late; "
            "your plan counts for 4 %.",
        ),
        (
            Why(9, 8.0, 1.6, 0.001),
            "Rests on all nine runs alike; 2 s slower a run of late; "
            "your plan counts for under 1 %.",
        ),
    ],
)
def test_one_line_says_what_a_forecast_rests_on(why, words):
    assert why_words(why) == words


def test_how_earlier_forecasts_did_is_told_from_the_third_on():
    past = [PastTotal(AHEAD, took_s) for took_s in (595.0, 596.0, 700.0)]
    assert past_words(past[:2]) == ""
    assert past_words(past) == (
        "2 of 3 earlier runs finished between the times given; 8 in 10 should."
    )
