"""The plan as a network under uncertainty: who waits for whom, and the chance to finish in time.

Start with `parts` (a routine as this package sees it), `activities` (its network) and `times`
(earliest, latest, slack), `model` (durations as believed after the runs) and `forecast` (questions
asked of it). `next_run` is what every page tells of the next run, `saying` in which words. NumPy is
loaded only when `forecast` is asked something.
"""
