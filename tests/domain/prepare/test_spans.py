"""How long something is still off, as the server and the countdown of the browser say it."""

import json
from pathlib import Path

import pytest

from server.domain.base.errors import InvalidInput
from server.domain.prepare.spans import format_wait, parse_span

WAITS = json.loads((Path(__file__).parents[2] / "js" / "waits.json").read_text(encoding="utf-8"))
"""Seconds and their words; the test of the countdown reads the same."""


def test_a_wait_is_told_as_the_countdown_tells_it():
    assert [format_wait(left_s) for left_s, _ in WAITS] == [words for _, words in WAITS]


def test_what_is_due_is_no_wait():
    assert (format_wait(0.0), format_wait(-60.0)) == ("", "")


def test_a_span_reaches_to_ninety_days_and_no_further():
    assert parse_span("90 days") == 90 * 86_400
    with pytest.raises(InvalidInput, match="90 days"):
        parse_span("90 days 1 min")


def test_a_span_is_understood_in_the_languages_of_talks_and_with_the_strokes_of_a_tablet():
    told = ["20’", "1,5 h", "3 Tage", "2 horas 15 minutos", "1 Stunde"]
    assert [parse_span(each) for each in told] == [1200, 5400, 259_200, 8100, 3600]
