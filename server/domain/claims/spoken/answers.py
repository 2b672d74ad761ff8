"""What is said behind a word of it: "the smoke is not", "smoke, no", "Smoky? Hardly."."""

from collections.abc import Sequence
from typing import Literal

from server.domain.base.tokens import Token

Answer = Literal["has", "lacks", "some"]

ANSWERS: dict[str, Answer] = {
    "no": "lacks", "nope": "lacks", "never": "lacks", "hardly": "lacks", "none": "lacks",
    "not": "lacks", "nowhere": "lacks", "nothing": "lacks", "neither": "lacks", "gone": "lacks",
    "yes": "has", "very": "has", "always": "has", "certainly": "has", "absolutely": "has",
    "definitely": "has", "oh": "has", "plenty": "has", "of": "has", "sure": "has",
    "barely": "some", "slightly": "some", "somewhat": "some", "scarcely": "some", "faintly": "some",
    "almost": "some", "less": "some", "more": "has",
}  # fmt: skip
"""First word of an answer -> what it makes of the question."""

LONGEST_QUESTION = 8
LONGEST_ANSWER = 7
_A_LITTLE = ("little", "bit", "touch", "hint", "tiny")
_GRADED = ("too", "very", "really", "quite", "that", "so", "much", "overly")
_ABSENT = ("absent", "missing", "nowhere")
_LOW = (
    "low",
    "moderate",
    "medium",
    "mild",
    "minimal",
    "restrained",
    "faint",
    "slight",
    "subdued",
    "gentle",
    "negligible",
    "modest",
)
_COPULAS = ("is", "are", "was", "isn't", "aren't", "wasn't", "stays", "remains")
_THERE = ("there", "here", "present", "part", "among")
_STOPS = ".!?\n…"


def answered(tokens: Sequence[Token], first: int, end: int, sentence: int) -> Answer | None:
    """What the words behind those from `first` to `end` make of them; None where nothing."""
    return (
        _taken_away(tokens, end)
        or _copula(tokens, end)
        or _beside(tokens, end)
        or _replied(tokens, end, sentence)
        or _replied_unmarked(tokens, end, sentence)
        or _mistaken(tokens, end, sentence)
        or _conditional(tokens, first, sentence)
        or _taken_back(tokens, end)
        or _inverted(tokens, first, end, sentence)
        or _in_turn(tokens, first, end)
    )


def _in_turn(tokens: Sequence[Token], first: int, end: int) -> Answer | None:
    """ "Caraway yes aniseed no people mix those up": one answer behind another, without marks."""
    if end >= len(tokens) or tokens[end].gap or tokens[end].norm not in ("yes", "no"):
        return None
    is_in_turn = first > 0 and tokens[first - 1].norm in ("yes", "no") and not tokens[first].gap
    return ANSWERS[tokens[end].norm] if is_in_turn else None


def _inverted(tokens: Sequence[Token], first: int, end: int, sentence: int) -> Answer | None:
    """ "Burning it's not.": the denial behind what it denies."""
    if end >= len(tokens) or tokens[end].norm not in ("it's", "it"):
        return None
    said = [token.norm for token in tokens[end : end + 3]]
    turns = (["it's", "not"], ["it", "isn't"], ["it", "is", "not"])
    size = next((len(turn) for turn in turns if said[: len(turn)] == turn), 0)
    opens = first == sentence or bool(tokens[first].gap)
    is_one = size > 0 and not any(token.gap for token in tokens[end : end + size])
    ends = end + size >= len(tokens) or bool(tokens[end + size].gap.strip("-"))
    return "lacks" if opens and is_one and ends else None


_TAKEN_BACK = (
    ("it", "isn't"), ("it's", "not"), ("it", "is", "not"), ("it", "doesn't"), ("it", "never", "is"),
    ("it's", "anything", "but"), ("it", "is", "anything", "but"), ("you", "don't"),
)  # fmt: skip


def _taken_back(tokens: Sequence[Token], end: int) -> Answer | None:
    """ "You'd think it's sweet. It isn't.", "it looks sweet but it isn't"."""
    at = end + (end < len(tokens) and tokens[end].norm in ("but", "and"))
    if at == end and not (end < len(tokens) and tokens[end].gap.strip("-'")):
        return None
    if at >= len(tokens) or tokens[at].norm not in ("it", "it's", "you"):
        return None
    for words in _TAKEN_BACK:
        stop = at + len(words)
        said = tuple(token.norm for token in tokens[at:stop])
        ends = stop >= len(tokens) or bool(tokens[stop].gap.strip("-'"))
        if said == words and ends:
            return "lacks"
    return None


