import sys

from server import warm_up
from server.domain.claims.lexicon import taxonomy_for


def test_warming_up_begins_after_the_start_and_can_be_called_off():
    timer = warm_up.warm_up_soon(has_people=False)
    assert timer.daemon
    assert timer.interval > 1
    timer.cancel()
    timer.join(5)
    assert not timer.is_alive()


def test_after_warming_up_the_words_are_loaded():
    warm_up.warm_up(has_people=False)
    assert taxonomy_for("en").resolve("apricot") == "apricot"


def test_after_warming_up_what_plan_and_runs_are_computed_with_is_loaded():
    warm_up.warm_up(has_people=False)
    assert {"server.domain.risk.forecast", "server.domain.drift.analysis"} <= set(sys.modules)
