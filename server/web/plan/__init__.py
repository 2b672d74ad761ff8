"""The plan as a tape, its chances, and changes tried out."""
