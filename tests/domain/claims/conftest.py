"""What rules alone make of a text, for statements about the rules."""

import pytest

from server.domain.claims.learnt import second_look as looks


@pytest.fixture
def by_rules_alone(monkeypatch):
    """Leaves words of taste to the rules: weights do not look again."""
    monkeypatch.setattr(looks, "second_look", lambda scene, told, weights: list(told))
