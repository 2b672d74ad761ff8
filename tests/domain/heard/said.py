"""Short talks written down for tests: words, with pauses as numbers of seconds in braces."""

import re

from server.domain.heard.alignment import SpokenSegment
from server.domain.heard.words import TimedWord, Transcript

WORD_S, GAP_S = 0.35, 0.05

SCRIPT = (
    SpokenSegment("open", "Open", "Good evening, judges. Tonight I tell you of the harvest.", 10),
    SpokenSegment("hands", "Hands", "", 6),
    SpokenSegment(
        "build", "Build",
        "Forty millilitres of plum brandy go into the glass. I stir it slowly over clear ice.", 12,
    ),
    SpokenSegment(
        "taste", "Taste", "You will find dried apricot and smoke. It ends with a touch of salt.", 12
    ),
    SpokenSegment("close", "Close", "This is for everyone who waited. Please enjoy it.", 8),
)  # fmt: skip

OPEN = "good evening judges tonight i tell you of the harvest"
BUILD = "forty millilitres of plum brandy go into the glass i stir it slowly over clear ice"
TASTE = "you will find dried apricot and smoke it ends with a touch of salt"
CLOSE = "this is for everyone who waited please enjoy it"


def talk(text, *, at_s=1.0, timed=True):
    """The transcript of a text: "good {3} evening" pauses three seconds between its words."""
    words = []
    for piece in text.split():
        pause = re.fullmatch(r"\{([\d.]+)\}", piece)
        if pause:
            at_s += float(pause[1])
            continue
        words.append(TimedWord(piece, round(at_s, 3), round(at_s + WORD_S, 3), 0.9))
        at_s += WORD_S + GAP_S
    if not timed:
        words = [TimedWord(word.text, 0.0, 0.0) for word in words]
    return Transcript(tuple(words), timed=timed, kind="recognised" if timed else "text")


def when(transcript, word, nth=0):
    """When a word is said for the nth time."""
    return [each.start_s for each in transcript.words if each.text == word][nth]
