"""Intervals against the reference figures in the test suite of the library itself."""

from datetime import date, timedelta

import pytest

from server.domain.learn.memory import Memory, after, chance_known, interval_days

FIRST = date(2022, 11, 29)

# py-fsrs 6, tests/test_basic.py, test_review_card: Good six times, Again twice, Good five times,
# each when due. A zero there is a step of minutes: here what is said twice on one day.
RATINGS = ["sat"] * 6 + ["gone"] * 2 + ["sat"] * 5
INTERVALS = [0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]


def test_a_row_of_sayings_has_the_intervals_that_the_library_publishes():
    memory, day, found = None, FIRST, []
    for how, published in zip(RATINGS, INTERVALS, strict=True):
        memory = after(memory, how, day)
        found.append(interval_days(memory) if published else 0)
        day += timedelta(days=found[-1])
    assert found == INTERVALS


def test_a_memory_has_the_stability_and_difficulty_that_the_library_publishes():
    # py-fsrs 6, tests/test_basic.py, test_memo_state.
    memory, day = None, FIRST
    for how, days in zip(["gone"] + ["sat"] * 5, [0, 0, 1, 3, 8, 21], strict=True):
        day += timedelta(days=days)
        memory = after(memory, how, day)
    assert memory.stability == pytest.approx(53.62691, abs=1e-4)
    assert memory.difficulty == pytest.approx(6.3574867, abs=1e-4)


@pytest.mark.parametrize("how", ["sat", "stumbled", "gone"])
def test_an_interval_is_the_librarys_own_for_any_wanted_chance(how):
    from fsrs import Card, Scheduler

    from server.domain.learn.memory import _RATINGS, _noon

    for wanted in (0.8, 0.9, 0.95):
        scheduler = Scheduler(
            desired_retention=wanted, learning_steps=(), relearning_steps=(), enable_fuzzing=False
        )
        card, _ = scheduler.review_card(Card(card_id=0), _RATINGS[how], _noon(FIRST))
        assert interval_days(after(None, how, FIRST), wanted) == (card.due - card.last_review).days


def test_a_sentence_is_surely_known_when_it_was_just_said_and_nine_in_ten_when_due():
    memory = Memory(20.0, 5.0, FIRST)
    assert chance_known(None, FIRST) == 0
    assert chance_known(memory, FIRST) == 1
    assert chance_known(memory, FIRST + timedelta(days=20)) == pytest.approx(0.9)


def test_a_mark_from_before_the_last_one_does_not_turn_time_back():
    memory = after(after(None, "sat", FIRST), "sat", FIRST - timedelta(days=3))
    assert memory.stability > 0
