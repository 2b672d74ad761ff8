"""Two workers on PostgreSQL, killed while they are used; `python -m tests.soak --postgresql`."""

import pytest

from tests.soak.workers import TwoWorkers, blows_of


@pytest.mark.thorough
def test_marks_followers_and_uploads_go_on_while_workers_are_killed(tmp_path):
    with TwoWorkers(tmp_path) as ground:
        assert [ground.play(seed).faults for seed in (1, 8)] == [(), ()]
    assert ground.did == {"killed": 3, "begun": 3}


def test_every_worker_that_is_killed_is_begun_again():
    for seed in range(200):
        up = [True, True]
        for blow in blows_of(seed):
            assert up[blow.worker] == blow.kills, seed
            up[blow.worker] = not blow.kills
        assert up == [True, True], seed