def _taken_away(tokens: Sequence[Token], end: int) -> Answer | None:
    """ "takes the bitterness away"."""
    if end >= len(tokens) or tokens[end].gap or tokens[end].norm not in ("away", "out", "down"):
        return None
    before = [token.norm for token in tokens[max(0, end - 5) : end]]
    takes = {"taken", "took", "got", "pulled", "pulls", "strain", "strained", "stripped", "washed"}
    takes |= {"takes", "take", "taking", "keeps", "washes", "leaves", "cuts", "strips", "filters"}
    if takes & set(before):
        return "lacks"
    return "some" if {"tones", "brings", "turns"} & set(before) else None


def _copula(tokens: Sequence[Token], end: int) -> Answer | None:
    """ "the smoke is not", "smoke is nowhere", "smoke isn't there"."""
    if end >= len(tokens) or tokens[end].gap or tokens[end].norm not in _COPULAS:
        return None
    after = [token.norm for token in tokens[end + 1 : end + 3]]
    if after[:1] and after[0] in _LOW and not tokens[end].norm.endswith("n't"):
        return "some"
    ends = end + 1 >= len(tokens) or bool(tokens[end + 1].gap)
    if tokens[end].norm.endswith("n't"):
        return "lacks" if ends or (after[:1] and after[0] in _THERE) else None
    if ends or not after:
        return None
    if after[0] in _ABSENT:
        return "lacks"
    stops = end + 2 >= len(tokens) or bool(tokens[end + 2].gap)
    is_denied = after[0] in ("not", "never")
    return "lacks" if is_denied and (stops or after[1] in _THERE) else None


def _beside(tokens: Sequence[Token], end: int) -> Answer | None:
    """ "smoke, no", "malt, yes"."""
    if end >= len(tokens):
        return None
    if not tokens[end].gap and tokens[end].norm == "no" and end + 1 == len(tokens):
        # "mango yes passion fruit no", where no marks stand.
        return "lacks"
    if tokens[end].gap not in (",", ":", "–", "—"):
        return None
    stops = end + 1 >= len(tokens) or set(tokens[end + 1].gap) & set(_STOPS + ",;")
    if tokens[end].norm in _LOW and (tokens[end].gap == ":" or stops):
        # "Sweetness: low", "bitterness, low, about two of five".
        return "some"
    if not stops or tokens[end].norm not in ("no", "yes", "never", "none"):
        return None
    # "lime, no, lemon" takes back; "smoke, no." denies.
    if end + 1 < len(tokens) and tokens[end + 1].gap == "," and tokens[end].norm == "no":
        return None
    return ANSWERS[tokens[end].norm]


def _replied(tokens: Sequence[Token], end: int, sentence: int) -> Answer | None:
    """What the sentence behind says, where the words end a question or an expectation."""
    asks = [token.norm for token in tokens[sentence : sentence + 2]]
    if asks in (["is", "it"], ["is", "this"]):
        # "Is it a smoky whisky? No.": what it is stands between.
        end += next((n for n in (1, 2) if _asks_at(tokens, end, n)), 0)
    if end >= len(tokens) or not set(tokens[end].gap) & set(_STOPS):
        return None
    reply = _sentence(tokens, end)
    stop = end + len(reply)
    if stop < len(tokens) and "?" in tokens[stop].gap:
        # "Do you notice the walnut? No?" asks on.
        return None
    asks_how = tokens[sentence].norm in ("is", "are", "isn't") or end - sentence <= 2
    if reply[:1] == ["a"] and not asks_how:
        # "Do you find the plum? A little of it": it is there.
        return None
    if "?" in tokens[end].gap and end - sentence <= LONGEST_QUESTION:
        return _answer(_clause(tokens, end)) or _none_of_it(reply)
    return _none_of_it(reply) if _is_expected(tokens, sentence, end) else None


def _asks_at(tokens: Sequence[Token], end: int, steps: int) -> bool:
    """Whether a question ends so many words behind a place, without a pause before."""
    inside = tokens[end : end + steps]
    at = end + steps
    return at < len(tokens) and "?" in tokens[at].gap and not any(token.gap for token in inside)


_AT_ONCE: dict[tuple[str, ...], Answer] = {
    ("not", "at", "all"): "lacks", ("no",): "lacks", ("hardly",): "lacks", ("never",): "lacks",
    ("a", "little"): "some", ("a", "bit"): "some", ("less", "than"): "some", ("barely",): "some",
    ("not", "a", "bit"): "lacks", ("not", "really"): "some", ("not", "quite"): "some",
    ("only", "just"): "some",
}  # fmt: skip


def _replied_unmarked(tokens: Sequence[Token], end: int, sentence: int) -> Answer | None:
    """ "is it smoky not at all": where no mark stands between question and answer."""
    asks = [token.norm for token in tokens[sentence : sentence + 2]]
    if end >= len(tokens) or tokens[end].gap or asks not in (["is", "it"], ["is", "this"]):
        return None
    said = tuple(token.norm for token in tokens[end : end + 3])
    return next((told for words, told in _AT_ONCE.items() if said[: len(words)] == words), None)


