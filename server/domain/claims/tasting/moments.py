"""When the judges are to notice a taste: by the nearest word around it that tells."""

from collections.abc import Mapping, Sequence
from functools import cache

from server.domain.claims.cues import english
from server.domain.claims.finds import Moment
from server.domain.claims.mentions import Mention


def moment_near(words: Sequence[str], span: tuple[int, int], mention: Mention) -> Moment:
    """The moment of a mention within a stretch of words (first, end), in English."""
    nearest, found = 10, ""
    moments = _moments()
    for at in range(max(span[0], mention.first - 9), min(span[1], mention.end + 6)):
        moment = moments.get(words[at])
        if moment is None:
            continue
        distance = mention.first - at if at < mention.first else at - mention.end + 1
        if distance < nearest:
            nearest, found = distance, moment
    return found  # type: ignore[return-value]


@cache
def _moments() -> Mapping[str, str]:
    """Word -> the moment that it tells; the first one, where it may tell of several."""
    told = [(word, moment) for moment, words in english().moments.items() for word in words]
    return dict(reversed(told))
