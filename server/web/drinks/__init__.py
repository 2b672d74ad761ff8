"""Drinks, what is in the glass, batches, versions, declarations."""
