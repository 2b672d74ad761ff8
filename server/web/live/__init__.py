"""Marks as they come in, told to those who follow a run."""
