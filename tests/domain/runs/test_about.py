import pytest

from server.domain.runs.about import About, about_of, taken_over
from tests.factories import make_event, make_events

LOG = make_events({"s1": 60.0, "s2": 120.0}, total_s=180.0)
SAID = make_event("a1", "about", seq=9, at_s=190, counts=True, label=" Dress ", venue="Back bar")


def test_a_log_without_a_word_about_the_run_says_nothing():
    assert about_of(LOG) == About()


def test_the_latest_word_about_a_run_stands():
    later = make_event("a2", "about", seq=10, at_s=200, counts=False, text="Too fast")
    assert about_of([later, *LOG, SAID]) == About(excluded=True, notes="Too fast")
    assert about_of([*LOG, SAID]) == About(False, "Dress", "Back bar", "")


@pytest.mark.parametrize(
    ("kept", "expected"),
    [
        (About(), About(False, "Dress", "Back bar", "")),
        (About(None, "Mine", "", "note"), About(False, "Mine", "Back bar", "note")),
        (About(True, "", "", ""), About(True, "Dress", "Back bar", "")),
    ],
)
def test_what_was_changed_at_the_desk_stands_against_what_arrives_later(kept, expected):
    assert taken_over(kept, About(), about_of([SAID])) == expected


def test_a_second_word_from_the_stage_replaces_the_first():
    first, now = About(True, "Dres", "", ""), About(False, "Dress", "", "")
    assert taken_over(first, first, now) == now
