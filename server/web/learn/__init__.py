"""Learning the words: what to say today, the script as it thins out, cue cards."""
