"""What the person says of a run beside its marks."""

from dataclasses import dataclass


@dataclass(frozen=True)
class RunLabels:
    """Where a run was made and what kind it was; `claims_said` is None while unknown."""

    venue: str = ""
    tags: frozenset[str] = frozenset()
    claims_said: bool | None = None
