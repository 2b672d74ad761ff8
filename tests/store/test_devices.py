import pytest

from server.domain.base.errors import NotFound
from server.store.devices import (
    device_with,
    let_in,
    list_devices,
    note_use,
    take_out,
)
from tests.factories import NOW_MS


def test_secrets_are_long_and_never_the_same(session):
    secrets = [let_in(session, "mine", "Tablet", NOW_MS)[1] for _ in range(20)]
    # 43 signs of base 64 hold 256 bits.
    assert {len(secret) for secret in secrets} == {43}
    assert len(set(secrets)) == 20


def test_a_device_let_in_anew_shows_a_new_secret_and_the_old_one_ends(session):
    device, old = let_in(session, "helper", "Tablet", NOW_MS)
    again, new = let_in(session, "mine", "iPad", NOW_MS + 1, before=["of another app", old])
    assert (again.key, again.name, again.role) == (device.key, "Tablet", "mine")
    assert device_with(session, old) is None
    assert device_with(session, new) == again
    assert len(list_devices(session)) == 1


def test_devices_are_listed_by_their_last_use(session):
    first, _ = let_in(session, "mine", "First", NOW_MS)
    let_in(session, "mine", "Second", NOW_MS + 5)
    note_use(session, first.key, NOW_MS + 9)
    assert [each.name for each in list_devices(session)] == ["First", "Second"]


def test_a_device_that_is_not_there_cannot_be_taken_out(session):
    with pytest.raises(NotFound):
        take_out(session, "nobody", NOW_MS)
