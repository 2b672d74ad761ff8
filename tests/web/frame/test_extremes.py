"""Slips of the keyboard and of clocks: every page is answered, in little memory and time."""

import subprocess
import sys

import pytest

from tests.web.extremes import CASES

DEADLINE_S = 300.0
"""For all cases, start of the interpreter included; ten times what a busy machine takes."""

ALWAYS = ("a slip for a minute", "two hundred wide segments", "a sleep of ages")
LIKE_THESE = tuple(case for case in CASES if case not in ALWAYS)


@pytest.mark.parametrize(
    "cases", [ALWAYS, pytest.param(LIKE_THESE, marks=pytest.mark.thorough)], ids=", ".join
)
def test_every_page_of_an_extreme_plan_is_answered_in_half_a_gigabyte(cases, tmp_path):
    ran = subprocess.run(
        [sys.executable, "-m", "tests.web.extremes", str(tmp_path), *cases],
        capture_output=True,
        text=True,
        timeout=DEADLINE_S,
        check=False,
    )
    print(ran.stdout)
    assert ran.returncode == 0, ran.stdout + ran.stderr
