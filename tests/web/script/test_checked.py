"""The check of the claims: done once for a state of a routine, and anew for another."""

from dataclasses import replace

from server.domain.claims import ledger
from server.web.drinks.checked import _found, checked
from tests.factories import RULES, make_routine


def test_a_state_of_a_routine_is_checked_once_and_a_changed_one_anew(monkeypatch):
    _found.cache_clear()
    cases = []
    real = ledger.ledger
    monkeypatch.setattr(ledger, "ledger", lambda case: cases.append(case) or real(case))
    routine = make_routine()
    assert checked(routine, RULES) == checked(replace(routine), RULES)
    assert len(cases) == 1
    checked(replace(routine, language="de"), RULES)
    assert len(cases) == 2
    _found.cache_clear()
