"""The key of a plan: a hash of what in it differs from what is usual.

A later version of the app adds fields, each with a usual value. What is usual is left out of the
key, so that a plan of today has the same key then, and runs of one plan stay together. Changing a
usual value therefore changes keys: add a field instead, or bring the stored keys along.
"""

import json
from dataclasses import MISSING, Field, fields, is_dataclass
from hashlib import sha256
from typing import Any

from server.domain.routine.plan import Plan

_ALWAYS = "kind"
"""Tells which of several types a value is: it counts where it is usual as well."""


def plan_key(plan: Plan) -> str:
    """The key of a plan, in 32 characters; plans that are equal have the same."""
    told = json.dumps(_told(plan), sort_keys=True, separators=(",", ":"))
    return sha256(told.encode("utf-8", "surrogatepass")).hexdigest()[:32]


def _told(value: object) -> object:
    if is_dataclass(value):
        return {
            each.name: _told(getattr(value, each.name))
            for each in fields(value)
            if each.name == _ALWAYS or getattr(value, each.name) != _usual(each)
        }
    if isinstance(value, tuple):
        return [_told(each) for each in value]
    if isinstance(value, int | float) and not isinstance(value, bool):
        # 60 and 60.0 are equal, as are 0.0 and -0.0, and so are plans that hold one or the other.
        return float(value) + 0.0
    return value


def _usual(field: "Field[Any]") -> object:
    usual: object = field.default
    return usual if field.default_factory is MISSING else field.default_factory()
