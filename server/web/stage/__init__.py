"""Rehearsing: the page that holds the clock, and what is set up before."""
