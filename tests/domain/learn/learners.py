"""Scripts and marks for the tests of learning."""

from datetime import UTC, datetime, timedelta

from server.domain.learn.learning_marks import LearningMark
from server.domain.learn.said_before import histories
from server.domain.learn.script import LearntSentence
from server.domain.learn.thinning import thinned, words_of
from server.domain.learn.today import standings

BEGAN = datetime(2026, 9, 1, 19, tzinfo=UTC)
TODAY = BEGAN.date()


def sentence(text, *, segment="s1", index=0, seconds=6.0, claims=(), planned=False):
    return LearntSentence(segment, index, text, words_of(text), seconds, tuple(claims), planned)


def script(count, *, seconds=6.0):
    """A script of so many sentences that share no word; every fourth makes a planned claim."""
    return tuple(
        sentence(
            " ".join(f"w{number}x{place}" for place in range(12)) + ".",
            index=number,
            seconds=seconds,
            planned=number % 4 == 0,
        )
        for number in range(count)
    )


def mark(text, how="sat", *, days=0, step=5, number=0, run_id=None):
    at = BEGAN + timedelta(days=days, minutes=number)
    said_ms = round(at.timestamp() * 1000)
    return LearningMark(f"m{days}-{number}", text, how, step, said_ms, run_id)


def stand(sentences, marks=(), missed=None):
    found = histories((each.text for each in sentences), marks, UTC)
    return standings(sentences, found, missed)


def shown(text, step):
    """What a sentence shows at a step, with a rule for each code point hidden in its place."""
    pieces = []
    for word in thinned(text):
        if step < word.head_goes:
            tail = word.tail if step < word.tail_goes else "_" * len(word.tail)
            pieces.append(f"{word.lead}{word.head}{tail}{word.trail}")
    return "".join(pieces).strip()
