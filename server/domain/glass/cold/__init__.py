"""What ice does: how cold it takes a drink, what is blended with it, how a slush stands."""
