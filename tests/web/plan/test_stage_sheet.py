"""The stage sheet: every moment in its order, with what the hands do and where to fall back."""

from dataclasses import replace

import pytest

from server.domain.routine.rules import TimeCall
from server.web.plan.stage_sheet import cue_of
from server.web.plan.type_size import SIZES_PT, largest_size_pt, lines_of
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
    assert need.endswith("If not ready, after waiting 0:10, earliest 2:10: The reserve.")


def test_moves_of_several_lines_stay_apart_in_the_one_line_of_the_sheet(client):
    segments = (make_segment("s1", hands="Lift the lid\nPour to the line"),)
    sheet = Page(client.get(f"{keep(client, make_routine(segments=segments))}/plan/sheet"))
    assert "Lift the lid · Pour to the line" in sheet.texts(".stage-sheet td")


@pytest.mark.parametrize(
    ("said", "cue"),
    [("", ""), ("One. Two.", "One."), ("a b c d e f g h i j k", "a b c d e f g h i …")],
)
def test_a_cue_is_the_first_words(said, cue):
    assert cue_of(said, "en") == cue


@pytest.mark.parametrize(
    ("text", "lines"),
    [("", 1), ("ten letters", 2), ("a b c d e f", 2), ("x" * 25, 3), ("to " + "x" * 12, 3)],
)
def test_lines_break_between_words_and_within_long_ones(text, lines):
    assert lines_of(text, 10) == lines


def test_type_shrinks_as_the_sheet_fills_and_ends_at_the_smallest():
    row = [(0.4, "Hold the jug with the left hand and pour."), (0.6, "Good evening.")]
    sizes = [largest_size_pt([row] * count) for count in (1, 20, 35, 500)]
    assert sizes[0] == SIZES_PT[0]
    assert sizes[0] > sizes[1] > sizes[2] >= SIZES_PT[-1]
    assert sizes[3] is None


def test_a_sheet_too_long_for_one_page_says_so(client):
    many = tuple(make_segment(f"s{n}", name="Pour", hands="Hold. " * 60) for n in range(60))
    page = Page(client.get(f"{keep(client, make_routine(segments=many))}/plan/sheet"))
    assert "too long for one sheet" in page.text("p.screen-only")
