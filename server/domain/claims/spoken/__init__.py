"""What speech does with numbers: hedges, units left out, ratios, numbers said anew.

bounds    how a number is hedged: "no longer than", "at least", "or so"
tails     what stands behind a unit: "and a half", "thirty" behind minutes
ellipsis  numbers whose unit is said elsewhere, or goes without saying
mended    a number corrected or denied in the same breath
ratios    "one to fifteen", "equal parts", "twice as much"
counts    "six ingredients", "fifteen shakes", "enough for two"
"""
