import pytest
from hypothesis import given
from hypothesis import strategies as st

from server.domain.base.errors import InvalidInput
from server.domain.routine.rules import RuleSheet
from tests.domain.strategies import rule_sheets


def sheet(**changes):
    return RuleSheet(**{"id": "r", "name": "House", **changes})


@pytest.mark.parametrize(
    ("total_s", "points"), [(600, 0), (600.001, 1), (601, 1), (601.2, 2), (0, 0)]
)
def test_each_started_second_past_the_slot_costs_its_points(total_s, points):
    assert sheet().penalty(total_s) == points


def test_no_point_is_lost_within_the_grace():
    house = sheet(grace_s=5.0, penalty_per_s=2.0)
    assert (house.penalty(605.0), house.penalty(605.1)) == (0, 2)


def test_the_penalty_stops_at_its_cap():
    assert sheet(penalty_cap=10.0).penalty(700) == 10
    assert sheet(penalty_cap=None).penalty(700) == 100


def test_binary_dust_in_a_sum_of_seconds_starts_no_second():
    assert sheet().penalty(600.1 + 0.2 + 0.7) == 1


@pytest.mark.parametrize(("total_s", "stopped"), [(660, False), (660.1, True)])
def test_a_run_past_the_cutoff_is_stopped(total_s, stopped):
    assert sheet(cutoff_s=660.0).is_cut_off(total_s) is stopped


def test_without_a_cutoff_nobody_is_stopped():
    assert not sheet(cutoff_s=None).is_cut_off(10_000)


def test_the_target_may_be_the_end_of_the_slot_and_the_cutoff_too():
    house = sheet(target_s=600.0, cutoff_s=600.0)
    assert house.target_s == house.slot_s == house.cutoff_s


def test_a_new_rule_sheet_has_a_ten_minute_slot():
    house = sheet()
    assert (house.slot_s, house.target_s, house.serves_per_drink) == (600, 590, 4)
    assert (house.grace_s, house.penalty_per_s, house.penalty_cap) == (0, 1, None)


@pytest.mark.parametrize(
    ("changes", "field"),
    [
        ({"name": "  "}, "name"),
        ({"slot_s": 0.0, "target_s": 0.0}, "slot"),
        ({"target_s": 601.0}, "target"),
        ({"cutoff_s": 599.0}, "cutoff"),
    ],
)
def test_a_rule_sheet_that_contradicts_itself_cannot_exist(changes, field):
    with pytest.raises(InvalidInput) as refused:
        sheet(**changes)
    assert field in [fault.field for fault in refused.value.faults]


def test_every_fault_of_a_rule_sheet_is_told_at_once():
    with pytest.raises(InvalidInput) as refused:
        sheet(name="", target_s=700.0, cutoff_s=10.0)
    assert [fault.field for fault in refused.value.faults] == ["name", "target", "cutoff"]


@given(rule_sheets(), st.integers(0, 2_000_000), st.integers(0, 100_000))
def test_running_longer_never_costs_less(house, total_ms, more_ms):
    shorter = house.penalty(total_ms / 1000)
    longer = house.penalty((total_ms + more_ms) / 1000)
    assert 0 <= shorter <= longer


@given(rule_sheets(), st.integers(0, 2_000_000))
def test_the_penalty_is_points_times_stretches_begun_up_to_the_cap(house, total_ms):
    over_ms = total_ms - round((house.slot_s + house.grace_s) * 1000)
    begun = max(0, -(-over_ms // round(house.penalty_every_s * 1000)))
    uncapped = begun * house.penalty_per_s
    cap = uncapped if house.penalty_cap is None else house.penalty_cap
    assert house.penalty(total_ms / 1000) == pytest.approx(min(uncapped, cap))


@pytest.mark.parametrize(("total_s", "points"), [(600, 0), (600.1, 5), (615, 5), (615.1, 10)])
def test_points_may_be_lost_for_every_stretch_begun(total_s, points):
    assert sheet(penalty_per_s=5.0, penalty_every_s=15.0).penalty(total_s) == points
