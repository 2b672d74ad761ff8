"""Drift: what practice runs say, and what to do about it.

    run_table      runs as a table: a row per run, a column per segment, gaps for missing marks
    analysis       everything below for one table: `analysis.analyse`
    sentences      at most five plain sentences from an analysis, each with its evidence; `findings`
                   says what is worth one, `changed` what got longer or shorter, `wording` how
    level          level, spread, distance from the plan
    trend          slope per run and whether it is one (Theil and Sen, Mann and Kendall)
    changes        where the level jumped, for the limits of charts
    moves          whether a time moved of late, and how far
    control        chart of individuals, EWMA chart
    learning_curve whether practice still pays, and where it flattens
    wandering      shares of the total's variance, segments that slow down together
    groups, pairs  the difference between two groups of runs
    looks          which segments changed: for sure, or worth a look
    calibration    how earlier forecasts did; the forecast itself is `server.domain.risk.next_run`
    goals          a goal and the way there
    run_labels     venue and tags of a run, and whether every claim was said
    sessions       runs by day and venue
    courses        runs against the plan, segment by segment
    spreadsheet    tables and a document to take away

All but `calibration`, `courses`, `goals`, `run_labels`, `sessions` and `wording` need NumPy: load
them where they are used.
"""
