import pytest

from server.domain.base.errors import Gone, InvalidInput, NotFound
from server.domain.runs.joining import CODE_LASTS_MS, PASS_LASTS_MS
from server.store.annotating import delete_run, restore_run
from server.store.runs import create_run
from server.store.watchers import (
    admit,
    close_to_watchers,
    code_of,
    open_to_watchers,
    run_to_join,
    watcher_with,
    who_joined,
)
from tests.factories import NOW_MS, RULES


@pytest.fixture
def run_id(session, routine):
    return create_run(session, routine, RULES, NOW_MS)


def test_a_run_that_is_unknown_or_gone_cannot_be_opened(session, run_id):
    with pytest.raises(NotFound):
        open_to_watchers(session, "nobody", NOW_MS)
    delete_run(session, run_id, NOW_MS)
    with pytest.raises(Gone):
        open_to_watchers(session, run_id, NOW_MS)


def test_each_code_leads_to_its_own_run(session, routine, run_id):
    other_id = create_run(session, routine, RULES, NOW_MS)
    codes = {each: open_to_watchers(session, each, NOW_MS).code for each in (run_id, other_id)}
    assert {each: run_to_join(session, code, NOW_MS) for each, code in codes.items()} == {
        run_id: run_id,
        other_id: other_id,
    }


def test_a_code_opens_until_it_expires_and_is_shown_as_long(session, run_id):
    code = open_to_watchers(session, run_id, NOW_MS)
    last_ms = NOW_MS + CODE_LASTS_MS - 1
    assert code_of(session, run_id, last_ms) == code
    assert run_to_join(session, code.code, last_ms) == run_id
    assert code_of(session, run_id, last_ms + 1) is None
    with pytest.raises(InvalidInput, match="has expired"):
        run_to_join(session, code.code, last_ms + 1)


def test_the_code_of_a_deleted_run_opens_again_with_the_run(session, run_id):
    code = open_to_watchers(session, run_id, NOW_MS).code
    delete_run(session, run_id, NOW_MS)
    with pytest.raises(InvalidInput, match="No run opens"):
        run_to_join(session, code, NOW_MS)
    restore_run(session, run_id)
    assert run_to_join(session, code, NOW_MS) == run_id


def test_a_token_tells_who_joined_until_it_ends(session, run_id):
    _, token = admit(session, run_id, "Ada", NOW_MS)
    watcher = watcher_with(session, run_id, token, NOW_MS + PASS_LASTS_MS - 1)
    assert (watcher.name, watcher.joined_ms) == ("Ada", NOW_MS)
    assert token not in watcher.key
    assert watcher_with(session, run_id, token, NOW_MS + PASS_LASTS_MS) is None
    assert watcher_with(session, run_id, token + "x", NOW_MS) is None


def test_two_of_one_name_are_two(session, run_id):
    for _ in range(2):
        admit(session, run_id, "Ada", NOW_MS)
    joined = who_joined(session, run_id)
    assert [each.name for each in joined] == ["Ada", "Ada"]
    assert joined[0].key != joined[1].key


def test_closing_forgets_code_and_all_who_joined(session, run_id):
    code = open_to_watchers(session, run_id, NOW_MS).code
    _, token = admit(session, run_id, "Ada", NOW_MS)
    close_to_watchers(session, run_id, NOW_MS)
    assert code_of(session, run_id, NOW_MS) is None
    assert watcher_with(session, run_id, token, NOW_MS) is None
    with pytest.raises(InvalidInput):
        run_to_join(session, code, NOW_MS)


def test_passes_that_ended_are_cleared_away(session, run_id):
    admit(session, run_id, "Ada", NOW_MS)
    open_to_watchers(session, run_id, NOW_MS + PASS_LASTS_MS)
    assert who_joined(session, run_id) == []
