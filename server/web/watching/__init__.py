"""Others who follow a run."""
