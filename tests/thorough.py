"""Which of many like cases run each time, and which only with `./run test --all`.

A browser is slow, and so is a simulation. Where a test runs over many states, sizes or ways, those
that differ in kind run always; the rest differ in a detail, and are marked `thorough`.
"""

from collections.abc import Callable, Iterable

import pytest

KINDS_OF_PAGES = frozenset(
    (
        "routines", "today", "drink edited", "one drink", "declaration", "script",
        "claims being narrowed", "risk", "segment refused", "kit", "made ahead", "shopping",
        "rehearse", "runs", "run", "devices", "watchers", "watch", "by hand", "drift", "sessions",
        "rule sheet", "not found", "said by heart",
    )
)  # fmt: skip
"""States that differ in kind: a page each, where it has forms with one open or refused."""


def is_like_another_state(state: str) -> bool:
    """Whether a state of a page is much like others that run always."""
    return state not in KINDS_OF_PAGES


def some(cases: Iterable[str], is_thorough: Callable[[str], bool]) -> list[object]:
    """The cases for pytest, those marked of which `is_thorough` says so."""
    marks = pytest.mark.thorough
    return [pytest.param(each, marks=marks) if is_thorough(each) else each for each in cases]


def all_but(*kept: str) -> Callable[[str], bool]:
    """Says of any case but these that it is thorough."""
    return lambda each: each not in kept


def few(cases: Iterable[object], kept: int = 1) -> list[object]:
    """The cases for pytest; the first ones run always, the others are like them."""
    marks = pytest.mark.thorough
    values = [each if isinstance(each, tuple) else (each,) for each in cases]
    return [pytest.param(*each, marks=[] if at < kept else marks) for at, each in enumerate(values)]
