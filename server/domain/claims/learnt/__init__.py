"""Where rules end: what stands around a word of taste is weighed, with weights learnt from talks.

Rules read every claim first. `second_look` then looks again at words of flavour, texture and taste
alone: whether one is said of the drink, and whether it is said to be there, to be there within
bounds, or to be absent. Numbers, what a drink is free of and the names of ingredients stay as the
rules read them. `python -m tests.learn_words` learns the weights anew.
"""
