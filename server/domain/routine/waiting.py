"""What waits before it goes in: a product that is ready early, a batch taken out of the fridge.

Meanwhile it moves towards the room, by Newton's law and as fast as so much of it does. What it is
like then is what the drink is worked out from, and what the words are held against.
"""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from server.domain.base.durations import format_clock
from server.domain.glass.cooling import usual_cooling_per_min
from server.domain.glass.figures import Estimate, Figure
from server.domain.glass.liquid import volume_ml
from server.domain.glass.parcel import parcel_of
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient, Service
from server.domain.routine.routine import Process, Segment
from server.domain.routine.standing import Stand, placed_at_each, stood_temp_c


@dataclass(frozen=True)
class Waited:
    """An ingredient that waits: how warm it was (°C), for how long, and how warm it goes in."""

    ingredient_id: str
    name: str
    process_id: str | None
    """The parallel process whose product it is; None where it is taken out of the fridge."""
    stand: Stand
    before: Figure
    after: Figure


@dataclass(frozen=True)
class AsUsed:
    """A drink whose ingredients are as warm as they go in, and which of them waited."""

    drink: Drink
    waited: tuple[Waited, ...] = ()


def cooling_of(service: Service, held_ml: float) -> Figure:
    """Newton's constant for so much in a drink's vessel: its own readings, else the usual one.

    The one answer for a serve, for a process that cools and for what waits.
    """
    own = service.vessel.cooling_per_min if service.vessel else None
    return own or usual_cooling_per_min(held_ml)


def batch_ml(drink: Drink, part: Ingredient) -> float:
    """How much of an ingredient stands together: the batch it is made in, else what is used."""
    whole = replace(part, amount=part.ahead.made or part.amount)
    return volume_ml(parcel_of(whole, drink.part_ml).liquid)


def as_used(drink: Drink, segments: Sequence[Segment], processes: Sequence[Process]) -> AsUsed:
    """The drink with every ingredient that waits as warm as it goes in.

    A product waits from when its process is ready until the segment that needs it begins, by the
    plan's durations; what a process makes is not taken out of the fridge besides. An ingredient
    whose temperature is not known stays unknown.
    """
    makers = {each.product_id: each for each in processes if each.product_id}
    if not any(part.id in makers or part.ahead.out_min for part in drink.ingredients):
        return AsUsed(drink)
    pairs = [(part, _waited(drink, part, makers.get(part.id), segments))
             for part in drink.ingredients]  # fmt: skip
    parts = tuple(_warmed(part, waited) if waited else part for part, waited in pairs)
    return AsUsed(replace(drink, ingredients=parts), tuple(each for _, each in pairs if each))


def _warmed(part: Ingredient, waited: Waited) -> Ingredient:
    return replace(part, substance=replace(part.substance or Substance(), temp_c=waited.after))


def _waited(
    drink: Drink, part: Ingredient, process: Process | None, segments: Sequence[Segment]
) -> Waited | None:
    before = _before(part, process)
    stand = _after_process(process, segments) if process else _taken_out(part.ahead.out_min)
    held_ml = batch_ml(drink, part) if before and stand else 0.0
    if before is None or stand is None or held_ml <= 0:
        return None
    start = Estimate(before.value, before.least, before.most)
    in_vessel = process is not None and process.vessel_drink_id == drink.id
    cooling = cooling_of(drink.service if in_vessel else Service(), held_ml)
    temp = stood_temp_c(start, stand, drink.service.room, cooling)
    source = f"{before.value:.3g} °C, then {format_clock(stand.likely_s)} in the room; computed"
    after = Figure(temp.value, temp.low, temp.high, source.replace("-", "−"))
    return Waited(part.id, part.name, process.id if process else None, stand, before, after)


def _before(part: Ingredient, process: Process | None) -> Figure | None:
    """How warm it is when it is ready or comes out."""
    if process is not None and process.to_c is not None:
        return Figure(process.to_c)
    return None if part.substance is None else part.substance.temp_c


def _taken_out(out_min: Figure | None) -> Stand | None:
    if out_min is None:
        return None
    return Stand(60 * out_min.least, 60 * out_min.value, 60 * out_min.most)


def _after_process(process: Process, segments: Sequence[Segment]) -> Stand | None:
    """How long a product stands; None where a link of its process is missing.

    At the least with the quickest segments and the slowest process, at the most the other way.
    """
    lasts = process.duration
    after, before = process.after_segment_id or "", process.before_segment_id or ""
    if not {after, before} <= {segment.id for segment in segments}:
        return None
    quick_s, likely_s, slow_s = (
        placed[before].start_s - placed[after].end_s for placed in placed_at_each(segments)
    )
    return Stand(
        max(quick_s - lasts.most_s, 0.0),
        max(likely_s - lasts.likely_s, 0.0),
        max(slow_s - lasts.least_s, 0.0),
    )
