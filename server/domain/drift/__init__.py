"""Drift: what practice runs say, and what to do about it.

    table          runs as a table: a row per run, a column per segment, gaps for missing marks
    analysis       everything below for one table: `analyse(table, rules)`
    sentences      three to five plain sentences from an analysis, each with its evidence
    level          level, spread, distance from the plan
    trend          slope per run and whether it is one (Theil and Sen, Mann and Kendall)
    changes        where the level jumped, for the limits of charts
    moves          whether a time moved of late, and how far
    control        chart of individuals, EWMA chart
    learning       learning curve, and where it flattens
    together       shares of the total's variance, segments that slow down together
    groups, pairs  the difference between two groups of runs
    looks          which segments changed: for sure, or worth a look
    calibration    how earlier forecasts did; the forecast itself is `server.domain.risk.next_run`
    goals          a goal and the way there
    labels         venue and tags of a run; `run_labels` reads them off its line
    sessions       runs by day and venue
    courses        runs against the plan, segment by segment
    rows           tables and a document to take away

All but `goals`, `labels`, `run_labels`, `sessions`, `courses` and `wording` need NumPy: load them
where they are used.
"""
