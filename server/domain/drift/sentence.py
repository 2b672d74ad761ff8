"""A sentence of the analysis, with the place of its evidence; and what several of them share."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from server.domain.drift import wording
from server.domain.drift.findings import Jump
from server.domain.drift.groups import Difference

Kind = Literal[
    "forecast", "calibration", "total", "segment", "groups", "share", "plan", "learning", "last",
    "together", "look",
]  # fmt: skip

Numbers = Mapping[str, float]


@dataclass(frozen=True)
class DriftSentence:
    """One sentence, what it is about, and where its evidence stands on the page.

    `anchor` is `forecast`, `total`, `shares`, `links`, `learning`, `segment-<id>`, `pair-<key>` or
    `run-<id>`; `numbers` are those of the text, unrounded, in seconds or as parts of one.
    """

    text: str
    kind: Kind
    anchor: str
    segment_ids: tuple[str, ...]
    numbers: Numbers
    because: str = ""
    """The part of the text, in brackets, that says what it rests on."""

    @property
    def plain(self) -> str:
        """The text without what it rests on."""
        return self.text.replace(self.because, "") if self.because else self.text


def by(shift_s: float) -> str:
    """How much longer or less: "4.1 s longer"."""
    return f"{wording.seconds(shift_s)} {'longer' if shift_s > 0 else 'less'}"


def evidence(told: Difference | Jump) -> str:
    """The runs that a difference rests on, and its interval, in brackets."""
    low_s, high_s = told.low_s or 0.0, told.high_s or 0.0
    if told.shift_s < 0:
        low_s, high_s = -high_s, -low_s
    runs = f"{told.n_first} runs against {told.n_second}"
    return f" ({runs}, 95 % interval {wording.between(low_s, high_s)})"


def numbers_of(told: Difference | Jump) -> Numbers:
    """The numbers of a sentence about a difference."""
    return {
        "shift_s": told.shift_s,
        "low_s": told.low_s or 0.0,
        "high_s": told.high_s or 0.0,
        "n_first": told.n_first,
        "n_second": told.n_second,
    }
