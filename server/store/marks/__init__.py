"""Marks of many runs that come at the same moment."""