def _clause(tokens: Sequence[Token], at: int) -> list[str]:
    """The words up to the next pause."""
    words = [tokens[at].norm]
    while at + 1 < len(tokens) and not tokens[at + 1].gap.strip("-'") and len(words) < 9:
        at += 1
        words.append(tokens[at].norm)
    return words


def _sentence(tokens: Sequence[Token], at: int) -> list[str]:
    words: list[str] = []
    while at < len(tokens) and len(words) <= LONGEST_ANSWER:
        if words and set(tokens[at].gap) & set(_STOPS):
            break
        words.append(tokens[at].norm)
        at += 1
    return words


def _answer(reply: Sequence[str]) -> Answer | None:
    if not reply:
        return None
    if reply[0] == "a" and len(reply) > 1 and reply[1] in _A_LITTLE:
        return "some"
    if reply[0] == "only" and len(reply) > 1:
        return "some"
    if reply[0] == "not" and len(reply) > 1 and reply[1] in _GRADED:
        return "some"
    if reply[0] in ("oh", "of") and reply[1:2] not in (["yes"], ["course"]):
        return None
    second = reply[1] if len(reply) > 1 else ""
    if reply[0] == "not" and second not in ("at", "here", "a", "any", "in", "today", "this"):
        return None
    if second in ("mind", "worries", "hurry", "problem", "rush", "pressure", "wonder"):
        return None
    found = ANSWERS.get(reply[0])
    # "No one …", "Nothing else …", "Very few …" begin a sentence of their own.
    return (
        found if len(reply) <= 4 or (reply[0] in ("no", "yes") and reply[1:2] != ["one"]) else None
    )


def _none_of_it(reply: Sequence[str]) -> Answer | None:
    """ "There is none.", "I haven't got any.", "You won't find it."."""
    if len(reply) > LONGEST_ANSWER:
        return None
    denies = any(word.endswith("n't") or word in ("not", "never") for word in reply)
    points = {"any", "that", "it", "either", "here"} & set(reply)
    return "lacks" if "none" in reply or (denies and points) else None


def _is_expected(tokens: Sequence[Token], sentence: int, end: int) -> bool:
    return any(
        token.norm in ("expect", "expecting", "looking", "look", "wait", "waiting", "hoping")
        for token in tokens[sentence:end]
    )


_EXPECTS = frozenset({"expect", "think", "guess", "assume", "thought", "imagine", "swear"})


def _mistaken(tokens: Sequence[Token], end: int, sentence: int) -> Answer | None:
    """ "You'd expect a highball to be thin; this one isn't.": what others would be."""
    words = [token.norm for token in tokens[sentence:end]]
    expects = words[:1] == ["you'd"] or words[:2] == ["you", "would"]
    expects = expects and not _EXPECTS.isdisjoint(words[1:4])
    if not expects or end >= len(tokens):
        return None
    if tokens[end].norm not in ("but", "wouldn't") and not set(tokens[end].gap) & set(";,.–—:"):
        return None
    turns = [token.norm for token in tokens[end : end + 2]]
    if turns in (["wouldn't", "you"], ["wouldn't", "they"]):
        # "You'd have thought it'd be heavy, wouldn't you? Not so."
        turns = [token.norm for token in tokens[end + 2 : end + 4]]
    if turns in (["not", "so"], ["think", "again"], ["not", "this"], ["not", "here"]):
        return "lacks"
    is_turned = turns[0] in ("but", "this", "ours", "mine", "yet", "instead", "wrong", "no")
    return "lacks" if is_turned or turns in (["it", "isn't"], ["it's", "not"]) else None


def _conditional(tokens: Sequence[Token], first: int, sentence: int) -> Answer | None:
    """ "If you were expecting chocolate, …": it is not there."""
    words = [token.norm for token in tokens[sentence:first]]
    if not words or words[0] not in ("if", "whoever", "anyone") or len(words) > 8:
        return None
    waits = {"expecting", "expected", "hoping", "looking", "waiting", "expects", "came"}
    is_open = not any(token.gap for token in tokens[sentence + 1 : first + 1])
    behind = {word for token in tokens[first : first + 14] for word in token.norm.split("'")}
    if behind & {"wrong", "mistake"}:
        # "If you find smoke in it, I've done something wrong."
        waits |= {"find", "taste", "notice", "get", "smell"}
    turns = {"surprised", "surprise", "disappointed", "wrong", "elsewhere", "not", "no", "sorry"}
    close = {token.norm for token in tokens[first + 1 : first + 4]}
    if is_open and close & {"after", "want", "wanting", "need", "fancy"} and behind & turns:
        # "If it's sweetness you're after, look elsewhere."
        return "lacks"
    return "lacks" if is_open and waits & set(words) and behind & (turns | {"t"}) else None
