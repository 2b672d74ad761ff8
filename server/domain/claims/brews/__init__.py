"""What is said of a brew: its figures, its water, and what goes in and comes out."""
