"""What the user said about a find, and where that holds after the text was edited.

A correction is tied to words, not to places: the stems of its sentence, the stems of its phrase,
and which of several equal phrases it is. After an edit it holds in the most similar sentence that
still has the phrase; where there is none it rests, and holds again when the phrase comes back.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from server.domain.base.errors import InvalidInput
from server.domain.base.languages import stem, supported
from server.domain.base.tokens import Sentence, Token, by_sentence, sentences_of, tokens_of
from server.domain.claims.finds import Find, Passage
from server.domain.routine.own_words import Correction, Verdict

SIMILAR = 50.0
"""Least similarity (0 to 100, by words) at which an edited sentence is taken for the old one."""

SAME_SEGMENT = 5.0
"""How much a sentence in the same segment is preferred to one elsewhere."""


@dataclass(frozen=True)
class Corrected:
    """Finds after corrections: `dismissed` are no claims, `resting` corrections found no place."""

    finds: tuple[Find, ...]
    dismissed: tuple[Find, ...] = ()
    resting: tuple[Correction, ...] = ()


def correction_at(
    passage: Passage,
    start: int,
    end: int,
    correction_id: str,
    word: str | None = None,
    language: str = "en",
    *,
    verdict: Verdict = "word",
    ingredient_id: str | None = None,
    drink_id: str | None = None,
) -> Correction:
    """The correction of the text from `start` to `end`; also for a claim that was missed.

    Raises InvalidInput where no word stands there, the selection leaves its sentence, or the
    verdict lacks what it needs.
    """
    for line in _lines(passage, language):
        inside = [
            n for n, token in enumerate(line.tokens) if token.start < end and start < token.end
        ]
        if inside:
            first, last = inside[0], inside[-1] + 1
            phrase = line.stems[first:last]
            return Correction(
                id=correction_id,
                segment_id=passage.segment_id,
                sentence=" ".join(line.stems),
                phrase=" ".join(phrase),
                verdict=verdict,
                occurrence=[at for at, _ in _places(line, phrase)].index(first),
                ingredient_id=ingredient_id if verdict == "ingredient" else None,
                word=(word or None) if verdict in ("word", "drink") else None,
                drink_id=drink_id if verdict == "drink" else None,
            )
    raise InvalidInput.of("words", "Write the words of the script that make the claim.")


@dataclass(frozen=True)
class HeldCorrection:
    """Where a correction holds now: offsets into the segment's text."""

    segment_id: str
    start: int
    end: int
    sentence_index: int


def held_at(
    corrections: Sequence[Correction], passages: Iterable[Passage], language: str = "en"
) -> dict[str, HeldCorrection]:
    """Correction id -> where it holds; those that rest are left out."""
    if not corrections:
        return {}
    lines = [line for passage in passages for line in _lines(passage, language)]
    return {
        key: HeldCorrection(
            line.passage.segment_id,
            line.tokens[first].start,
            line.tokens[end - 1].end,
            line.sentence.index,
        )
        for key, (line, first, end) in _anchored(corrections, lines).items()
    }


def apply(
    finds: Sequence[Find],
    corrections: Sequence[Correction],
    passages: Iterable[Passage],
    language: str = "en",
) -> Corrected:
    """The finds as corrected, in their order."""
    if not corrections:
        return Corrected(tuple(finds))
    lines = [line for passage in passages for line in _lines(passage, language)]
    held = _anchored(corrections, lines)
    resting = tuple(c for c in corrections if c.id not in held)
    left, dismissed = list(finds), []
    for correction in corrections:
        if correction.id not in held:
            continue
        line, first, last = held[correction.id]
        start, end = line.tokens[first].start, line.tokens[last - 1].end
        here = [
            f
            for f in left
            if f.segment_id == line.passage.segment_id and f.start < end and start < f.end
        ]
        left = [find for find in left if find not in here]
        if correction.verdict == "no claim":
            dismissed += [find for find in here if find.kind != "ingredient"]
            # What names an ingredient and was perhaps a claim beside it names it all the same.
            left += [find for find in here if find.kind == "ingredient"]
        elif correction.verdict == "drink":
            meant = _meant(correction, here, line, first, last) if correction.word else here
            left += [_said_of(correction.drink_id, find) for find in meant]
        else:
            left += _meant(correction, here, line, first, last)
    order = {line.passage.segment_id: number for number, line in reversed(list(enumerate(lines)))}
    left.sort(key=lambda find: (order.get(find.segment_id, 0), find.start))
    return Corrected(tuple(left), tuple(dismissed), resting)


