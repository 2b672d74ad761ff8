"""What stands beside the talk of a drink: the work of the hands, and other drinks and places."""
