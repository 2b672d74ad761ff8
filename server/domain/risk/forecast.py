"""Questions asked of a model; the one module that pages need beside `model` and `outcome`.

NumPy is loaded when the first question is asked, so that the server starts without it.
"""

from collections.abc import Callable, Collection, Iterable, Sequence
from typing import TYPE_CHECKING

from server.domain.risk.model import Model
from server.domain.risk.outcome import Forecast
from server.domain.routine.rules import RuleSheet

if TYPE_CHECKING:
    from server.domain.risk.advice import CutAdvice, StartOption
    from server.domain.risk.optimise import OrderProposal

FULL = 100_000
QUICK = 10_000
"""Slots for figures that follow a finger; their chances are right within about one percent."""


def forecast(
    model: Model, rules: RuleSheet, slots: int = FULL, *, with_chains: bool = True
) -> Forecast:
    """What simulated slots of a model mean under a rule sheet.

    Without chains it is not told what each segment adds to the risk, and all else is the same.
    """
    from server.domain.risk.simulate import simulate
    from server.domain.risk.summing import forecast_of

    return forecast_of(simulate(model, slots, with_chains=with_chains), rules)


def cut_advice(
    model: Model,
    rules: RuleSheet,
    level: float,
    shorten: Callable[[str, float], Model],
    now: Forecast,
    by_s: float | None = None,
) -> "CutAdvice":
    """How many seconds to cut for finishing inside the slot with the chance `level`, and where.

    With `by_s` each cut is of so many seconds.

    `shorten` gives the model with a segment (id) so many seconds shorter; `now` is the forecast of
    the model as it stands.
    """
    from server.domain.risk import advice

    return advice.cut_advice(model, rules, level, shorten, now, by_s)


def start_options(model: Model, rules: RuleSheet, process_id: str) -> "tuple[StartOption, ...]":
    """What starting a process earlier is worth: first as it stands, then ever earlier."""
    from server.domain.risk import advice

    return advice.start_options(model, rules, process_id)


def propose_order(
    model: Model,
    rules: RuleSheet,
    movable_ids: Collection[str],
    keep_orders: Iterable[Sequence[str]] = (),
) -> "OrderProposal":
    """An order of the movable segments with a better chance; see `optimise`."""
    from server.domain.risk import optimise

    return optimise.propose_order(model, rules, movable_ids, keep_orders)