@dataclass(frozen=True)
class _Line:
    """A sentence of a passage, as stems with their places."""

    passage: Passage
    sentence: Sentence
    tokens: tuple[Token, ...]
    stems: tuple[str, ...]


def _lines(passage: Passage, language: str) -> list[_Line]:
    code = supported(language).code
    sentences = sentences_of(passage.text, language)
    lines = []
    for sentence, tokens in zip(
        sentences, by_sentence(tokens_of(passage.text), sentences), strict=True
    ):
        stems = tuple(stem(token.norm, code) for token in tokens)
        lines.append(_Line(passage, sentence, tuple(tokens), stems))
    return lines


def _places(line: _Line, phrase: Sequence[str]) -> list[tuple[int, int]]:
    """Where the phrase stands in the line: (first token, end), in order."""
    wanted, size = tuple(phrase), len(phrase)
    return [
        (at, at + size)
        for at in range(len(line.stems) - size + 1)
        if line.stems[at : at + size] == wanted
    ]


def _anchored(
    corrections: Sequence[Correction], lines: Sequence[_Line]
) -> dict[str, tuple[_Line, int, int]]:
    """Correction id -> the line and tokens it holds at. The surest are placed first."""
    held: dict[str, tuple[_Line, int, int]] = {}
    taken: set[tuple[int, int]] = set()
    for _, number, correction in sorted(_candidates(corrections, lines), key=lambda c: -c[0]):
        if correction.id in held:
            continue
        line = lines[number]
        free = [
            p for p in _places(line, correction.phrase.split(" ")) if (number, p[0]) not in taken
        ]
        if not free:
            continue
        first, end = _chosen(line, correction, free)
        taken.add((number, first))
        held[correction.id] = (line, first, end)
    return held


def _chosen(
    line: _Line, correction: Correction, free: Sequence[tuple[int, int]]
) -> tuple[int, int]:
    places = _places(line, correction.phrase.split(" "))
    wanted = places[min(correction.occurrence, len(places) - 1)]
    return wanted if wanted in free else free[0]


def _candidates(
    corrections: Sequence[Correction], lines: Sequence[_Line]
) -> list[tuple[float, int, Correction]]:
    from rapidfuzz import fuzz

    found = []
    having: dict[str, list[int]] = {}
    for number, line in enumerate(lines):
        for one in dict.fromkeys(line.stems):
            having.setdefault(one, []).append(number)
    for correction in corrections:
        phrase, sentence = correction.phrase.split(" "), correction.sentence.split(" ")
        for number in having.get(phrase[0], ()):
            line = lines[number]
            if not _places(line, phrase):
                continue
            alike = fuzz.ratio(sentence, line.stems)
            if alike >= SIMILAR:
                near = SAME_SEGMENT if line.passage.segment_id == correction.segment_id else 0.0
                found.append((alike + near, number, correction))
    return found


def _meant(
    correction: Correction, here: Sequence[Find], line: _Line, first: int, end: int
) -> list[Find]:
    claims = [find for find in here if find.kind != "ingredient"]
    old = next(iter((*claims, *here)), None) or _fresh(line, first, end)
    if correction.word:
        return [
            replace(
                old, kind="descriptor", word=correction.word, ingredient_ids=(),
                is_corrected=True, is_doubtful=False,
            )
        ]  # fmt: skip
    ids = (correction.ingredient_id,) if correction.ingredient_id else ()
    kind = "ingredient" if old.kind in ("descriptor", "perhaps") else old.kind
    return [replace(old, kind=kind, word=None, ingredient_ids=ids, is_corrected=True)]


def _said_of(drink_id: str | None, find: Find) -> Find:
    """The find said of that drink, and therefore a claim."""
    kind = "descriptor" if find.kind == "perhaps" else find.kind
    return replace(find, kind=kind, drink_id=drink_id, is_corrected=True, is_doubtful=False)


def _fresh(line: _Line, first: int, end: int) -> Find:
    start, stop = line.tokens[first].start, line.tokens[end - 1].end
    return Find(
        segment_id=line.passage.segment_id,
        kind="descriptor",
        start=start,
        end=stop,
        phrase=line.passage.text[start:stop],
        sentence_index=line.sentence.index,
        sentence_start=line.sentence.start,
        sentence_end=line.sentence.end,
        words=" ".join(line.stems[first:end]),
        sentence_words=" ".join(line.stems),
        drink_id=line.passage.drink_id,
    )
