"""The forms of the plan: a segment and a parallel process, from what was typed and back."""

from functools import partial

from server.domain.base.durations import format_duration, write_duration
from server.domain.base.numbers import write_number
from server.domain.routine.edits import part_of
from server.domain.routine.filter_reading import FiltrationReading
from server.domain.routine.process import MOST_READINGS
from server.domain.routine.routine import (
    LANES,
    MOST_LINKS,
    Lane,
    Process,
    Routine,
    Segment,
    Spread,
)
from server.web.frame.editing import NEW
from server.web.frame.forms import Typed, renamed

SPARE_READINGS = 3
"""Empty lines for readings beneath those that are there."""


def segment_from(typed: Typed, segment_id: str) -> Segment:
    """The segment that a form describes; raises InvalidInput with every fault."""
    duration = _spread(typed)
    both: Lane = "both"
    return typed.built(
        lambda: Segment(
            id=segment_id,
            name=typed.text("name"),
            duration=duration,
            lane=typed.chosen("lane", LANES, both),
            hands=typed.text("hands"),
            said=typed.text("said"),
            drink_id=typed.choice("drink"),
            alongside=typed.ticked("alongside"),
            after_segment_ids=_links(typed),
            helper=typed.ticked("helper"),
            movable=typed.ticked("movable"),
            auto_advance=typed.ticked("auto_advance"),
        )
    )


def process_from(typed: Typed, process_id: str) -> Process:
    """The parallel process that a form describes; raises InvalidInput with every fault."""
    duration = _spread(typed)
    if not typed.text("after"):
        typed.fault("after", "Choose the segment at whose end it starts.")
    if not typed.text("before"):
        typed.fault("before", "Choose the segment that needs it ready.")
    patience_s, by_s, cost_s = (
        typed.optional_duration(name) or 0.0 for name in ("patience", "by", "cost")
    )
    readings = _readings(typed)
    batch_ml = typed.optional_number("batch")
    from_c, to_c = (typed.optional_number(name) for name in ("from", "to"))
    return typed.built(
        lambda: Process(
            id=process_id,
            name=typed.text("name"),
            duration=duration,
            after_segment_id=typed.choice("after"),
            before_segment_id=typed.choice("before"),
            fallback=typed.text("fallback"),
            patience_s=patience_s,
            fallback_by_s=by_s,
            fallback_cost_s=cost_s,
            readings=readings,
            batch_ml=batch_ml,
            # A form that has no such box leaves the usual case.
            falling_head=typed.text("head") != "held",
            vessel_drink_id=typed.choice("vessel"),
            from_c=from_c,
            to_c=to_c,
            product_id=typed.choice("product"),
        )
    )


def plan_values(routine: Routine, edit: str) -> dict[str, str]:
    """The texts with which the open form starts; `edit` names the part."""
    kind, _, part_id = edit.partition("-")
    if part_id in ("", NEW):
        return {"lane": "both", "head": "falling"}
    if kind == "process":
        return _process_values(part_of(routine.processes, part_id))
    return _segment_values(part_of(routine.segments, part_id))


def link_names(values: dict[str, str]) -> list[str]:
    """The names of the fields for links: those that are filled, and an empty one."""
    return _numbered("after", values, MOST_LINKS, 1)


def reading_numbers(values: dict[str, str]) -> list[str]:
    """The numbers of the lines for readings: those that are filled, and some empty ones."""
    names = _numbered("read-ml", values, MOST_READINGS, SPARE_READINGS)
    return [name.removeprefix("read-ml").removeprefix("-") for name in names]


def _numbered(stem: str, values: dict[str, str], most: int, spare: int) -> list[str]:
    names = [stem, *(f"{stem}-{number}" for number in range(2, most + 1))]
    filled = [place for place, name in enumerate(names) if values.get(name)]
    return names[: max(filled, default=-1) + 1 + spare]


def _links(typed: Typed) -> tuple[str, ...]:
    chosen = (typed.choice(name) for name in link_names(typed.values))
    return tuple(dict.fromkeys(each for each in chosen if each))


def _readings(typed: Typed) -> tuple[FiltrationReading, ...]:
    found = []
    for number in range(1, MOST_READINGS + 1):
        tail = "" if number == 1 else f"-{number}"
        time_name, volume_name = f"read-at{tail}", f"read-ml{tail}"
        if not typed.text(time_name) and not typed.text(volume_name):
            continue
        time_s = typed.duration(time_name)
        volume_ml = typed.number(volume_name)
        if not typed.failed(time_name, volume_name):
            fields = {"time_s": time_name, "volume_ml": volume_name}
            reading = typed.take(
                partial(renamed, partial(FiltrationReading, time_s, volume_ml), fields), None
            )
            found += [reading] if reading else []
    return tuple(sorted(found, key=lambda reading: reading.time_s))


def _spread(typed: Typed) -> Spread:
    likely_s = typed.duration("likely")
    low_s, high_s = typed.optional_duration("low"), typed.optional_duration("high")
    if typed.failed("likely", "low", "high"):
        return Spread(0.0)
    spread = typed.take(lambda: Spread(likely_s, low_s, high_s), Spread(0.0))
    if spread.is_wide and not typed.ticked("wide"):
        typed.fault("wide", _wide_question(spread))
    return spread


def _wide_question(spread: Spread) -> str:
    likely, high = format_duration(spread.likely_s), format_duration(spread.most_s)
    return (
        f"The highest, {high}, is more than ten times the likely {likely}. Is one of the two a "
        "slip? Mend it, or tick that it is meant so."
    )


def _segment_values(segment: Segment) -> dict[str, str]:
    names = _numbered("after", {}, MOST_LINKS, MOST_LINKS)
    return {
        "name": segment.name,
        "lane": segment.lane,
        "hands": segment.hands,
        "said": segment.said,
        "drink": segment.drink_id or "",
        "auto_advance": "yes" if segment.auto_advance else "",
        "alongside": "yes" if segment.alongside else "",
        "helper": "yes" if segment.helper else "",
        "movable": "yes" if segment.movable else "",
        **dict(zip(names, segment.after_segment_ids, strict=False)),
        **_spread_values(segment.duration),
    }


def _process_values(process: Process) -> dict[str, str]:
    times = {
        "patience": process.patience_s,
        "by": process.fallback_by_s,
        "cost": process.fallback_cost_s,
    }
    return {
        "name": process.name,
        "after": process.after_segment_id or "",
        "before": process.before_segment_id or "",
        "fallback": process.fallback,
        **{name: write_duration(seconds) for name, seconds in times.items() if seconds},
        **_reading_values(process),
        "batch": "" if process.batch_ml is None else write_number(process.batch_ml),
        "head": "falling" if process.falling_head else "held",
        "vessel": process.vessel_drink_id or "",
        "product": process.product_id or "",
        "from": "" if process.from_c is None else write_number(process.from_c),
        "to": "" if process.to_c is None else write_number(process.to_c),
        **_spread_values(process.duration),
    }


def _reading_values(process: Process) -> dict[str, str]:
    values = {}
    for number, reading in enumerate(process.readings, 1):
        tail = "" if number == 1 else f"-{number}"
        values[f"read-at{tail}"] = write_duration(reading.time_s)
        values[f"read-ml{tail}"] = write_number(reading.volume_ml)
    return values


def _spread_values(spread: Spread) -> dict[str, str]:
    times = {"low": spread.low_s, "likely": spread.likely_s, "high": spread.high_s}
    typed = {name: write_duration(time) for name, time in times.items() if time is not None}
    # What was confirmed once is not asked again.
    return typed | ({"wide": "yes"} if spread.is_wide else {})
