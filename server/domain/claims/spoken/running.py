"""What text that runs on without marks leaves to be told: where a denial or a story ends."""

from collections.abc import Sequence

from server.domain.claims.cues import english
from server.domain.claims.lexicon import LITERAL_FAMILIES
from server.domain.claims.mentions import Mention
from server.domain.claims.scene import tells_a_story


def ends_before(words: Sequence[str], mention: Mention, beside: Sequence[Mention]) -> bool:
    """Whether what is denied ended before a word of taste: "no smoke | lime", "nothing | lime".

    A list that goes on with "or" denies all of it: "no smoke vanilla or oak".
    """
    if not beside:
        return False
    behind = words[mention.end : mention.end + 1]
    if behind in (["or"], ["nor"]):
        return False
    entry = mention.descriptor
    if entry is None or entry.word is None:
        return False
    is_noun = (
        entry.family not in LITERAL_FAMILIES
        and words[mention.first] == (entry.word or "").casefold()
    )
    if is_noun and words[mention.first - 1] == "nothing":
        return True
    return any(one.end == mention.first and one.descriptor is not None for one in beside)


def tell_stories(
    words: Sequence[str], clauses: Sequence[tuple[int, int]], language: str
) -> list[bool]:
    """For each clause of one sentence whether it or one beside it tells a story."""
    if len(clauses) == 1 or language != "en":
        return [False] * len(clauses)
    story = english().story
    own = [tells_a_story(words[begin:stop], story) for begin, stop in clauses]
    return [any(own[max(0, at - 2) : at + 2]) for at in range(len(own))]
