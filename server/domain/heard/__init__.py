"""From words with times to a run: what was said, where each segment began, which claims were heard.

words       words with times, from captions or a recogniser; as JSON and back
captions    WebVTT, SubRip, lines with a time in front, plain text
aligning    the words laid against the script: boundaries, what was left out or improvised
claims      what the judges heard of each planned claim: heard, listen, not heard (`listening`)
again       what a second listening adds
manner      pace, pauses and filler words
marks       accepted boundaries as events of a run, and beside a run marked by hand
sound       onsets of speech, from samples

What was recognised is never quite what was said. So nothing here says "not heard" from a poor
transcript, each boundary carries how sure it is, and nothing becomes a run before it is accepted.
"""
