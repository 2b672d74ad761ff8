"""Marks as they come in, told to those who follow a run.

One stream of server-sent events: every event with its number, the pulse of the presenter's clock,
the server's time. The page for watching knows the run's clock from these alone; 5 s after the last
word from the presenter only the clock goes on, in grey. Who watches is counted by what was heard
within 12 s.
"""
