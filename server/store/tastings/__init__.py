"""Tastings as they are kept: what was set up, who joined, what they answered."""
