"""People who have an account here: what is told of them, and what a password must be."""
