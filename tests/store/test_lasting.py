"""Whatever lets somebody in does so for its time, to the millisecond, and no longer."""

from contextlib import suppress

import pytest

from server.domain.base.durations import HOUR_MS
from server.domain.base.errors import Gone, InvalidInput
from server.domain.runs.joining import CODE_LASTS_MS, PASS_LASTS_MS
from server.store import devices, watchers
from server.store.between import codes
from server.store.people import challenges, recovery
from server.store.people.persons import make_person
from server.store.people.sign_ins import IDLE_MS, LASTS_MS, sign_in, signed_in_with
from server.store.runs import create_run
from tests.factories import NOW_MS, RULES


def by_device_code(session, _):
    code = codes.make_device_code(session, "helps", NOW_MS).code
    return codes.LASTS_MS, lambda at_ms: codes.use_device_code(session, code, at_ms)


def by_device_link(session, _):
    secret = devices.invite(session, "helps", NOW_MS)
    return devices.LINK_LASTS_MS, lambda at_ms: devices.take_invitation(session, secret, at_ms)


def by_run_code(session, routine):
    run_id = create_run(session, routine, RULES, NOW_MS)
    code = watchers.open_to_watchers(session, run_id, NOW_MS).code
    return CODE_LASTS_MS, lambda at_ms: watchers.run_to_join(session, code, at_ms)


def by_pass(session, routine):
    run_id = create_run(session, routine, RULES, NOW_MS)
    _, token = watchers.admit(session, run_id, "Ada", NOW_MS)
    return PASS_LASTS_MS, lambda at_ms: watchers.watcher_with(session, run_id, token, at_ms)


def by_challenge(session, _):
    key = challenges.put_challenge(session, "enter", "asked", NOW_MS)
    lasts_ms = challenges.CHALLENGE_LASTS_MS
    return lasts_ms, lambda at_ms: challenges.take_challenge(session, key, "enter", at_ms)


def by_reset(session, _):
    person = make_person(session, "Ada", "ada", NOW_MS)
    secret = recovery.make_reset(session, person.id, NOW_MS, None, HOUR_MS)
    return HOUR_MS, lambda at_ms: recovery.use_reset(session, secret, at_ms)


def by_sign_in(session, _):
    person = make_person(session, "Ada", "ada", NOW_MS)
    signed, secret = sign_in(session, person.id, "phone", NOW_MS)

    def used(at_ms):
        devices.note_use(session, signed.device.key, at_ms - IDLE_MS + 1)
        return signed_in_with(session, secret, at_ms)

    return LASTS_MS, used


def by_sign_in_unused(session, _):
    person = make_person(session, "Ada", "ada", NOW_MS)
    _, secret = sign_in(session, person.id, "phone", NOW_MS)
    return IDLE_MS, lambda at_ms: signed_in_with(session, secret, at_ms)


WAYS = [by_device_code, by_device_link, by_run_code, by_pass, by_challenge, by_reset, by_sign_in,
        by_sign_in_unused]  # fmt: skip
ONCE = [by_device_code, by_device_link, by_challenge, by_reset]


def opens(use, at_ms):
    with suppress(InvalidInput, Gone):
        return use(at_ms) is not None
    return False


@pytest.mark.parametrize("way", WAYS)
def test_it_opens_in_its_last_millisecond_and_not_in_the_one_after(session, routine, way):
    lasts_ms, use = way(session, routine)
    assert not opens(use, NOW_MS + lasts_ms)
    if way is by_challenge:  # Whatever the answer was worth, it is gone with it.
        lasts_ms, use = way(session, routine)
    assert opens(use, NOW_MS + lasts_ms - 1)


@pytest.mark.parametrize("way", ONCE)
def test_what_opens_once_opens_nothing_after(session, routine, way):
    _, use = way(session, routine)
    assert opens(use, NOW_MS)
    session.flush()
    assert not opens(use, NOW_MS)


def test_a_challenge_answers_only_what_it_was_made_for(session):
    key = challenges.put_challenge(session, "enter", "asked", NOW_MS)
    assert challenges.take_challenge(session, key, "add", NOW_MS) is None
    assert challenges.take_challenge(session, key, "enter", NOW_MS) == "asked"


def test_only_the_newest_code_for_a_device_lets_it_in(session):
    before, now = (codes.make_device_code(session, "helps", NOW_MS).code for _ in range(2))
    assert codes.use_device_code(session, before, NOW_MS) is None
    assert codes.use_device_code(session, now[:-1], NOW_MS) is None
    assert codes.use_device_code(session, now.lower(), NOW_MS) == "helps"
