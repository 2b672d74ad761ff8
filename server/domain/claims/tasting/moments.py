"""When the judges are to notice a taste: by the nearest word around it that tells."""

from collections.abc import Sequence

from server.domain.claims.cues import english
from server.domain.claims.finds import Moment
from server.domain.claims.mentions import Mention


def moment_near(words: Sequence[str], span: tuple[int, int], mention: Mention) -> Moment:
    """The moment of a mention within a stretch of words (first, end), in English."""
    best: tuple[int, Moment] = (10, "")
    for at in range(max(span[0], mention.first - 9), min(span[1], mention.end + 6)):
        distance = mention.first - at if at < mention.first else at - mention.end + 1
        for moment, told in english().moments.items():
            if words[at] in told and distance < best[0]:
                best = (distance, moment)  # type: ignore[assignment]
    return best[1]
