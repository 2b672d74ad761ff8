"""The stage sheet: every moment in its order, with what the hands do and where to fall back."""

from dataclasses import replace

import pytest

from server.domain.rules import TimeCall
from server.web.stage_sheet import cue_of
from tests.factories import RULES, make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep

CALLED = replace(RULES, time_calls=(TimeCall(90, "Half way"),))
ROUTINE = make_routine(
    segments=(
        make_segment("s1", name="Greet", said="Good evening. And so on.", hands="Jug left."),
        make_segment("s2", name="Tell", lane="voice"),
        make_segment("s3", name="Serve"),
    ),
    processes=(make_process(fallback="The reserve.", patience_s=10, fallback_by_s=130),),
)


@pytest.fixture
def sheet(client):
    return Page(client.get(f"{keep(client, ROUTINE, CALLED)}/plan/sheet"))


def test_everything_stands_in_the_order_in_which_it_is_met(sheet):
    clock = sheet.texts(".stage-sheet tbody tr td:first-child")
    assert clock == ["0:00", "1:00", "1:00", "1:30", "2:00", "2:00", "9:50", "10:00"]
    assert sheet.texts(".moment b") == [
        "▸ Drip starts", "◷ Half way", "● Drip must be ready", "◷ Target", "■ End of the slot",
    ]  # fmt: skip


def test_a_segment_says_what_to_hold_and_how_its_words_begin(sheet):
    first = sheet.all(".stage-sheet tbody tr")[0]
    assert [cell.text_content() for cell in first.cssselect("td")] == [
        "0:00", "Jug left.", "Good evening.",
    ]  # fmt: skip


def test_what_is_needed_says_when_and_how_to_fall_back(sheet):
    (need,) = sheet.texts(".need")
    assert need.endswith("If not ready, after waiting 0:10, not before 2:10: The reserve.")


@pytest.mark.parametrize(
    ("said", "cue"),
    [("", ""), ("One. Two.", "One."), ("a b c d e f g h i j k", "a b c d e f g h i …")],
)
def test_a_cue_is_the_first_words(said, cue):
    assert cue_of(said, "en") == cue
