"""What the words of taste of a sentence are: by rules first, then by what stands around each."""

from collections.abc import Sequence
from dataclasses import replace

from server.domain.claims.context import Role, rulings
from server.domain.claims.learnt.mention_told import Doubt, Told
from server.domain.claims.learnt.plainly import is_said_plainly
from server.domain.claims.learnt.surroundings import Surroundings, surroundings
from server.domain.claims.learnt.weights import Weights, shipped_weights
from server.domain.claims.mentions import Mention
from server.domain.claims.negation import Polarity, polarity
from server.domain.claims.scene import Scene
from server.domain.claims.spoken.running import ends_before

_OF_A_DENIAL = ("mark", "1 before is", "1 behind is", "before is not", "has not")
"""Surroundings that tell something else where rules read a denial than where they read none."""


LEAST_ODDS, SURE_OF_WAY = 0.3, 1.5
"""Log odds above which a word is a claim, four to three, and by how much another way to claim it
must be likelier than that of the rules. What rules make of a word is among what is weighed."""

SURE_ODDS, UNLIKELY_ODDS = 1.4, -0.7
"""Log odds, four to one and one to two, between which it is doubtful whether a word is a claim.
In texts of writers held out fourteen in fifteen of those above were claims, of those between
three in five, of those below one in nine; whatever rules said of them."""

LEAST_ODDS_OF_CARD = -0.5
"""The same of a word of the card: better one too many than one that seems never said."""


def told_in(scene: Scene, language: str) -> list[Told]:
    """Each mention of a scene with its role and how it is claimed, in order."""
    first = first_look(scene, language)
    return first if language != "en" else second_look(scene, first, shipped_weights())


def first_look(scene: Scene, language: str) -> list[Told]:
    """What rules alone make of the mentions."""
    found = []
    for mention, (role, is_open) in zip(scene.mentions, rulings(scene, language), strict=True):
        if mention.answer is not None:
            role, is_open = Role.CLAIM, False
        elif role is Role.CLAIM and _is_left_to_weights(scene, mention):
            role, is_open = Role.NOTHING, True
        way = way_told(scene, mention, language) if role is Role.CLAIM else "has"
        found.append(Told(mention, role, way, is_open))
    return found


def _is_left_to_weights(scene: Scene, mention: Mention) -> bool:
    """ "Bite", "peel": claims at times, where rules do not say at which."""
    entry = mention.descriptor
    is_weighed = entry is not None and entry.is_weighed and not mention.is_any_of(scene.listed)
    return is_weighed and not is_said_plainly(scene, mention)


def second_look(scene: Scene, told: Sequence[Told], weights: Weights) -> list[Told]:
    """What weights make of them, in English; what cannot be a claim stays as it is."""
    found = list(told)
    for place, around in surroundings(scene, told):
        found[place] = _weighed(scene, told[place], around, weights)
    return found


def _weighed(scene: Scene, one: Told, around: Surroundings, weights: Weights) -> Told:
    odds = weights.speaks_for_a_claim((*around.said, *around.ruled))
    is_claim = odds > least_odds(scene, one.mention)
    if not is_claim and one.role is Role.CLAIM:
        if _is_for_rules_alone(scene, one):
            return one if one.mention.answer is not None else replace(one, doubt="likely")
        one = replace(one, role=Role.INGREDIENT if one.mention.ingredient_ids else Role.NOTHING)
    elif is_claim and one.role is not Role.CLAIM:
        one = Told(one.mention, Role.CLAIM, way_told(scene, one.mention))
    doubt = _doubt(scene, one, odds)
    if doubt == "unlikely":
        one = replace(one, polarity=way_told(scene, one.mention))
    if not (is_claim or doubt):
        return one
    way = _way_weighed(scene, one, around, weights)
    return one if (way, doubt) == (one.polarity, "") else replace(one, polarity=way, doubt=doubt)


def _doubt(scene: Scene, one: Told, odds: float) -> Doubt:
    if one.role is not Role.CLAIM:
        return "unlikely" if odds > UNLIKELY_ODDS else ""
    if one.mention.answer is not None or is_said_plainly(scene, one.mention):
        return ""  # "It is bitter": to be asked whether that is said of it would be strange.
    return "likely" if odds < SURE_ODDS else ""


def _way_weighed(scene: Scene, one: Told, around: Surroundings, weights: Weights) -> Polarity:
    """How weights have it claimed, if it is a claim."""
    if one.mention.answer is not None or _is_not_only(scene, one.mention):
        return one.polarity
    if one.polarity == "lacks" and _is_denied_right_before(scene, one.mention):
        return one.polarity
    every = (*around.said, *around.ruled, *of_denial(around, one.polarity))
    return weights.way_told(every, one.polarity, SURE_OF_WAY)


def least_odds(scene: Scene, mention: Mention) -> float:
    """The log odds above which a mention is a claim."""
    return LEAST_ODDS_OF_CARD if mention.is_any_of(scene.listed) else LEAST_ODDS


def _is_not_only(scene: Scene, mention: Mention) -> bool:
    """ "Not only sweet but savoury": both are said to be there, whatever "not" and "only" tell."""
    words = scene.words[max(scene.first, mention.first - 3) : mention.first]
    return "not" in words and bool({"only", "just", "merely"} & set(words[words.index("not") :]))


def _is_denied_right_before(scene: Scene, mention: Mention) -> bool:
    """ "No hazelnut", "without vanilla": nothing around it makes that less of a denial."""
    before = scene.words[max(scene.first, mention.first - 1) : mention.first]
    return before in (["no"], ["without"])


def of_denial(around: Surroundings, way: Polarity) -> list[str]:
    """How rules read a word to be claimed, by itself and with the surroundings that bear on it."""
    made = f"rules say {way}"
    return [made, *[f"{made}, {name}" for name in around.said if name.startswith(_OF_A_DENIAL)]]


def _is_for_rules_alone(scene: Scene, one: Told) -> bool:
    """What no weights take away: words of the card, or they would seem never said, what is said
    plainly, and what answers a scale.
    """
    if one.mention.answer is not None:
        return True
    return one.mention.is_any_of(scene.listed) or is_said_plainly(scene, one.mention)


def way_told(scene: Scene, mention: Mention, language: str = "en") -> Polarity:
    """How rules read a mention to be claimed, if it is one."""
    if mention.answer is not None:
        return mention.answer
    claimed = polarity(
        scene.tokens, mention.first, scene.first, language, mention.end, scene.told_before
    )
    beside = scene.mentions if scene.runs_on else ()
    is_over = claimed == "lacks" and ends_before(scene.words, mention, beside)
    return "has" if is_over else claimed
