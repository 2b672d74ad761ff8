"""Whether a claim says that something is there, is not there, or is there within bounds.

What is denied before a word ("no smoke", "anything but thin", "removes the bitterness"), behind it
("the smoke is not") or in the answer to it ("Smoky? Hardly.") counts alike.
"""

from collections.abc import Sequence
from functools import cache
from typing import Literal

from server.domain.base.languages import supported
from server.domain.base.tokens import Token
from server.domain.claims.beside.compared import weighed
from server.domain.claims.cues import english
from server.domain.claims.spoken.answers import answered
from server.domain.claims.spoken.denials import reached

Polarity = Literal["has", "lacks", "some"]

REACH = 7
"""How many tokens behind a negator its word may stand."""

_NOT_A_DENIAL = (
    "only", "just", "doubt", "miss", "missing", "mistaking", "mistake", "escaping", "escape",
    "denying", "deny", "wonder", "matter", "longer", "problem", "without", "shortage", "lack",
    "hiding", "secret", "forget", "one", "merely", "simply", "all", "business",
)  # fmt: skip
"""Behind "no", "not" or "don't" these deny nothing of the flavour: "not only sweet"."""

_TURNS: dict[tuple[str, str], Polarity] = {
    ("anything", "but"): "lacks", ("far", "from"): "lacks", ("rather", "than"): "lacks",
    ("instead", "of"): "lacks", ("nothing", "like"): "lacks", ("nothing", "of"): "lacks",
    ("nothing", "but"): "has", ("hardly", "any"): "some", ("hardly", "a"): "some",
    ("scarcely", "any"): "some", ("next", "to"): "has", ("almost", "no"): "some",
    ("barely", "any"): "some", ("place", "of"): "lacks", ("devoid", "of"): "lacks",
    ("rid", "of"): "lacks", ("clear", "of"): "lacks", ("little", "to"): "has",
    ("everything", "but"): "lacks", ("away", "from"): "lacks", ("minus", "the"): "lacks",
    ("other", "than"): "has", ("apart", "from"): "has", ("except", "for"): "has",
    ("aside", "from"): "has", ("save", "for"): "has",
    ("short", "of"): "lacks", ("tipping", "into"): "lacks", ("so", "much"): "some",
    ("practically", "no"): "some", ("virtually", "no"): "some", ("vain", "for"): "lacks",
    ("precious", "little"): "some", ("very", "little"): "some", ("so", "little"): "some",
}  # fmt: skip
"""Two words that decide how what follows them is claimed."""

_FAINT = ("barely", "scarcely")

_BUT_FOR = ("besides", "except", "barring", "excepting")
"""Words that name what remains where the rest is denied: "nothing sweet besides the honey"."""

_MADE_TO = (
    "does",
    "finds",
    "find",
    "make",
    "leave",
    "keep",
    "want",
    "ask",
    "tell",
    "expect",
    "need",
    "like",
    "let",
    "wanted",
    "strike",
)
"""Before "you": "I don't want you to think of chocolate" still denies."""


def polarity(
    tokens: Sequence[Token],
    first: int,
    sentence: int,
    language: str = "en",
    end: int | None = None,
    kept: dict[int, Polarity] | None = None,
) -> Polarity:
    """How the words from `first` to `end` are claimed; their sentence starts at `sentence`.

    `kept` keeps what stands before each word of the sentence: lists ask for it again and again.
    """
    known = {} if kept is None else kept

    def before(at: int) -> Polarity:
        if at not in known:
            known[at] = _before(tokens, at, sentence, language)
        return known[at]

    if language == "en":
        behind = first + 1 if end is None else end
        told = answered(tokens, first, behind, sentence)
        told = told or weighed(tokens, first, behind, sentence)
        told = told or reached(tokens, first, behind, sentence, before)
        if told is not None:
            return told
    return before(first)


def _before(tokens: Sequence[Token], first: int, sentence: int, language: str) -> Polarity:
    negators, ends, bounds = _sets(language)
    graded = False
    reach = REACH + 2 if language == "en" else REACH
    for at in range(first - 1, max(sentence, first - reach) - 1, -1):
        word = tokens[at].norm
        if _is_break(tokens, at + 1, first):
            return "has"
        turned = _turned(tokens, at, first) if language == "en" else None
        if turned is not None:
            return turned
        if word in negators:
            return _denied(tokens, at, first, graded)
        if word in ("lots", "plenty") and tokens[at + 1].norm == "of":
            return "has"
        if word == "much" or (word in ("lot", "deal") and tokens[at + 1].norm == "of"):
            graded = True
        if word in bounds and (word not in _DEGREES or at == first - 1):
            graded = True
        elif (word in ends and not _is_made_to(tokens, at)) or _starts_anew(tokens, at):
            return "has"
    return "has"


