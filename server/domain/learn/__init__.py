"""Learning the words by heart: how a text thins out, what is remembered, what to say today."""
