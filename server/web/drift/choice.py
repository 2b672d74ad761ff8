"""Which runs are held against which: groups named by short words in an address.

    rest                     all runs of neither group
    run:<id>                 one run
    tag:<tag>, venue:<name>  runs that carry it
    day:<2026-11-20>         runs of a day
    plan:<key>               runs of one state of the plan
    before:<id>, from:<id>   runs before a run; that run and all later ones

A group of several words holds the runs of all of them. Dates narrow it down.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from server.domain.drift.wording import day as day_words
from server.web.drift.drift_reading import DriftReading

REST = "rest"
LISTED_RUNS = 60


@dataclass(frozen=True)
class Choice:
    """One side of a comparison, as it was asked for."""

    words: tuple[str, ...]
    since: date | None = None
    until: date | None = None


@dataclass(frozen=True)
class Option:
    """Something that can be chosen."""

    value: str
    words: str


@dataclass(frozen=True)
class OptionGroup:
    """Things that can be chosen, of one kind."""

    title: str
    options: tuple[Option, ...]


def chosen_runs(
    reading: DriftReading, plans: Mapping[str, str], first: Choice, second: Choice
) -> tuple[list[str], list[str]]:
    """The ids of the runs on both sides; a run that would be on both is on the first alone."""
    named = [_named(reading, plans, choice) for choice in (first, second)]
    one = _within(reading, first, named[0])
    other = _within(reading, second, named[1] - one)
    everyone = set(reading.drift.table.run_ids)
    if REST in second.words:
        other |= _within(reading, second, everyone - one)
    if REST in first.words:
        one |= _within(reading, first, everyone - other)
    order = reading.drift.table.run_ids
    return [key for key in order if key in one], [key for key in order if key in other]


def options(reading: DriftReading, plans: Mapping[str, str]) -> list[OptionGroup]:
    """Everything that can be chosen."""
    table = reading.drift.table
    runs = range(table.runs)
    tags = sorted({tag for labels in table.labels for tag in labels.tags}, key=str.casefold)
    venues = sorted({labels.venue for labels in table.labels if labels.venue}, key=str.casefold)
    days = dict.fromkeys(table.day(run) for run in reversed(runs))
    groups = [
        OptionGroup("All", (Option(REST, "all others"),)),
        OptionGroup("Kind of run", tuple(Option(f"tag:{tag}", tag) for tag in tags)),
        OptionGroup("Venue", tuple(Option(f"venue:{venue}", venue) for venue in venues)),
        OptionGroup("State of the plan", _plan_options(reading, plans)),
        OptionGroup(
            "Before and after",
            tuple(
                Option(f"{side}:{table.run_ids[run]}", f"{words} {reading.run_name(run)}")
                for run in _first_of_plans(reading, plans)[1:]
                for side, words in (("before", "before"), ("from", "from"))
            ),
        ),
        OptionGroup(
            "Day",
            tuple(
                Option(f"day:{day}", f"{day_words(day)} {day.year}")
                for day in [each for each in days if each is not None][:LISTED_RUNS]
            ),
        ),
        OptionGroup(
            "Single run",
            tuple(
                Option(f"run:{table.run_ids[run]}", reading.run_name(run))
                for run in [*reversed(runs)][:LISTED_RUNS]
            ),
        ),
    ]
    return [group for group in groups if group.options]


def choice_words(choice: Choice, offered: Sequence[OptionGroup]) -> str:
    """What a choice is called."""
    names = {each.value: each.words for group in offered for each in group.options}
    words = " and ".join(names.get(word, "unknown runs") for word in choice.words) or "no runs"
    since = f" since {day_words(choice.since)}" if choice.since else ""
    until = f" up to {day_words(choice.until)}" if choice.until else ""
    return words + since + until


def _named(reading: DriftReading, plans: Mapping[str, str], choice: Choice) -> set[str]:
    table = reading.drift.table
    found: set[str] = set()
    for word in choice.words:
        kind, _, what = word.partition(":")
        holds = _holds(reading, plans, kind, what)
        found |= {table.run_ids[run] for run in range(table.runs) if holds(run)}
    return found


def _holds(
    reading: DriftReading, plans: Mapping[str, str], kind: str, what: str
) -> Callable[[int], bool]:
    """Whether a run of the table is among those that a word names."""
    table = reading.drift.table
    ids = table.run_ids
    place = ids.index(what) if what in ids else -1
    tests: dict[str, Callable[[int], bool]] = {
        "run": lambda run: ids[run] == what,
        "tag": lambda run: what in table.labels[run].tags,
        "venue": lambda run: table.labels[run].venue == what,
        "day": lambda run: str(table.day(run)) == what,
        "plan": lambda run: plans.get(ids[run]) == what,
        "before": lambda run: run < place,
        "from": lambda run: run >= place >= 0,
    }
    return tests.get(kind, lambda _: False)


def _within(reading: DriftReading, choice: Choice, run_ids: set[str]) -> set[str]:
    """Those of the runs that were made in the time of the choice."""
    if choice.since is None and choice.until is None:
        return set(run_ids)
    table = reading.drift.table
    days = {key: table.day(run) for run, key in enumerate(table.run_ids)}
    since, until = choice.since or date.min, choice.until or date.max
    return {key for key in run_ids if (day := days[key]) is not None and since <= day <= until}


def _first_of_plans(reading: DriftReading, plans: Mapping[str, str]) -> list[int]:
    """The first run of each state of the plan."""
    first: dict[str, int] = {}
    for run, key in enumerate(reading.drift.table.run_ids):
        first.setdefault(plans.get(key, ""), run)
    return sorted(first.values())


def _plan_options(reading: DriftReading, plans: Mapping[str, str]) -> tuple[Option, ...]:
    firsts = _first_of_plans(reading, plans)
    if len(firsts) < 2:
        return ()
    keys = [plans.get(reading.drift.table.run_ids[run], "") for run in firsts]
    return tuple(
        Option(f"plan:{key}", f"as it was for {reading.run_name(run)}")
        for key, run in zip(keys, firsts, strict=True)
    )