_DEGREES = ("that", "so", "very", "really", "particularly", "especially", "terribly")
"""Graded only right before a word: "not that sweet", but "not one that is sweet"."""


def _turned(tokens: Sequence[Token], at: int, first: int) -> Polarity | None:
    """What two words or a verb right there make of the words behind them."""
    word = tokens[at].norm
    after = tokens[at + 1].norm if at + 1 < first else ""
    before = tokens[at - 1].norm if at and not tokens[at].gap else ""
    found = _TURNS.get((before, word))
    if found is not None and not (word == "than" and tokens[at - 2].norm == "more"):
        # "It isn't so much sour as bright."
        is_other = word == "much" and any(t.norm == "as" for t in tokens[at + 1 : first])
        return "has" if is_other else found
    if word == "is" and (before.endswith("n't") or before == "not"):
        # "What it isn't is heavy."
        return "lacks"
    if word in ("forget", "scrap") and not _is_denied_verb(tokens, at):
        # "Forget barbecue, think wet stone."
        return "lacks"
    if word in ("is", "tastes", "feels", "gets", "was") and _is_nothing(tokens, at):
        return "lacks"
    if word in ("finds", "calls", "call", "thinks") and before in ("nobody", "one"):
        # "Nobody finds it heavy", "no one calls it thin".
        return "lacks" if before == "nobody" or tokens[at - 2].norm == "no" else None
    if word == "than" and any(t.norm in ("rather", "sooner") for t in tokens[max(0, at - 8) : at]):
        return "lacks"
    if word in _BUT_FOR:
        return "has"
    if word in ("low", "minimal", "negligible") and at == first - 1:
        # "Low acidity."
        return "some"
    if word in _FAINT and after not in ("there", "begun", "any", "a"):
        return "some"
    cues = english()
    if word.startswith("avoid") and _is_of_people(tokens, at):
        return "has"
    if word in cues.removes or (word in cues.takes and after in ("away", "out", "off")):
        return "has" if _is_denied_verb(tokens, at) else "lacks"
    hides = word in ("hides", "hide") and after in ("a", "some", "the") and _has(tokens, at)
    if (
        word in cues.softens
        and not hides
        and (word not in cues.softens_off or after in ("off", "out", "over"))
    ):
        return "some"
    return None


def _is_of_people(tokens: Sequence[Token], at: int) -> bool:
    """ "If any of you avoids honey": of who is spoken to, not of the drink."""
    near = {token.norm for token in tokens[max(0, at - 3) : at]}
    return bool(near & _PEOPLE)


_PEOPLE = {"you", "who", "anyone", "anybody", "someone", "somebody", "people", "guests", "judges"}


def _has(tokens: Sequence[Token], at: int) -> bool:
    """ "Behind the lime hides some almond": what hides is there."""
    near = [token.norm for token in tokens[max(0, at - 5) : at]]
    return bool({"behind", "beneath", "underneath", "under", "there"} & set(near))


def _is_nothing(tokens: Sequence[Token], at: int) -> bool:
    """ "Nothing in it is sharp", "none of it tastes burnt"."""
    for place in range(at - 1, max(0, at - 5) - 1, -1):
        if tokens[place].norm in ("nothing", "none"):
            return True
        if tokens[place + 1].gap or tokens[place].norm not in _OF_IT:
            return False
    return False


_OF_IT = ("in", "of", "about", "here", "it", "this", "that", "them", "the", "drink", "glass", "cup")


def _is_denied_verb(tokens: Sequence[Token], at: int) -> bool:
    """ "does not remove": what is not taken away stays."""
    return any(
        token.norm in ("not", "never", "without") or token.norm.endswith("n't")
        for token in tokens[max(0, at - 2) : at]
    )


