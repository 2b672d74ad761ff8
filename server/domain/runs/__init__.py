"""What happened when it was presented: a log of events, and what it folds to.

events      what the browser that holds the clock appends, and who watches beside it
clock       when each of them happened, by the clocks of the devices; undo is an event too
holding     who holds the clock where two devices say that they do
run         the fold: marks, splits, incidents; `folding` folds on where a log only grows
counting    whether a run counts: asked through `RunLine.counts` of `summary`
moment      when a run was made, as far as clocks can be believed
remarks     what watchers tick, note and call; `points` what they give
paper       a run timed on paper, which is folded like any other
compare     runs beside one another; `against_plan`, `splits` and `chapters` tell of their segments

The browser appends to its own log, in two places on the device, before the screen reacts
(`static/js/run/journal.js`), and sends until the server has acknowledged the ids (`sender.js`).
The server appends what is new and folds on (`store/runs.py`); marks that wait together go into one
transaction (`store/grouped.py`). Times are derived from both clocks of a device: nothing is summed
from ticks.

Two folds say the same, here and in `static/js/run/fold.js`, held to `tests/run_cases.json`; so do
holding, counting (`tests/doubt_cases.json`) and the segment of a remark
(`tests/segment_cases.json`). What a page shows at a moment is pure (`run/view_state.js`) and put on
it by painters. Setting up and clearing away are the phase of a part; a part that is practised is
`Plan.part`: ask `RunLine.counts` for whole runs, `splits_count` for segments.
"""
