"""Every assumption of the belief in one place, each with its effect.

None is a constant of nature. Those marked "tuned" were chosen on simulated presenters whose
seeds are kept apart from those of the figures that are told (`tests/bench/forecast_seeds.py`).

>>> sorted(each.name for each in TABLE) == sorted(vars(Assumptions()))
True
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Movement:
    """One way in which the pace that all parts share may move from run to run.

    `wander` is the variance of a step of the level over that of a single run; the slope per run
    starts unknown with deviation `slope` (log scale) and keeps the part `damping` at each run.
    `weight` is how much the way counts before there are runs.
    """

    wander: float
    damping: float
    slope: float
    weight: float


MOVEMENTS = (
    Movement(0.0, 1.0, 0.0, 0.60),
    Movement(0.02, 1.0, 0.0, 0.10),
    Movement(0.13, 1.0, 0.0, 0.08),
    Movement(0.40, 1.0, 0.0, 0.04),
    Movement(0.0, 1.0, 0.006, 0.20),
    Movement(0.01, 1.0, 0.004, 0.10),
    Movement(0.0, 0.82, 0.04, 0.12),
    Movement(0.0, 0.90, 0.03, 0.08),
    Movement(0.0, 0.70, 0.04, 0.06),
)


@dataclass(frozen=True)
class Assumptions:
    """What is assumed; `TABLE` says what each value does."""

    movements: tuple[Movement, ...] = MOVEMENTS
    memory: float = 0.99
    plan_own: float = 0.46
    plan_shared: float = 0.26
    plan_noise: float = 0.26
    plan_day: float = 0.014
    day_runs: float = 4.0
    pool_runs: float = 4.0
    part_runs: float = 8.0
    hazard: float = 0.015
    first_hazard: float = 0.2
    step: float = 0.15
    leap: float = 1.0
    leap_share: float = 0.2
    mishap: float = 0.03
    mishap_width: float = 5.0
    lost_marks: float = 0.3
    lost_width: float = 2.0
    tail: float = 5.0
    trimmed: float = 1.19
    break_days: float = 5.0
    break_spread: float = 0.02
    break_toll: float = 0.01
    break_person: float = 0.02
    break_kept: float = 0.65
    break_doubt: float = 0.5
    far_run: float = 3.0
    plan_step: float = 0.5
    incident_runs: float = 3.0
    mishap_sure: float = 0.5
    beside_kept: float = 0.8
    least_spread: float = 0.02
    most_spread: float = 0.6
    pace_wpm: float = 145.0
    pace_spread: float = 0.15
    pace_segment: float = 0.10
    pace_run: float = 0.07
    pace_both: float = 0.30
    pace_filled: float = 0.7
    pace_words: int = 8
    pace_runs: int = 8
    pace_slowest: float = 50.0
    pace_fastest: float = 320.0


@dataclass(frozen=True)
class Assumption:
    """An assumption, why it has its value, and what it does to the forecast."""

    name: str
    source: str
    effect: str


TABLE = (
    Assumption("movements", "tuned", "how soon a learning curve, a slope or a new level is "
               "followed; the first is no movement at all"),
    Assumption("memory", "tuned; forgetting as in Raftery et al. 2010, Technometrics 52:52",
               "part of a run's say in the choice of movement that is left a run later: lower "
               "changes its mind sooner, and is less sure"),
    Assumption("plan_own", "no source", "part of the plan's spread that is doubt of a single "
               "part's usual time: higher leaves the plan sooner"),
    Assumption("plan_shared", "no source", "part of the plan's spread that is doubt of the pace "
               "of the whole: higher leaves the plan's total sooner"),
    Assumption("plan_noise", "no source", "part of the plan's spread that comes anew in every "
               "run; fades as the runs show their own"),
    Assumption("plan_day", "no source", "part of the plan's spread that a day shares; fades "
               "likewise"),
    Assumption("day_runs", "tuned", "how many runs the assumed spread of days weighs: higher "
               "makes the first intervals narrower and slower to learn"),
    Assumption("pool_runs", "no source", "how many splits the assumed spread of splits weighs"),
    Assumption("part_runs", "no source", "how many runs the spread of all parts weighs in that "
               "of one: higher makes parts more alike"),
    Assumption("hazard", "tuned", "chance that a part's usual time is a new one in a run: higher "
               "follows a cut sooner and an odd split too readily"),
    Assumption("first_hazard", "no source", "the same in the first run of a part: how often a "
               "plan is far off"),
    Assumption("step", "tuned", "deviation of such a change, on the log scale"),
    Assumption("leap", "no source", "deviation of a change to something else altogether"),
    Assumption("leap_share", "no source", "part of the changes that are such"),
    Assumption("mishap", "tuned", "chance that a split tells nothing of the usual time: higher "
               "is less moved by odd splits"),
    Assumption("mishap_width", "no source", "how many times further such splits scatter"),
    Assumption("lost_marks", "no source", "part of such splits that come of a mark forgotten or "
               "pressed twice: higher waits for a second run before it believes a far one"),
    Assumption("lost_width", "no source", "deviation of those (log scale)"),
    Assumption("tail", "tuned", "degrees of freedom of the Student law that splits and days are "
               "weighed by: lower heeds far ones less"),
    Assumption("trimmed", "computed for normal days and `tail`", "makes up for what weighing "
               "takes from the spread of days"),
    Assumption("break_days", "no source", "days without a run from which on a break is one"),
    Assumption("break_spread", "tuned", "deviation of what one break of three weeks costs the "
               "pace beside another: higher widens the forecast after it and follows the first "
               "run sooner"),
    Assumption("break_toll", "loss grows with the days without practice (Arthur et al. 1998, Human "
               "Performance 11:57); its size tuned with care, to hurt little where breaks cost "
               "nothing", "what such a break is expected to cost until this person's own have "
               "told (log scale): higher expects a slower first run"),
    Assumption("break_person", "no source", "deviation of that cost between people: higher "
               "expects of the next break what the last ones have cost"),
    Assumption("break_kept", "tuned", "part of what a break cost that is left a run later: lower "
               "expects the old pace again sooner"),
    Assumption("break_doubt", "tuned", "how far such a break takes back what the runs have shown "
               "of the kind of movement"),
    Assumption("far_run", "no source", "deviations from the forecast from which on a run is taken "
               "for slow or quick throughout: higher has a clock left running move every part's "
               "usual time"),
    Assumption("plan_step", "no source", "part of a change in the plan by which it may be missed "
               "on stage: higher waits for runs to show it"),
    Assumption("incident_runs", "no source", "runs with half an incident in all that are "
               "taken to have been before: higher expects fewer at first"),
    Assumption("mishap_sure", "no source", "chance of a mishap from which on a split counts as an "
               "incident that nobody noted"),
    Assumption("beside_kept", "no source", "part of what lanes save that is still believed a "
               "run later"),
    Assumption("least_spread", "no source", "scale that a plan without low and high apart is "
               "followed with"),
    Assumption("most_spread", "no source", "scale that a plan of any width is followed with at "
               "most"),
    Assumption("pace_wpm", "rates of public talks (see `words_pace`)", "words a minute, pauses "
               "included, until runs have measured them"),
    Assumption("pace_spread", "published bands: one deviation spans 125 to 168", "deviation of "
               "the pace between people (log scale): higher leaves the published one sooner"),
    Assumption("pace_segment", "no source", "how far the pace of one segment lies from a person's "
               "own (names, lists, a joke): higher wants more segments"),
    Assumption("pace_run", "no source", "how far the pace of a segment lies apart from run to run"),
    Assumption("pace_both", "no source", "as `pace_segment` where the hands work too"),
    Assumption("pace_filled", "two deviations between people", "words that take this part of a "
               "segment at the usual pace set its time; with fewer the hands do, which teaches "
               "nothing of the pace"),
    Assumption("pace_words", "no source", "segments with fewer words teach no pace"),
    Assumption("pace_runs", "simulated: of stable, learning and tiring presenters the latest eight "
               "err least at the worst, against all runs and the latest 4, 6 and 12", "how many of "
               "a segment's latest runs its pace rests on: more follows a change later"),
    Assumption("pace_slowest", "no source", "slower is no talk: a slip of the clock, a silence"),
    Assumption("pace_fastest", "no source", "faster is no talk"),
)  # fmt: skip