def _denied(tokens: Sequence[Token], at: int, first: int, graded: bool) -> Polarity:
    word = tokens[at].norm
    after = tokens[at + 1].norm if at + 1 < len(tokens) else ""
    if after in _NOT_A_DENIAL:
        return "has"
    # "sugar-free" and "free of" deny; "free" before other words does not.
    if word == "free" and after not in ("of", "from"):
        return "has"
    # "Isn't that silky?" asks for a yes.
    opens = at == 0 or bool(tokens[at].gap)
    if word.endswith("n't") and opens and after in ("that", "this", "they") and at + 2 == first:
        return "has"
    # "not without lime": what is denied twice is there.
    if word in ("without", "lacks", "lacking", "free") and at and _denies(tokens[at - 1].norm):
        return "has"
    # "It's not that it isn't silky; it's that nobody expects it."
    if {"not", "that"} <= {token.norm for token in tokens[max(0, at - 4) : at]} and _denies(word):
        return "has"
    # "It couldn't be drier if it tried."
    is_more = tokens[first].norm.endswith("er") or tokens[first - 1].norm == "more"
    if word in ("couldn't", "can't") and is_more and tokens[at + 1].norm in ("be", "get"):
        return "has"
    # "It doesn't get any more creamy than this", "it couldn't be more honeyed".
    behind = [token.norm for token in tokens[first + 1 : first + 3]]
    is_most = tokens[first].norm.endswith("er") and behind in (["than", "this"], ["than", "that"])
    if (tokens[first - 1].norm == "more" or is_most) and _denies(word) and word != "no":
        return "has"
    return "some" if graded or _is_in_a_way(tokens, first) else "lacks"


def _is_in_a_way(tokens: Sequence[Token], first: int) -> bool:
    """ "not sweet in the way that lemonade is": another kind of it, not none."""
    said = [token.norm for token in tokens[first + 1 : first + 4]]
    if tokens[first].norm.endswith("er") and said[:1] == ["than"]:
        # "No sweeter than a ripe apple."
        return True
    if tokens[first - 1].norm == "more" and said[:1] == ["than"]:
        # "It's no more sweet than a pear."
        return True
    if said[:1] == ["much"] or said[:2] in (["not", "very"], ["not", "really"], ["not", "much"]):
        # "You won't taste the booze much", "not sweet, not very".
        return True
    if tokens[first - 1].norm == "as" and said[:1] == ["as"]:
        # "Not as sweet as you might think."
        return True
    return said in (["in", "the", "way"], ["in", "that", "way"]) or said[:2] == ["the", "way"]


def _denies(word: str) -> bool:
    return word in ("not", "never", "nor") or word.endswith("n't")


def _is_made_to(tokens: Sequence[Token], at: int) -> bool:
    if tokens[at].norm == "with" and at > 0:
        # "You won't be left with smoke."
        return tokens[at - 1].norm in ("left", "stuck", "met", "hit")
    return tokens[at].norm in ("you", "it") and at > 0 and tokens[at - 1].norm in _MADE_TO


def _starts_anew(tokens: Sequence[Token], at: int) -> bool:
    """ "no smoke and a lot of honey", "no caramel, it's fig": what is denied ends before it."""
    if tokens[at].norm == "it's":
        is_of_that = at > 1 and (tokens[at - 2].norm, tokens[at - 1].norm) == ("of", "that")
        return is_of_that or (at > 0 and tokens[at - 1].norm not in _SUPPOSES)
    return tokens[at].norm == "and" and tokens[at + 1].norm in _NEW_PART


def _is_break(tokens: Sequence[Token], at: int, first: int) -> bool:
    gap = tokens[at].gap.strip("-'\"“”’")
    return gap != "" and at <= first


_SUPPOSES = (
    "that", "say", "think", "if", "like", "when", "believe", "mean", "because", "feel", "says",
    "thinks", "sure", "and", "but", "what",
)  # fmt: skip
"""Before "it's" these carry a denial on: "I don't think it's heavy"."""

_NEW_PART = (
    "a", "an", "the", "some", "lots", "plenty", "really", "very", "full", "there",
    "there's", "then",
)  # fmt: skip


@cache
def _sets(language: str) -> tuple[frozenset[str], frozenset[str], frozenset[str]]:
    lang = supported(language)
    negators = frozenset(lang.negators)
    return negators, frozenset(lang.negation_ends) - negators, frozenset(lang.sides_with_negator)
