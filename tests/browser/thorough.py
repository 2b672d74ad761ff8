"""Which of many like cases run each time, and which only with `./run test --all`.

A browser is slow. Where a test runs over many states, sizes or ways, those that differ in kind run
always; the rest differ in a detail, and are marked `thorough`.
"""

import re
from collections.abc import Callable, Iterable

import pytest

LIKE_OTHERS = re.compile(
    "refused|deleted|^no |nothing|removed|empty|without|edited|added|labelled|narrowed|in use|"
    "other ground|after one|after the end|to none|woven|sent"
)
"""States of a page that differ from others in a form, a fault or an empty list."""

SHOWN_ALWAYS = {"segment refused", "drink edited", "goal refused", "correction refused", "no runs"}


def is_like_another_state(state: str) -> bool:
    """Whether a state of a page is much like others that run always."""
    return bool(LIKE_OTHERS.search(state)) and state not in SHOWN_ALWAYS


def some(cases: Iterable[str], is_thorough: Callable[[str], bool]) -> list[object]:
    """The cases for pytest, those marked of which `is_thorough` says so."""
    marks = pytest.mark.thorough
    return [pytest.param(each, marks=marks) if is_thorough(each) else each for each in cases]


def all_but(*kept: str) -> Callable[[str], bool]:
    """Says of any case but these that it is thorough."""
    return lambda each: each not in kept
