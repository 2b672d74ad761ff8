"""What the presenter corrects: a find that is none, one that was missed, and how they are told."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from server.domain.base.errors import InvalidInput
from server.domain.base.tokens import sentences_of
from server.domain.claims.corrections import correction_at, held_at
from server.domain.claims.finds import Passage
from server.domain.claims.rows import LedgerRow
from server.domain.claims.sayings import Saying
from server.domain.routine.edits import part_of
from server.domain.routine.own_words import Correction, Verdict
from server.domain.routine.routine import Routine
from server.store.ids import new_id
from server.web.frame.forms import Typed
from server.web.script.check import sentence_id as id_of_sentence

VERDICTS: dict[Verdict, str] = {
    "no claim": "It is no claim",
    "ingredient": "It means this ingredient",
    "word": "It means this flavour",
    "drink": "It is said of this drink",
}
"""What can be said of a find -> the words for it."""

EVERYWHERE = "all"


@dataclass(frozen=True)
class CorrectionLine:
    """A correction: the words it is about, what it says of them, and where it holds (or rests)."""

    id: str
    words: str
    verdict: str
    sentence_id: str | None


@dataclass(frozen=True)
class SentenceChoice:
    """A sentence of the script, to be chosen in a form."""

    value: str
    text: str


def correction_lines(routine: Routine, passages: Sequence[Passage]) -> list[CorrectionLine]:
    """What the presenter corrected, the latest first."""
    held = held_at(routine.corrections, passages, routine.language)
    texts = {passage.segment_id: passage.text for passage in passages}
    parts = {part.id: part.name for drink in routine.drinks for part in drink.ingredients}
    drinks = {drink.id: drink.name for drink in routine.drinks}
    lines = []
    for correction in reversed(routine.corrections):
        at = held.get(correction.id)
        words = texts[at.segment_id][at.start : at.end] if at else correction.phrase
        place = id_of_sentence(at.segment_id, at.sentence_index) if at else None
        lines.append(
            CorrectionLine(correction.id, words, _verdict(correction, parts | drinks), place)
        )
    return lines


def sentence_choices(routine: Routine) -> Iterator[tuple[str, list[SentenceChoice]]]:
    """The sentences of each segment in which something is said: (segment's name, sentences)."""
    for number, segment in enumerate(routine.segments, 1):
        choices = [
            SentenceChoice(f"{segment.id}:{each.index}", segment.said[each.start : each.end])
            for each in sentences_of(segment.said, routine.language)
        ]
        if choices:
            yield f"{number}. {segment.name}", choices


def missed_claim(typed: Typed, routine: Routine) -> Correction:
    """The claim that a form points out in a sentence; raises InvalidInput with every fault.

    Words mean themselves where no descriptor is written.
    """
    words = typed.text("words")
    word = typed.text("word") or words
    passage, start, end = _sentence_chosen(typed, routine)
    place = re.search(re.escape(words), passage.text[start:end], re.IGNORECASE)
    if not words:
        typed.fault("words", "Write the words as they stand in that sentence.")
    elif passage.text and place is None:
        typed.fault("words", "These words do not stand in that sentence.")
    typed.check()
    first, last = (start + at for at in place.span()) if place else (start, end)
    return typed.built(
        lambda: correction_at(passage, first, last, new_id(), word, routine.language)
    )


def places_meant(row: LedgerRow, typed: Typed) -> list[Saying]:
    """The places that a correction is for: one of them, or all. Raises InvalidInput."""
    where = typed.text("where") or EVERYWHERE
    chosen = [
        saying
        for saying in row.sayings
        if where in (EVERYWHERE, f"{saying.segment_id}:{saying.start}")
    ]
    if not chosen:
        raise InvalidInput.of("where", "It is no longer said there. Choose another place.")
    return chosen


def correction_from(routine: Routine, saying: Saying, typed: Typed, word: str) -> Correction:
    """The correction of that place as a form has it. Raises InvalidInput.

    The `word` that it was corrected to mean stays where it is another drink's.
    """
    if typed.text("verdict") not in VERDICTS:
        raise InvalidInput.of("verdict", "Choose what it is.")
    verdict = typed.chosen("verdict", VERDICTS, "no claim")
    kept = word if verdict == "drink" and saying.is_corrected else typed.text("word")
    return correction_of(
        routine,
        saying,
        verdict,
        kept,
        typed.choice("ingredient"),
        typed.choice("drink"),
    )


def correction_of(
    routine: Routine,
    saying: Saying,
    verdict: Verdict,
    word: str = "",
    ingredient_id: str | None = None,
    drink_id: str | None = None,
) -> Correction:
    """What is said of that place. Raises InvalidInput where the verdict lacks what it needs."""
    text = part_of(routine.segments, saying.segment_id).said
    return correction_at(
        Passage(saying.segment_id, text),
        saying.start,
        saying.end,
        new_id(),
        word,
        routine.language,
        verdict=verdict,
        ingredient_id=ingredient_id,
        drink_id=drink_id,
    )


def _sentence_chosen(typed: Typed, routine: Routine) -> tuple[Passage, int, int]:
    """The passage and the stretch of the chosen sentence; an empty one, and a fault, for none."""
    segment_id, _, index = typed.text("sentence").rpartition(":")
    for segment in routine.segments:
        if segment.id == segment_id:
            for sentence in sentences_of(segment.said, routine.language):
                if str(sentence.index) == index:
                    return Passage(segment.id, segment.said), sentence.start, sentence.end
    typed.fault("sentence", "Choose the sentence in which it is said.")
    return Passage("none", ""), 0, 0


def _verdict(correction: Correction, names: Mapping[str, str]) -> str:
    if correction.verdict == "ingredient":
        return f"means {names[correction.ingredient_id or '']}"
    if correction.verdict == "drink":
        return f"is said of {names[correction.drink_id or '']}"
    if correction.verdict == "word":
        return f"means “{correction.word}”"
    return "is no claim"
