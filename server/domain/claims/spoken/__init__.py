"""What speech does: hedged numbers, units left out, ratios, numbers said anew, answers.

bounds       how a number is hedged: "no longer than", "at least", "or so"
recipes      ratios and counts against the recipe; `brew_masses`: dose, water and yield of a brew
amounts_held amounts: of an ingredient, a brew, the alcohol, or all together
times_held   durations against plan and brews, told apart by what is done (`time_acts`)
around       the clause that a number is told in, where no marks stand too
spoken_text  all quantities of a text, sentence by sentence
tails        what stands behind a unit: "and a half", "thirty" behind minutes
ellipsis     numbers whose unit is said elsewhere, or goes without saying
mended       a number corrected or denied in the same breath
ratios       "one to fifteen", "equal parts", "twice as much"
in_parts     "two parts sugar and one of water", of a syrup
apiece       amounts for one glass or for all: "twenty a head", "one each"
answers      what is said behind a word of it: "Smoky? Hardly."
counts       "six ingredients", "fifteen shakes", "enough for two"
"""
