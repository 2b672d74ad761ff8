"""A talk laid against its script: where each segment began, what was left out or improvised."""

from collections.abc import Iterator, Sequence

from server.domain.heard.alignment import (
    AlignedStretch,
    Alignment,
    Quality,
    SentenceMatch,
    SpokenSegment,
)
from server.domain.heard.beginnings import first_words
from server.domain.heard.boundaries import boundaries
from server.domain.heard.edges import edges
from server.domain.heard.pairing import Paired, paired
from server.domain.heard.script_words import lay
from server.domain.heard.words import Transcript

SHORTEST_IMPROVISED = 4
"""Words in a row that are none of the script's; fewer are slips of the ear."""

GOOD_HEARD, FAIR_HEARD = 0.75, 0.5
"""Share of the words said in the run that must be the script's."""

MOST_OF_IT = 0.5
"""Share of what was said that must be said again for the routine to be there twice."""

A_PART = 0.15
"""Share of the script at its end or beginning whose absence means a part of a run."""

LEAST_COVERED = 0.08
"""Share of the script below which the talk is another one."""


def align(
    transcript: Transcript,
    script: Sequence[SpokenSegment],
    onsets_s: Sequence[float] = (),
    language: str = "en",
) -> Alignment:
    """The talk of `transcript` laid against the `script` of the frozen plan.

    `onsets_s` are the onsets of speech in the recording, where it is there: starts snap to them.
    Raises InvalidInput for more talk than can be laid against one routine.
    """
    found = paired(lay(transcript, script, language))
    if _covered(found) < LEAST_COVERED:
        # Words that any two talks share say nothing of where segments begin.
        found = found.taken_for_chance()
    firsts = first_words(found)
    start, finish = edges(found, min(firsts.values(), default=None), language)
    lacks_beginning, lacks_end = _lacks(found)
    matched = tuple(_match(found, number) for number in range(len(found.laid.sentences)))
    owners = _owners(found, firsts)
    return Alignment(
        start_s=start.at_s,
        finish_s=finish.at_s,
        boundaries=boundaries(found, start.at_s, finish.at_s, onsets_s),
        left_out=tuple(each for each in matched if not each.is_found),
        improvised=_improvised(found, range(start.word, finish.word), owners),
        repeated=tuple(
            _stretch(found, pairs[0].heard, pairs[-1].heard + 1, owners, matched[number])
            for number, pairs in found.twice
        ),
        swapped=tuple(matched[number] for number in sorted(found.swapped)),
        matched=matched,
        quality=_quality(found, finish.word - start.word),
        start_certain=start.certain,
        finish_certain=finish.certain,
        start_why=start.why,
        finish_why=finish.why,
        notes=tuple(_notes(found, lacks_beginning=lacks_beginning, lacks_end=lacks_end)),
        lacks_beginning=lacks_beginning,
        # Who called time was at the end, whatever was left out.
        lacks_end=lacks_end and finish.certain != "sure",
    )


def _match(found: Paired, number: int) -> SentenceMatch:
    laid = found.laid
    sentence = laid.sentences[number]
    segment = laid.segments[sentence.segment]
    bare = SentenceMatch(
        segment.id, sentence.index, sentence.start, sentence.end, sentence.text, 0.0
    )
    pairs = found.by_sentence.get(number)
    if not pairs:
        return bare
    first, last = pairs[0].heard, pairs[-1].heard
    return SentenceMatch(
        segment.id, sentence.index, sentence.start, sentence.end, sentence.text,
        round(found.share(number, pairs), 3),
        laid.heard[first].place,
        laid.heard[last].place + 1,
        laid.start_s(first),
        laid.end_s(last),
        tuple((each.script - sentence.first, laid.heard[each.heard].place) for each in pairs),
        frozenset(each.script - sentence.first for each in pairs if each.likeness >= 1),
    )  # fmt: skip


def _owners(found: Paired, firsts: dict[int, int]) -> list[tuple[int, int]]:
    """(first word of the talk, segment) in the order of the talk."""
    del found
    return sorted((at, segment) for segment, at in firsts.items())


def _stretch(
    found: Paired,
    first: int,
    stop: int,
    owners: Sequence[tuple[int, int]],
    of: SentenceMatch | None = None,
) -> AlignedStretch:
    laid = found.laid
    begin, end = laid.heard[first].place, laid.heard[stop - 1].place + 1
    into = [segment for at, segment in owners if at <= first]
    return AlignedStretch(
        begin,
        end,
        laid.start_s(first),
        laid.end_s(stop - 1),
        " ".join(word.text for word in laid.timed[begin:end]),
        laid.segments[into[-1]].id if into else None,
        of,
    )


def _improvised(
    found: Paired, within: range, owners: Sequence[tuple[int, int]]
) -> tuple[AlignedStretch, ...]:
    """What was said within the run and is none of the script's."""
    taken = found.taken()
    stretches: list[AlignedStretch] = []
    begin = within.start
    for at in range(within.start, within.stop + 1):
        if at < within.stop and at not in taken:
            continue
        if at - begin >= SHORTEST_IMPROVISED and found.by_sentence:
            stretches.append(_stretch(found, begin, at, owners))
        begin = at + 1
    return tuple(stretches)


def _covered(found: Paired) -> float:
    """How much of the script was found, by weight, 0 to 1."""
    whole = float(found.alike.weights.sum())
    return sum(found.weight(pairs) for pairs in found.by_sentence.values()) / whole if whole else 0


def _notes(found: Paired, *, lacks_beginning: bool, lacks_end: bool) -> Iterator[str]:
    """What a person should know of the recording as a whole."""
    again = {number for number, _ in found.twice}
    if len(again) >= MOST_OF_IT * len(found.by_sentence) and len(again) > 2:
        yield "The routine is in it more than once: only one of them is taken."
    if lacks_end:
        yield f"It breaks off in “{_segment_name(found, max(found.by_sentence))}”."
    if lacks_beginning:
        yield f"It begins only in “{_segment_name(found, min(found.by_sentence))}”."


def _lacks(found: Paired) -> tuple[bool, bool]:
    """Whether a part of the script is missing at its beginning, and at its end."""
    if not found.by_sentence:
        return False, False
    weights = found.alike.weights
    first = found.laid.sentences[min(found.by_sentence)].first
    stop = found.laid.sentences[max(found.by_sentence)].stop
    least = A_PART * float(weights.sum())
    return float(weights[:first].sum()) > least, float(weights[stop:].sum()) > least


def _segment_name(found: Paired, number: int) -> str:
    return found.laid.segments[found.laid.sentences[number].segment].name


def _quality(found: Paired, said: int) -> Quality:
    """What the words are good for, of which `said` were said in the run."""
    pairs = sum(len(each) for each in found.by_sentence.values())
    heard = min(1.0, pairs / said) if said else 0.0
    if not found.laid.heard:
        return Quality("none", 0.0, "No words were found.")
    if not found.laid.script:
        return Quality("none", 0.0, "The plan of this run has no script.")
    if not found.by_sentence:
        why = "These words are not those of this routine: is it another talk, or another language?"
        return Quality("none", heard, why)
    if heard >= GOOD_HEARD:
        return Quality("good", heard, "")
    if heard >= FAIR_HEARD:
        return Quality("fair", heard, "Not every word was understood: listen where it matters.")
    why = "Most words were not understood: what is missing here may well have been said."
    return Quality("poor", heard, why)
