"""What a second listening is asked, and what it thinks: values alone, see `again`."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Probe:
    """Words to be laid over a stretch of the sound, in ms.

    `claim` is the key of the claim they hold, whose own words are `first` to before `stop`; without
    one they tell how well words fit: their own sound where `is_own`, else that of others.
    """

    words: tuple[str, ...]
    from_ms: int
    until_ms: int
    claim: str = ""
    is_own: bool = False
    first: int = 0
    stop: int = 0


@dataclass(frozen=True)
class SecondThought:
    """Where a claim that was not heard may have been said after all, in ms of the take."""

    claim: str
    from_ms: int
    until_ms: int
