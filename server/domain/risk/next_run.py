"""The next run: what is told of it wherever it is spoken of, and how earlier forecasts did.

Plan, risk, drift, goal and the list of routines show what stands here, so that one question has
one answer.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from server.domain.risk.outcome import Forecast

if TYPE_CHECKING:
    from server.domain.belief.believe import PastTotal, Why


@dataclass(frozen=True)
class NextRun:
    """The forecast over simulated slots, what it rests on, and what was said of earlier runs.

    `past` holds the runs whose time is known, the oldest first.
    """

    forecast: Forecast
    why: "Why"
    past: "Sequence[PastTotal]"
