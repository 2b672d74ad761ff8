"""What speech does: hedged numbers, units left out, ratios, numbers said anew, answers.

bounds       how a number is hedged: "no longer than", "at least", "or so"
recipes      ratios, counts and masses of brews against the recipe
spoken_text  all quantities of a text, sentence by sentence
tails        what stands behind a unit: "and a half", "thirty" behind minutes
ellipsis     numbers whose unit is said elsewhere, or goes without saying
mended       a number corrected or denied in the same breath
ratios       "one to fifteen", "equal parts", "twice as much"
answers      what is said behind a word of it: "Smoky? Hardly."
counts       "six ingredients", "fifteen shakes", "enough for two"
"""
