"""What is said so plainly that rules alone decide: "the drink is cold", "it tastes of barley".

Weights are sums over all that stands around a word, and an unusual word may outweigh the plainest
sentence. What anybody would expect to be found is not put to them.
"""

from server.domain.claims.cues import english
from server.domain.claims.learnt.word_kinds import kinds_of
from server.domain.claims.lexicon import LITERAL_FAMILIES
from server.domain.claims.mentions import Mention
from server.domain.claims.scene import Scene, past_degree

_THE_DRINK = (
    "drink", "cocktail", "serve", "liquid", "result", "blend", "first", "second", "one", "both",
    "everything", "it", "it's",
)  # fmt: skip
_YOU = frozenset({"you", "you'll", "we", "we'll", "judges"})
_FINDS = frozenset({"find", "get", "notice"})
_NEAR = 3
"""Words before or behind a flavour within which a word of tasting is about it: "in the mouth there
is", "on the nose"."""


def is_said_plainly(scene: Scene, mention: Mention) -> bool:
    """Whether it is an adjective said of the drink, or stands right beside a word of tasting."""
    return (
        _is_predicate(scene, mention)
        or _is_tasted(scene, mention)
        or _is_placed(scene, mention)
        or _is_found(scene, mention)
    )


def _is_predicate(scene: Scene, mention: Mention) -> bool:
    entry, words, cues = mention.descriptor, scene.words, english()
    if entry is None or entry.family not in LITERAL_FAMILIES:
        return False
    at = past_degree(scene, cues, mention.first)
    if at < scene.first:
        return False
    is_said_of_it = at > scene.first and words[at - 1] in _THE_DRINK
    return words[at] == "it's" or (words[at] in cues.copulas and is_said_of_it)


def _is_tasted(scene: Scene, mention: Mention) -> bool:
    first = max(scene.first, mention.first - _NEAR)
    for at in range(mention.first - 1, first - 1, -1):
        kinds = kinds_of(scene.words[at])
        if scene.tokens[at + 1].gap.strip("-'") or "act" in kinds or "story" in kinds:
            return False
        if "taste" in kinds:
            return True
    return False


def _is_found(scene: Scene, mention: Mention) -> bool:
    """ "You will find citrus", "you get a little clove": as plain as any word of tasting."""
    at = past_degree(scene, english(), mention.first)
    before = scene.words[max(scene.first, at - 2) : at]
    return at > scene.first and scene.words[at] in _FINDS and bool(_YOU & set(before))


def _is_placed(scene: Scene, mention: Mention) -> bool:
    behind = scene.words[mention.end : min(scene.end, mention.end + _NEAR)]
    is_parted = any(
        token.gap.strip("-'") for token in scene.tokens[mention.end : mention.end + len(behind)]
    )
    return (
        len(behind) == _NEAR
        and not is_parted
        and behind[0] in ("on", "in", "at")
        and behind[1] == "the"
        and behind[2] in english().tasting_nouns
    )
