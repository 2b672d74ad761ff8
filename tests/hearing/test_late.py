"""Hearing is made when it is first asked for, once, and never begins after the end."""

from threading import Event

import pytest

from server import warm_up
from server.hearing.keeper import Hearing
from server.hearing.late import LateHearing
from tests.web.conftest import app_in


class Made:
    """What is made in the place of the one who listens: it notes what it was told."""

    def __init__(self):
        self.told = []

    def begin(self):
        self.told.append("begin")

    def end(self):
        self.told.append("end")


@pytest.fixture
def made():
    return []


@pytest.fixture
def late(made):
    def make():
        made.append(Made())
        return made[-1]

    return LateHearing(make)


def test_it_is_made_and_begun_once_whoever_asks(late, made):
    assert late.begun() is late.begun()
    assert [each.told for each in made] == [["begin"]]


def test_an_end_ends_what_was_begun(late, made):
    late.begun()
    late.end()
    assert made[0].told == ["begin", "end"]


def test_an_end_makes_nothing(late, made):
    late.end()
    assert made == []


def test_what_is_asked_for_after_the_end_never_begins(late, made):
    late.end()
    late.begun()
    assert made[0].told == []


def test_what_goes_wrong_soon_after_the_start_is_tried_anew_for_the_next_who_asks(caplog):
    made = [Made(), ZeroDivisionError()]

    def make():
        found = made.pop()
        if isinstance(found, Exception):
            raise found
        return found

    late = LateHearing(make)
    late.begin()
    assert "Nobody listens" in caplog.text
    assert late.begun().told == ["begin"]


def test_soon_after_the_start_it_begins_though_nobody_asks(tmp_path, monkeypatch):
    begun = Event()
    monkeypatch.setattr(Hearing, "begin", lambda self: begun.set())
    monkeypatch.setattr(warm_up, "AFTER_S", 0.0)
    with app_in(tmp_path):
        assert begun.wait(60)
