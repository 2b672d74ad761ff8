"""What the page of the station shows."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from hashlib import sha256
from statistics import median
from typing import TYPE_CHECKING

from server.domain.prepare.kit import KitThing
from server.domain.prepare.station.amiss import Amiss, amiss_of, heat_at
from server.domain.prepare.station.seconds import Saved, saved
from server.domain.prepare.station.setting_up import in_order, where_words
from server.domain.prepare.station.travel import Far, Travel, travel_of
from server.domain.prepare.station.uses import Stood, Use, by_id, pours_of, stood_of, uses_of
from server.domain.routine.routine import Routine
from server.domain.routine.station import Hand, Heat, Holds, Side, Station
from server.domain.runs.summary import RunLine
from server.web.frame.forms import Form
from server.web.frame.shown import RoutinePage
from server.web.prepare.kit_view import short_name
from server.web.prepare.outside import OutsideShown
from server.web.prepare.photograph_shown import BarPhotograph
from server.web.prepare.station_drawing import Drawing, drawing_of

if TYPE_CHECKING:
    from server.domain.prepare.station.better import PlaceProposal

LAST_RUNS = 8
"""The splits of so many runs tell how long a segment takes now."""

AT_ONCE = 6
"""So many findings are shown; the others fold."""


@dataclass(frozen=True)
class StationFinding:
    """Something that is amiss: a word for it, the sentence, and the thing with its number."""

    word: str
    words: str
    spot_id: str
    number: int


@dataclass(frozen=True)
class StationLine:
    """A thing in the order of setting up."""

    spot_id: str
    number: int
    name: str
    tint: str
    where: str
    note: str


@dataclass(frozen=True)
class Unplaced:
    """A thing of the kit that stands nowhere yet."""

    key: str
    name: str
    is_used: bool


@dataclass(frozen=True)
class Better:
    """A proposal in words: what goes where, what that saves, and how near it is to the best.

    Each move is the number of a thing on the plan, its name, and where it goes.
    """

    moves: tuple[tuple[int, str, str], ...]
    headline: str
    detail: str
    mark: str
    look: str


@dataclass(frozen=True, kw_only=True)
class StationPage(RoutinePage, folder="station"):
    """The station of a routine; `looked_at` is the id of the spot that is open."""

    headline: str
    beneath: str
    drawing: Drawing | None
    findings: tuple[StationFinding, ...]
    at_once: int
    lines: tuple[StationLine, ...]
    unplaced: tuple[Unplaced, ...]
    better: Better | None
    outside: tuple[OutsideShown, ...]
    photograph: BarPhotograph
    edit: str
    edited: str
    form: Form
    hands: Mapping[Hand, str]
    sides: Mapping[Side, str]
    heats: Mapping[Heat, str]
    holds: Mapping[Holds, str]
    surfaces: Mapping[str, str]


@dataclass(frozen=True)
class Measured:
    """A station with all that follows from it."""

    station: Station
    stood: tuple[Stood, ...]
    uses: tuple[Use, ...]
    pours: tuple[str, ...]
    travel: Travel
    amiss: tuple[Amiss, ...]

    @property
    def names(self) -> dict[str, str]:
        """Id of a spot -> what its thing is called."""
        return {each.spot.id: short_name(each.thing.name) for each in self.stood}

    @property
    def numbers(self) -> dict[str, int]:
        """Id of a spot -> its number on the plan, which is that of setting up."""
        ordered = in_order(self.station, self.stood)
        return {each.spot.id: number for number, each in enumerate(ordered, 1)}


def measured(routine: Routine, kit: Sequence[KitThing], station: Station) -> Measured:
    """What follows from where things stand."""
    stood = stood_of(station, kit)
    uses, pours = uses_of(routine, stood), pours_of(routine, stood)
    travel = travel_of(station, stood, uses)
    return Measured(station, stood, uses, pours, travel, amiss_of(station, stood, pours))


def mark_of_station(station: Station) -> str:
    """A short mark of a station: whether a proposal is still about it."""
    return sha256(repr(station).encode()).hexdigest()[:16]


def drawn(
    routine: Routine, found: Measured, looked_at: str, proposal: "PlaceProposal | None"
) -> Drawing:
    """The picture of the plan."""
    states = {each.spot_id: "is-amiss" for each in found.amiss if each.kind != "hidden"}
    states |= {each.other_id: "is-amiss" for each in found.amiss if each.kind == "hidden"}
    states |= {each.spot_id: "is-amiss" for each in found.travel.far}
    if looked_at:
        states[looked_at] = "is-open"
    ordered = in_order(found.station, found.stood)
    return drawing_of(routine, ordered, found.uses, proposal.moves if proposal else (), states)


def headline_of(found: Measured) -> tuple[str, str]:
    """The answer of the page in one line, and what is amiss in another."""
    if not found.station.surfaces:
        return "How large is your bar?", "Give its surfaces in centimetres, then set things out."
    if not found.stood:
        return "Nothing stands on the bar yet", ""
    travel = found.travel
    words = f"Hands go {metres(travel.hands_cm)} in a run, feet {metres(travel.feet_cm)}"
    hidden = sum(each.kind == "hidden" for each in found.amiss)
    hot = sum(each.kind == "hot" for each in found.amiss)
    counts = (
        (len(travel.far), "beyond reach"),
        (hidden, "in the way of a pour"),
        (hot, "hot by cold"),
        (sum(each.times for each in travel.crossings), "times with crossed arms"),
    )
    return words, " · ".join(f"{count} {name}" for count, name in counts if count)


def findings_of(found: Measured) -> Iterator[StationFinding]:
    """All that is amiss in words: what breaks or spoils something first."""
    names, numbers = found.names, found.numbers
    said = [_said(each, names) for each in found.amiss]
    said += [("Far", _far_words(far, names), far.spot_id) for far in found.travel.far]
    for each_crossing in found.travel.crossings:
        left, right = each_crossing.left_spot_id, each_crossing.right_spot_id
        between, often = f"{names[left]} and {names[right]}", _times(each_crossing.times)
        said.append(("Crossed", f"Arms cross between {between}, {often}.", left))
    for word, sentence, spot_id in said:
        yield StationFinding(word, sentence, spot_id, numbers[spot_id])


def lines_of(found: Measured, tints: Mapping[str, str]) -> tuple[StationLine, ...]:
    """The things in the order of setting up, each with where it stands."""
    heats = {"hot": "hot", "cold": "cold"}
    return tuple(
        StationLine(
            each.spot.id,
            number,
            short_name(each.thing.name),
            " ".join(tints[drink_id] for drink_id in each.thing.drink_ids) or "no-drink",
            where_words(found.station, each),
            ", ".join(
                word
                for word in (each.thing.how_many, heats.get(heat_at(each), ""),
                             "stays" if each.spot.stays else "")
                if word
            ),
        )
        for number, each in enumerate(in_order(found.station, found.stood), 1)
    )  # fmt: skip


def unplaced_of(station: Station, kit: Sequence[KitThing]) -> tuple[Unplaced, ...]:
    """What has to be packed and stands nowhere yet, what segments use first."""
    placed = {spot.key for spot in station.spots}
    left = [each for each in kit if each.is_needed and each.key not in placed]
    found = (Unplaced(each.key, short_name(each.name), bool(each.segment_ids)) for each in left)
    return tuple(sorted(found, key=lambda each: not each.is_used))


def better_of(
    proposal: "PlaceProposal", before: Measured, after: Measured, runs: Sequence[RunLine], look: str
) -> Better:
    """A proposal in words."""
    mark = mark_of_station(before.station)
    if not proposal.moves:
        return Better(
            (), "Nothing stands clearly better elsewhere", _bound(proposal, after), "", look
        )
    names, known, numbers = before.names, by_id(after.stood), before.numbers
    moves = tuple(
        (
            numbers[move.spot_id],
            names[move.spot_id],
            where_words(proposal.station, known[move.spot_id]),
        )
        for move in proposal.moves
    )
    splits = [_seconds(line) for line in runs if line.splits_count][-LAST_RUNS:]
    typical = {
        each: median(run[each] for run in splits if each in run)
        for each in {key for run in splits for key in run}
    }
    gain = saved(before.travel, after.travel, typical, splits)
    fewer = len(before.amiss) - len(after.amiss)
    words = f"{metres(abs(gain.cm))} {'less' if gain.cm >= 0 else 'more'} in a run"
    if fewer > 0:
        words += f", {fewer} fewer in the way or too near"
    return Better(moves, words, f"{_seconds_words(gain)} {_bound(proposal, after)}", mark, look)


def metres(cm: float) -> str:
    """A way as the page says it.

    >>> metres(1860.2), metres(85.0)
    ('18.6 m', '85 cm')
    """
    return f"{cm / 100:.1f} m" if cm >= 99.5 else f"{cm:.0f} cm"


def _said(each: Amiss, names: Mapping[str, str]) -> tuple[str, str, str]:
    name, other = names[each.spot_id], names.get(each.other_id, "")
    if each.kind == "beside":
        return ("Off", f"{name} stands beside the bar.", each.spot_id)
    if each.kind == "over":
        return ("Edge", f"{name} hangs {each.by_cm:.0f} cm over the edge.", each.spot_id)
    if each.kind == "upon":
        return ("Together", f"{name} and {other} stand in one another.", each.spot_id)
    if each.kind == "hot":
        words = f"{name} is hot, {each.by_cm:.0f} cm from {other}, which must stay cold."
        return ("Hot", words, each.spot_id)
    return ("Hidden", f"{other} hides {name} from the judges.", each.other_id)


def _far_words(far: Far, names: Mapping[str, str]) -> str:
    if far.is_out:
        return f"{names[far.spot_id]} is out of reach from the line you stand on."
    words = f"{names[far.spot_id]} is {far.beyond_cm:.0f} cm beyond your reach"
    return f"{words}, taken {_times(far.times)}."


def _times(count: int) -> str:
    return "once" if count == 1 else f"{count} times"


def _seconds(line: RunLine) -> dict[str, float]:
    return {key: ms / 1000 for key, ms in line.summary.splits_ms.items()}


def _seconds_words(gain: Saved) -> str:
    basis = "by your own splits" if gain.by_splits else "by a table of hand movements (MTM-1)"
    words = f"About {abs(gain.seconds):.1f} s {'less' if gain.seconds >= 0 else 'more'}, {basis}."
    if gain.noise_s is None:
        return f"{words} Too few runs to tell whether you would notice."
    differ = f"these segments differ by {gain.noise_s:.1f} s from run to run"
    if gain.is_noise:
        return f"{words} That is less than the noise: {differ}."
    return f"{words} Worth noticing: {differ}."


def _bound(proposal: "PlaceProposal", after: Measured) -> str:
    if proposal.is_best:
        return "All arrangements of these places were tried."
    now, least = metres(after.travel.all_cm), metres(proposal.least_cm)
    return f"{now} in all; no arrangement of these places can do with less than {least}."
