import sys

import pytest

from server import warm_up
from server.domain.claims.lexicon import taxonomy_for
from server.domain.people.commonest import commonest


class Rooms:
    """Rooms to load, asked for something so long ago."""

    def __init__(self, count, quiet_s=60.0):
        self.left = count
        self._quiet_s = quiet_s

    def load_next(self):
        self.left -= bool(self.left)
        return bool(self.left)

    def quiet_s(self):
        return self._quiet_s


def warmed(rooms, monkeypatch, **given):
    """What is left after the warm-up, which begins at once."""
    monkeypatch.setattr(warm_up, "AFTER_S", 0.0)
    warming = warm_up.WarmUp(rooms, **given)
    warming.begin()
    assert warming.join(60)
    return rooms.left


def test_warming_up_can_be_called_off_before_it_begins():
    rooms = Rooms(3)
    warming = warm_up.WarmUp(rooms)
    warming.cancel()
    warming.begin()
    assert warming.join(60)
    assert rooms.left == 3


def test_after_warming_up_every_room_is_loaded(monkeypatch):
    assert warmed(Rooms(5), monkeypatch) == 0


def test_who_asks_all_the_time_does_not_keep_rooms_from_being_loaded(monkeypatch):
    monkeypatch.setattr(warm_up, "PATIENCE_S", 0.1)
    assert warmed(Rooms(3, quiet_s=0.0), monkeypatch) == 0


def test_warming_up_leaves_the_turns_of_threads_as_they_were(monkeypatch):
    before = sys.getswitchinterval()
    warmed(Rooms(1), monkeypatch)
    assert sys.getswitchinterval() == before


def test_other_threads_have_shorter_turns_only_while_something_is_loaded(monkeypatch):
    usual_s = sys.getswitchinterval()
    found = []

    class Watched(Rooms):
        def load_next(self):
            found.append(("loading", sys.getswitchinterval()))
            return super().load_next()

        def quiet_s(self):
            found.append(("waiting", sys.getswitchinterval()))
            return super().quiet_s()

    warmed(Watched(2), monkeypatch)
    assert {("loading", warm_up.OFTEN_S), ("waiting", usual_s)} == {
        (what, round(each_s, 6)) for what, each_s in found
    }


def test_after_warming_up_the_words_are_loaded():
    for check in warm_up.checks():
        check()
    assert taxonomy_for("en").resolve("apricot") == "apricot"


def test_after_warming_up_what_plan_and_runs_are_computed_with_is_loaded(monkeypatch):
    warmed(Rooms(0), monkeypatch)
    assert {"server.domain.risk.forecast", "server.domain.drift.analysis"} <= set(sys.modules)


@pytest.mark.parametrize("with_people", [True, False])
def test_the_commonest_passwords_are_loaded_where_people_have_some(monkeypatch, with_people):
    commonest.cache_clear()
    warmed(Rooms(0), monkeypatch, with_people=with_people)
    assert commonest.cache_info().currsize == with_people
