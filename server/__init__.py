"""Ninefifty: rehearse a timed drinks-competition routine."""
