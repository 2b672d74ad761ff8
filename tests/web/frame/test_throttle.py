import pytest

from server.web.frame.throttle import MOST_ADDRESSES, REFILL_S, TRIES, Throttle


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


def spend(throttle, address, times):
    for _ in range(times):
        throttle.spend(address)


def test_a_few_wrong_tries_are_nobodys_fault(throttle):
    spend(throttle, "192.0.2.7", TRIES - 1)
    assert throttle.wait_s("192.0.2.7") == 0


def test_who_goes_on_guessing_must_wait_and_then_may_try_once(throttle, clock):
    spend(throttle, "192.0.2.7", TRIES)
    assert throttle.wait_s("192.0.2.7") == REFILL_S
    clock.now_s = REFILL_S
    assert throttle.wait_s("192.0.2.7") == 0
    throttle.spend("192.0.2.7")
    assert throttle.wait_s("192.0.2.7") == REFILL_S


def test_others_are_not_held_up(throttle):
    spend(throttle, "192.0.2.7", 3 * TRIES)
    assert throttle.wait_s("192.0.2.8") == 0


def test_a_neighbouring_address_of_ipv6_is_no_new_person(throttle):
    # RFC 4291, section 2.5.4: the second half of an address is the interface's own.
    spend(throttle, "2001:db8::1", TRIES)
    assert throttle.wait_s("2001:db8::ffff:2") > 0
    assert throttle.wait_s("2001:db8:0:1::1") == 0


def test_memory_does_not_grow_with_the_number_of_addresses(throttle):
    for number in range(MOST_ADDRESSES + 10):
        throttle.spend(f"address-{number}")
    assert len(throttle._spent) == MOST_ADDRESSES
