"""A text taken apart, and what is found in it with its place."""
