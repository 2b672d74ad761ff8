"""The days before the stage as tapes: hands above, and beneath them what goes on by itself."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from server.domain.base.durations import DAY_S
from server.domain.base.text import plain_name
from server.domain.prepare.spans import format_span
from server.domain.prepare.timetable import Leg, PlacedTask, Timetable
from server.web.frame.filters import weekday_words
from server.web.frame.lettering import room_of
from server.web.frame.local_zone import LOCAL, midnight_ms

LEAST_WIDTH = 0.7
"""A stretch is at least so wide, percent: ten minutes of a day are a hair."""


@dataclass(frozen=True)
class DayStretch:
    """A stretch of a day's tape; `x` and `width` in percent.

    `row` counts the rows of its kind from above, by hand or by itself.
    """

    x: float
    width: float
    label: str
    title: str
    tint: str
    room: str = ""
    row: int = 0


@dataclass(frozen=True)
class Hour:
    """An hour of the clock on the tape."""

    x: float
    label: str


@dataclass(frozen=True)
class TaskLine:
    """A task of the timetable as a line of the list.

    `begins` is its latest begin, `not_before` the earliest at which it still keeps. What lies right
    before the stage has no id and no number.
    """

    id: str
    number: int
    name: str
    tint: str
    begins: str
    takes: str
    ready: str
    not_before: str
    note: str


@dataclass(frozen=True)
class DayTape:
    """One day: its tape, and what begins on it.

    `people` are those whose hands it takes, one row of `hands` each; "" is the person themself.
    `glance` names all of it in a line, for a day that is folded; `is_open` where it is not.
    """

    words: str
    hands: tuple[DayStretch, ...]
    people: tuple[str, ...]
    alone: tuple[DayStretch, ...]
    legs: tuple[DayStretch, ...]
    hours: tuple[Hour, ...]
    rows: int
    lines: tuple[TaskLine, ...]
    stage_x: float | None
    glance: str
    is_open: bool


def at(moment_s: float) -> datetime:
    """A moment on the server's clock."""
    return datetime.fromtimestamp(moment_s, LOCAL)


def clock_words(moment_s: float) -> str:
    """The hour of a moment: 14:20."""
    return f"{at(moment_s):%H:%M}"


def moment_words(moment_s: float) -> str:
    """A moment with its day: Sun 29 Nov, 14:20."""
    return f"{weekday_words(at(moment_s).date())}, {clock_words(moment_s)}"


def days_of(table: Timetable, tints: Mapping[str, str], now_s: float) -> tuple[DayTape, ...]:
    """Every day on which something begins, up to the day of the stage, all on one scale."""
    numbers = {each.task.id: number for number, each in enumerate(table.placed, 1)}
    stage_day = at(table.stage_s).date()
    days = {at(each.start_s).date() for each in table.placed} | {stage_day}
    days |= {at(leg.start_s).date() for leg in table.legs}
    scale = _scale(table)
    # Unfolded is what comes next: the first day, and what is due by today.
    unfolded = max(min(days), at(now_s).date())
    return tuple(_day(day, table, numbers, tints, scale, now_s, unfolded) for day in sorted(days))


def _scale(table: Timetable) -> tuple[float, float]:
    """From which second of the day to which all that is done by hand lies; to whole hours."""
    begins = [_of_day(each.start_s) for each in table.placed]
    ends = [begin + each.task.hands_s for begin, each in zip(begins, table.placed, strict=True)]
    begins += [_of_day(leg.start_s) for leg in table.legs]
    ends.append(_of_day(table.stage_s))
    first, last = min([*begins, _of_day(table.stage_s)]), max([*ends, *begins])
    return first // 3600 * 3600, min(DAY_S, -(-(last + 1) // 3600) * 3600)


def _of_day(moment_s: float) -> float:
    shown = at(moment_s)
    return shown.hour * 3600.0 + shown.minute * 60 + shown.second


@dataclass(frozen=True)
class _Scale:
    """A day's tape: from where to where it goes, in seconds since 1970."""

    begin_s: float
    end_s: float

    def x(self, moment_s: float) -> float:
        return 100 * (min(max(moment_s, self.begin_s), self.end_s) - self.begin_s) / self._long_s

    def stretch(self, begin_s: float, end_s: float) -> tuple[float, float] | None:
        """Place and width of what lies on the tape; None if nothing does."""
        if end_s <= self.begin_s or begin_s >= self.end_s:
            return None
        x = self.x(begin_s)
        return x, max(self.x(end_s) - x, LEAST_WIDTH)

    @property
    def _long_s(self) -> float:
        return self.end_s - self.begin_s


