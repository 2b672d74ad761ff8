"""Slips of the keyboard and of clocks: every page is answered, in little memory and time."""

import subprocess
import sys

import pytest

from tests.thorough import all_but, some
from tests.web.extremes import CASES

DEADLINE_S = 120.0
"""For the whole case, start of the interpreter included; ten times what a busy machine takes."""


ALWAYS = ("a slip for a minute", "two hundred wide segments", "a sleep of ages")


@pytest.mark.parametrize("case", some(sorted(CASES), all_but(*ALWAYS)))
def test_every_page_of_an_extreme_plan_is_answered_in_half_a_gigabyte(case, tmp_path):
    ran = subprocess.run(
        [sys.executable, "-m", "tests.web.extremes", case, str(tmp_path)],
        capture_output=True,
        text=True,
        timeout=DEADLINE_S,
        check=False,
    )
    print(ran.stdout)
    assert ran.returncode == 0, ran.stdout + ran.stderr
