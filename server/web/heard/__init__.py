"""From a recording to a run: a take's sound and words, where each segment began, what was heard."""