def _day(
    day: date,
    table: Timetable,
    numbers: Mapping[str, int],
    tints: Mapping[str, str],
    scale: tuple[float, float],
    now_s: float,
    unfolded: date,
) -> DayTape:
    # By the clock of that day: on one with 23 hours the later ones lie an hour nearer.
    opens, closes = (_clock_s(day, each) for each in scale)
    tape = _Scale(opens, closes)
    by_hand = [each for each in table.placed if tape.stretch(each.start_s, each.hands_end_s)]
    helping = {plain_name(each.task.who) for each in by_hand}
    people = tuple(who for who in table.people if not who or plain_name(who) in helping)
    alone = tuple(_alone(table.placed, tape, numbers, tints))
    here = [each for each in table.placed if at(each.start_s).date() == day]
    is_stage = at(table.stage_s).date() == day
    legs = [leg for leg in table.legs if at(leg.start_s).date() == day]
    lines = [(each.start_s, _line(each, numbers, tints, now_s)) for each in here]
    lines += [(leg.start_s, _leg_line(leg)) for leg in legs]
    in_order = tuple(line for _, line in sorted(lines, key=lambda pair: pair[0]))
    return DayTape(
        words=weekday_words(day),
        hands=tuple(_hands(table.placed, people, tape, numbers, tints)),
        people=people,
        alone=alone,
        legs=tuple(_legs(table, tape)),
        hours=tuple(_hours(scale)),
        rows=1 + max((each.row for each in alone), default=-1),
        lines=in_order,
        stage_x=tape.x(table.stage_s) if is_stage else None,
        glance=", ".join(f"{line.begins} {line.name}" for line in in_order),
        is_open=day <= unfolded,
    )


def _clock_s(day: date, second: float) -> float:
    hour = round(second // 3600)
    if hour >= 24:
        return midnight_ms(day + timedelta(days=1)) / 1000
    return datetime(day.year, day.month, day.day, hour, tzinfo=LOCAL).timestamp()


def _hands(
    placed: Sequence[PlacedTask],
    people: Sequence[str],
    tape: _Scale,
    numbers: Mapping[str, int],
    tints: Mapping[str, str],
) -> Iterator[DayStretch]:
    rows = {plain_name(who): row for row, who in enumerate(people)}
    for each in placed:
        found = tape.stretch(each.start_s, each.hands_end_s) if each.task.hands_s else None
        if found is not None:
            number, task = numbers[each.task.id], each.task
            title = f"{number}. {task.name}: {clock_words(each.start_s)}, {_takes(each)}"
            room = room_of(found[1], len(str(number)))
            row = rows[plain_name(task.who)]
            yield DayStretch(*found, str(number), title, tints[task.id], room, row)


def _alone(
    placed: Sequence[PlacedTask], tape: _Scale, numbers: Mapping[str, int], tints: Mapping[str, str]
) -> Iterator[DayStretch]:
    """What goes on by itself, in as few rows as it takes."""
    ends: list[float] = []
    for each in placed:
        found = tape.stretch(each.hands_end_s, each.ready_s) if each.task.alone_s else None
        if found is None:
            continue
        x, width = found
        row = next((place for place, end in enumerate(ends) if end <= x), len(ends))
        ends[row : row + 1] = [x + width]
        number = numbers[each.task.id]
        title = f"{number}. {each.task.name}: by itself until {moment_words(each.ready_s)}"
        room = room_of(width, len(str(number)) + 1)
        yield DayStretch(x, width, str(number), title, tints[each.task.id], room, row)


def _legs(table: Timetable, tape: _Scale) -> Iterator[DayStretch]:
    for leg in table.legs:
        found = tape.stretch(leg.start_s, leg.end_s)
        if found is not None:
            span = format_span(leg.end_s - leg.start_s)
            title = f"{leg.name}: {clock_words(leg.start_s)}, {span}"
            yield DayStretch(*found, leg.name, title, "no-drink", room_of(found[1], len(leg.name)))


def _hours(scale: tuple[float, float]) -> Iterator[Hour]:
    first, last = (round(each / 3600) for each in scale)
    step = 1 if last - first <= 8 else 2 if last - first <= 16 else 4
    for hour in range(first, last + 1, step):
        share = (hour - first) / max(1, last - first)
        if share <= 0.93:
            yield Hour(100 * share, f"{hour}:00")


def _line(
    placed: PlacedTask, numbers: Mapping[str, int], tints: Mapping[str, str], now_s: float
) -> TaskLine:
    note = ""
    if placed.spoils_s:
        note = f"has to keep {format_span(placed.spoils_s)} longer than it does"
    elif now_s > placed.start_s:
        note = f"should have begun {format_span(now_s - placed.start_s)} ago"
    return TaskLine(
        id=placed.task.id,
        number=numbers[placed.task.id],
        name=placed.task.name,
        tint=tints[placed.task.id],
        begins=clock_words(placed.start_s),
        takes=_takes(placed),
        ready=_ready(placed),
        not_before=_not_before(placed, now_s),
        note=note,
    )


def _leg_line(leg: Leg) -> TaskLine:
    lasts = format_span(leg.end_s - leg.start_s)
    return TaskLine("", 0, leg.name, "no-drink", clock_words(leg.start_s), lasts, "", "", "")


def _not_before(placed: PlacedTask, now_s: float) -> str:
    """From when it still keeps; nothing where that is past, or never comes."""
    if placed.earliest_s is None or placed.spoils_s or placed.earliest_s <= now_s:
        return ""
    is_same = at(placed.start_s).date() == at(placed.earliest_s).date()
    return clock_words(placed.earliest_s) if is_same else moment_words(placed.earliest_s)


def _ready(placed: PlacedTask) -> str:
    if not placed.task.alone_s:
        return ""
    is_same = at(placed.start_s).date() == at(placed.ready_s).date()
    return clock_words(placed.ready_s) if is_same else moment_words(placed.ready_s)


def _takes(placed: PlacedTask) -> str:
    task = placed.task
    parts = []
    if task.hands_s:
        whose = f" ({task.who})" if task.who else ""
        parts.append(f"{format_span(task.hands_s)} by hand{whose}")
    if task.alone_s:
        parts.append(f"{format_span(task.alone_s)} by itself")
    return ", then ".join(parts)
