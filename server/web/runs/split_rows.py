"""Rows of the table of splits, prepared as text: a template loop over every cell would cost the
most of a page with hundreds of runs. A row is kept until its run or the plan changes."""

from functools import lru_cache, partial

from markupsafe import Markup, escape

from server.domain.base.memo import Memo
from server.domain.base.number_words import count
from server.domain.runs.compare import ComparedRun, RunComparison
from server.domain.runs.summary import RunLine
from server.web.frame.filters import apart, clock_ms, run_name, signed, split_ms

ROWS_KEPT = 4_096
"""About 2 KB each where runs have 40 segments."""

Columns = tuple[tuple[str, float | None], ...]
"""The segments of the table: id, and how long it is planned (ms)."""

_drawn = Memo[str, tuple[ComparedRun, Columns], str](ROWS_KEPT)


def run_rows(compared: RunComparison, most: int) -> Markup:
    """A table row for each of the latest `most` runs, latest first."""
    columns = _same(tuple((each.id, each.planned_ms) for each in compared.segments))
    rows = [
        _drawn.of(run.line.id, (run, columns), partial(_row, run, columns))
        for run in reversed(compared.runs[-most:])
    ]
    return Markup("".join(rows))  # noqa: S704  (every text inside is escaped or a number)


@lru_cache(maxsize=64)
def _same(columns: Columns) -> Columns:
    """Equal columns as one object, so that they need not be compared for every row."""
    return columns


def _row(run: ComparedRun, columns: Columns) -> str:
    line = run.line
    splits = line.summary.splits_ms
    cells = "".join([_split(splits.get(each), planned_ms) for each, planned_ms in columns])
    muted = "" if line.splits_count else ' class="not-counted"'
    return (
        f'<tr{muted}><th scope="row"><a href="/runs/{escape(line.id)}">'
        f"<bdi>{escape(run_name(line))}</bdi></a>"
        f"{_remark(run)}</th><td>{_choice(line)}</td>{_total(run)}{cells}</tr>"
    )


def _choice(line: RunLine) -> str:
    """The button that takes a run out of the figures, or into them; none while it is open."""
    if line.is_open:
        return ""
    takes_out = line.may_be_left_out
    name, words = ("leave_out", "Don’t count") if takes_out else ("count", "Count it")
    return (
        f'<button class="quiet" id="counts-{escape(line.id)}" name="{name}" '
        f'value="{escape(line.id)}" aria-label="{words}: {escape(run_name(line))}">{words}</button>'
    )


def _remark(run: ComparedRun) -> str:
    """What is to be known of the run at a glance, in words."""
    line = run.line
    remarks = [f"{escape(name)} late" for name in run.missed]
    if line.why_not:
        remarks.append(line.why_not)
    if line.occasion.left_out:
        remarks.append(f"{count(len(line.occasion.left_out), 'split')} not counted")
    if line.summary.incidents:
        number = len(line.summary.incidents)
        remarks.append(f"{number} incident{'s' if number > 1 else ''}")
    return f' <small dir="auto">{", ".join(remarks)}</small>' if remarks else ""


def _total(run: ComparedRun) -> str:
    if run.verdict is None:
        return "<td>–</td><td>–</td><td>–</td>"
    verdict = run.verdict
    over = "" if verdict.inside else ' class="over"'
    to_slot = apart(verdict.to_slot_s, "over", "inside", "just inside", tenths=True)
    penalty = "stopped" if verdict.cut_off else f"{verdict.penalty:g}"
    return (
        f"<td><b>{clock_ms(run.line.total_ms)}</b></td><td{over}>{to_slot}</td><td>{penalty}</td>"
    )


def _split(split_ms_: int | None, planned_ms: float | None) -> str:
    if split_ms_ is None:
        return "<td>–</td>"
    if planned_ms is None:
        return f"<td>{split_ms(split_ms_)}</td>"
    longer = signed((split_ms_ - planned_ms) / 1000).removesuffix(" s")
    return f"<td>{split_ms(split_ms_)} <small>{longer}</small></td>"
