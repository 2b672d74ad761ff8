"""python -m tests.bench [NAME ...] [--quick]: measures, and prints a table of figures and ratios.

Each bench measures the app and a peer in the same run, in turns. Trust the ratios; the absolute
figures belong to the machine and to whatever else it does. `clock` takes ten real minutes. `paths`
counts clicks, pages and pixels instead.
"""

import argparse
import importlib

from tests.bench.figures import HEAD, Figure, Told, table

BENCHES = {
    "runs": ("tests.bench.runs_page", "the runs page with 300 runs of 40 segments"),
    "marks": ("tests.bench.events", "one mark durable and answered"),
    "log": ("tests.bench.long_log", "one more mark on a log of thousands"),
    "many": ("tests.bench.many", "pages with ten thousand routines in one database"),
    "live": ("tests.bench.live", "a mark on the screens of fifty who watch"),
    "several": ("tests.bench.several", "two workers on PostgreSQL: five hundred who watch, marks"),
    "start": ("tests.bench.start", "start and weight"),
    "compare": ("tests.bench.comparison", "the statistics of a comparison"),
    "drift": ("tests.bench.drift", "what many runs say, and the page of it"),
    "truth": ("tests.bench.truth", "every computed figure beside what was published of it"),
    "drink": ("tests.bench.drink", "a drink worked out"),
    "claims": ("tests.bench.claims", "claims found in a script, and how fast"),
    "prepare": ("tests.bench.prepare", "what to pack, to make and to buy"),
    "learn": ("tests.bench.learn", "a script learnt by heart for the day on stage"),
    "words": ("tests.bench.words", "claims found and judged, by class of sentence"),
    "risk": ("tests.bench.risk", "the risk of running over"),
    "forecast": (
        "tests.bench.forecast",
        "the next run foretold, and changes told, beside simple rules",
    ),
    "heard": ("tests.bench.heard", "takes aligned with their scripts, and their claims heard"),
    "paths": ("tests.bench.paths", "ten tasks of a presenter, as ways through the pages"),
    "clock": ("tests.bench.clock", "clock error of a run on stage; only by name"),
}


def main() -> None:
    """Run the benches that are named, or all but the clock."""
    parser = argparse.ArgumentParser(prog="python -m tests.bench", description=__doc__)
    listed = ", ".join(f"{name} ({what})" for name, (_, what) in BENCHES.items())
    parser.add_argument("names", nargs="*", metavar="NAME", help=listed)
    parser.add_argument("--quick", action="store_true", help="fewer rounds: does it work at all")
    options = parser.parse_args()
    unknown = set(options.names) - set(BENCHES)
    if unknown:
        parser.error(f"there is no bench called {', '.join(sorted(unknown))}; there are: {listed}")
    for name in options.names or [name for name in BENCHES if name != "clock"]:
        print(f"{BENCHES[name][1]}:", flush=True)
        print(printed(name, quick=options.quick), flush=True)


def printed(name: str, *, quick: bool) -> str:
    """The table of one bench."""
    if name == "paths":
        from tests.bench import paths

        return paths.printed(quick)
    return table(measured(name, quick=quick), head_of(name))


def head_of(name: str) -> tuple[str, ...]:
    """The columns of one bench: its own where it has any."""
    return getattr(importlib.import_module(BENCHES[name][0]), "HEAD", HEAD)


def measured(name: str, *, quick: bool) -> list[Told]:
    """The figures of one bench."""
    if name == "clock":
        return clock_error(60.0 if quick else 600.0)
    return list(importlib.import_module(BENCHES[name][0]).measure(quick))


def clock_error(seconds: float) -> list[Figure]:
    """The largest error of a mark, over real time in a real browser."""
    from tests.bench.clock import errors_ms

    largest = max(abs(error) for error, _ in errors_ms(seconds))
    return [Figure(f"clock error over {seconds:.0f} s", largest, "ms", aim="under 20 ms")]


if __name__ == "__main__":
    main()
