"""Runs compared, one run looked at, runs from paper, recordings."""
