import pytest

from server.domain.base.errors import TooMany
from server.web.frame.throttle import (
    LONGEST_WAIT_S,
    MOST_ADDRESSES,
    REFILL_S,
    TRIES,
    TURN_S,
    Throttle,
)


class Clock:
    """Time that passes when told to."""

    now_s = 0.0

    def __call__(self):
        return self.now_s


@pytest.fixture
def clock():
    return Clock()


@pytest.fixture
def throttle(clock):
    return Throttle(clock=clock)


def spend(throttle, address, times=TRIES):
    return [throttle.turn(address) for _ in range(times)]


def test_a_few_wrong_tries_are_nobodys_fault(throttle):
    assert spend(throttle, "192.0.2.7") == [0.0] * TRIES


def test_who_goes_on_guessing_waits_for_a_turn_each_time(throttle, clock):
    spend(throttle, "192.0.2.7")
    assert spend(throttle, "192.0.2.7", 3) == [TURN_S, 2 * TURN_S, 3 * TURN_S]
    clock.now_s = REFILL_S
    assert throttle.turn("192.0.2.7") == 0


def test_tries_at_the_same_moment_are_counted_before_they_are_looked_at(throttle):
    # A burst sent at once must not be looked at as a whole before the first proves wrong.
    spend(throttle, "192.0.2.7")
    assert throttle.turn("192.0.2.7") > 0


def test_right_codes_cost_nobody_anything(throttle):
    for _ in range(5 * TRIES):
        assert throttle.turn("192.0.2.7") == 0
        throttle.give_back("192.0.2.7")


def test_only_where_more_wait_than_can_be_answered_in_time_one_is_told_to_come_again(
    throttle, clock
):
    spend(throttle, "192.0.2.7", TRIES + int(LONGEST_WAIT_S / TURN_S))
    with pytest.raises(TooMany):
        throttle.turn("192.0.2.7")
    clock.now_s = LONGEST_WAIT_S
    assert throttle.turn("192.0.2.7") <= TURN_S


def test_others_are_not_held_up(throttle):
    spend(throttle, "192.0.2.7", 3 * TRIES)
    assert throttle.turn("192.0.2.8") == 0


def test_a_neighbouring_address_of_ipv6_is_no_new_person(throttle):
    # RFC 4291, section 2.5.4: the second half of an address is the interface's own.
    spend(throttle, "2001:db8::1")
    assert throttle.turn("2001:db8::ffff:2") > 0
    assert throttle.turn("2001:db8:0:1::1") == 0


def test_addresses_of_ipv4_are_told_apart_where_they_come_written_as_ipv6(throttle):
    # RFC 4291, section 2.5.5.2: so they come to an app that listens on "::".
    spend(throttle, "::ffff:192.0.2.7")
    assert throttle.turn("::ffff:192.0.2.8") == 0
    assert throttle.turn("192.0.2.7") > 0


def test_memory_does_not_grow_with_the_number_of_addresses(throttle):
    for number in range(MOST_ADDRESSES + 10):
        throttle.turn(f"address-{number}")
    assert len(throttle._sides) == MOST_ADDRESSES
