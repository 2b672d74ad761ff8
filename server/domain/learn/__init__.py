"""Learning the words by heart: how a text thins out, what is remembered, what to say today.

thinning    how a sentence thins out, step by step
memory      what is remembered: the only module that knows fsrs
today       what to say today; `days_ahead` plays the days up to the stage
recorded    what a recording tells of it
cards       cue cards
"""
