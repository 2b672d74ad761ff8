"""Where people are signed in, for how long, and that nothing of the owner's devices is touched."""

import pytest

from server.domain.base.errors import Conflict, InvalidInput
from server.store.devices import device_with, let_in, list_devices, note_use
from server.store.people import persons
from server.store.people.persons import end_person, make_person, set_admin
from server.store.people.sign_ins import (
    DAY_MS,
    IDLE_MS,
    LASTS_MS,
    end_sign_ins,
    sign_in,
    sign_ins_of,
    signed_in_with,
)
from tests.factories import NOW_MS


@pytest.fixture
def ada(session):
    return make_person(session, "Ada", "ada@bar.example", NOW_MS)


@pytest.fixture
def bea(session, ada):
    return make_person(session, "Bea", "bea", NOW_MS)


def test_the_first_person_is_the_admin_and_no_other(ada, bea):
    assert (ada.is_admin, bea.is_admin) == (True, False)


def test_whoever_keeps_what_was_made_before_hears_of_the_first_person(session, monkeypatch):
    heard = []
    monkeypatch.setattr(persons, "WHEN_FIRST", (lambda _, who, at_ms: heard.append(who.name),))
    make_person(session, "Ada", "ada", NOW_MS)
    make_person(session, "Bea", "bea", NOW_MS)
    assert heard == ["Ada"]


@pytest.mark.parametrize("again", ["ada@bar.example", "ADA@bar.example ", "ａda@bar.example"])
def test_a_sign_in_name_is_one_persons_however_it_is_written(session, ada, again):
    with pytest.raises(InvalidInput) as refused:
        make_person(session, "Another", again, NOW_MS)
    assert refused.value.faults[0].field == "sign_in"


def test_the_last_admin_stays_one(session, ada, bea):
    with pytest.raises(Conflict):
        end_person(session, ada.id, NOW_MS)
    set_admin(session, bea.id, True)
    end_person(session, ada.id, NOW_MS)
    with pytest.raises(Conflict):
        set_admin(session, bea.id, False)


def test_a_secret_tells_who_is_signed_in(session, ada):
    signed_in, token = sign_in(session, ada.id, "Phone", NOW_MS)
    assert signed_in_with(session, token, NOW_MS) == signed_in
    assert (signed_in.person, signed_in.device.name) == (ada, "Phone")
    assert signed_in_with(session, token + "x", NOW_MS) is None


def test_signing_in_anew_ends_the_secret_before(session, ada):
    first, old = sign_in(session, ada.id, "Phone", NOW_MS)
    again, new = sign_in(session, ada.id, "Phone", NOW_MS + 1, [old])
    assert again.device.key == first.device.key
    assert (signed_in_with(session, old, NOW_MS), old == new) == (None, False)
    assert len(sign_ins_of(session, ada.id, NOW_MS + 1)) == 1


def test_another_person_on_the_same_browser_is_another_device(session, ada, bea):
    first, old = sign_in(session, ada.id, "Tablet", NOW_MS)
    other, _ = sign_in(session, bea.id, "Tablet", NOW_MS + 1, [old])
    assert other.device.key != first.device.key
    assert signed_in_with(session, old, NOW_MS + 1) is None


def test_a_sign_in_lasts_so_long_and_ends_sooner_unused(session, ada):
    first, token = sign_in(session, ada.id, "Phone", NOW_MS)
    assert signed_in_with(session, token, NOW_MS + IDLE_MS - 1)
    assert signed_in_with(session, token, NOW_MS + IDLE_MS) is None
    for day in range(31):
        note_use(session, first.device.key, NOW_MS + day * DAY_MS)
    assert signed_in_with(session, token, NOW_MS + LASTS_MS - 1)
    assert signed_in_with(session, token, NOW_MS + LASTS_MS) is None


def test_all_others_are_signed_out_at_once(session, ada, bea):
    here, own = sign_in(session, ada.id, "Phone", NOW_MS)
    _, other = sign_in(session, ada.id, "Tablet", NOW_MS)
    _, beas = sign_in(session, bea.id, "Tablet", NOW_MS)
    end_sign_ins(session, ada.id, NOW_MS, but=here.device.key)
    found = [signed_in_with(session, token, NOW_MS) is not None for token in (own, other, beas)]
    assert found == [True, False, True]


def test_who_has_no_account_any_longer_is_signed_in_nowhere(session, ada, bea):
    _, token = sign_in(session, bea.id, "Phone", NOW_MS)
    end_person(session, bea.id, NOW_MS)
    assert signed_in_with(session, token, NOW_MS) is None


def test_a_persons_device_is_none_of_the_owners(session, ada):
    owners, _ = let_in(session, "mine", "Tablet", NOW_MS)
    _, token = sign_in(session, ada.id, "Phone", NOW_MS)
    assert device_with(session, token) is None
    assert list_devices(session) == [owners]
