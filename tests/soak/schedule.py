"""What happens in one soak run, drawn from a seed: presses, and what goes wrong between them."""

import random
from dataclasses import dataclass

from server.domain.base.durations import HOUR_MS

YEAR_MS = 365 * 24 * HOUR_MS

PRESSES = ("next", "next", "next", "next", "incident", "incident", "undo", "ready")
NETWORK = ("fine", "fine", "cut", "slow", "silent", "unanswered", "doubled", "late")
ACCIDENTS = {
    "network": 14,
    "kill server": 2,
    "reload": 2,
    "close tab": 2,
    "kill browser": 1,
    "set clock": 2,
    "stalled body": 1,
    "slow upload": 1,
    "two servers": 1,
    "full disk": 2,
}
"""How often each comes, one beside another."""
ACCIDENT_AFTER_PRESS = 0.6
SHIFTS_MS = (HOUR_MS, -HOUR_MS, YEAR_MS, -YEAR_MS)


@dataclass(frozen=True)
class Step:
    """A press, or something that goes wrong; `detail` says which or how much."""

    what: str
    detail: str | int = ""
    wait_s: float = 0.0

    def __str__(self) -> str:
        return f"{self.what} {self.detail}".strip() + (
            f" +{self.wait_s:.2f}s" if self.wait_s else ""
        )


def schedule_of(seed: int, presses: int = 10) -> list[Step]:
    """The steps of the soak run with this seed: the same for ever."""
    rng = random.Random(seed)
    steps = [Step("press", "next")]
    is_server_up = True
    for _ in range(presses):
        if rng.random() < ACCIDENT_AFTER_PRESS:
            accident = _accident(rng, is_server_up)
            is_server_up = is_server_up != accident.what.endswith("server")
            steps.append(accident)
        press = rng.choice(PRESSES)
        detail = f"incident-{rng.randint(1, 4)}" if press == "incident" else press
        steps.append(Step("press", detail, rng.uniform(0.1, 0.3)))
    return steps


def _accident(rng: random.Random, is_server_up: bool) -> Step:
    if not is_server_up and rng.random() < 0.4:
        return Step("start server")
    what = rng.choices(list(ACCIDENTS), list(ACCIDENTS.values()))[0]
    if what == "network":
        return Step("network", rng.choice(NETWORK))
    if what == "set clock":
        return Step("set clock", rng.choice(SHIFTS_MS))
    if what == "kill server" and not is_server_up:
        return Step("start server")
    return Step(what)
