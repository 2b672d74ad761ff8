"""Forms that claim a taste only at times, so that only what is learnt can tell: "bite", "peel".

>>> weighed_forms()["sticks"]
'sticky'
"""

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib.resources import files


@cache
def weighed_forms() -> Mapping[str, str]:
    """Each such form in English -> the word it would claim."""
    source = files(__package__).joinpath("weighed.toml").read_text(encoding="utf-8")
    forms: dict[str, str] = tomllib.loads(source)["forms"]
    return forms
