"""Orders of serving: balanced, and dealt out by chance."""

from collections import Counter
from itertools import pairwise

import pytest

from server.domain.tasters.serving import orders, pair_sets, shuffled, triangle_sets, williams
from tests.table import table

SAMPLES = range(2, 9)


@pytest.mark.parametrize("samples", SAMPLES)
def test_every_sample_is_equally_often_in_every_place(samples):
    rows = williams(samples)
    counts = Counter((place, each) for row in rows for place, each in enumerate(row))
    assert len(counts) == samples * samples
    assert set(counts.values()) == {len(rows) // samples}


@pytest.mark.parametrize("samples", SAMPLES)
def test_every_sample_comes_equally_often_after_every_other(samples):
    rows = williams(samples)
    counts = Counter(pair for row in rows for pair in pairwise(row))
    assert len(counts) == samples * (samples - 1)
    assert len(set(counts.values())) == 1


@table("samples", SAMPLES)
@table("seed", range(5))
def test_orders_that_are_dealt_out_keep_that_balance(samples, seed):
    rows = [order.samples for order in orders(samples, 2 * len(williams(samples)), seed)]
    after = Counter(pair for row in rows for pair in pairwise(row))
    places = Counter((place, each) for row in rows for place, each in enumerate(row))
    assert len(set(after.values())) == len(set(places.values())) == 1


@pytest.mark.parametrize("tasters", [1, 5, 6, 13, 100])
def test_triangles_are_as_even_as_their_number_allows(tasters):
    sets = triangle_sets(tasters, seed=tasters)
    counts = Counter("".join(each.versions) for each in sets)
    assert len(sets) == tasters
    assert max(counts.values()) - min((counts[key] for key in counts), default=0) <= 1
    assert all(sorted(Counter(key).values()) == [1, 2] for key in counts)


def test_no_two_glasses_carry_the_same_three_digits():
    codes = [code for each in triangle_sets(100, seed=3) for code in each.codes]
    assert len(set(codes)) == 300
    assert all(code.isdecimal() and len(code) == 3 and code[0] != "0" for code in codes)


def test_the_odd_glass_is_the_one_of_which_there_is_one():
    for each in (*triangle_sets(12, seed=1), *pair_sets(4, seed=1)):
        version = each.version_of(each.odd)
        assert each.versions.count(version) == 1
    assert triangle_sets(1, seed=1)[0].version_of("000") is None


def test_either_glass_of_a_pair_comes_first_equally_often():
    firsts = Counter(each.versions[0] for each in pair_sets(20, seed=8))
    assert firsts == {"A": 10, "B": 10}


def test_the_same_draw_gives_the_same_order_and_another_another():
    assert triangle_sets(12, 5) == triangle_sets(12, 5) != triangle_sets(12, 6)
    assert shuffled(12, 5, "ada") == shuffled(12, 5, "ada") != shuffled(12, 5, "bea")
