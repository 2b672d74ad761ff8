"""Where a substance is named first and then told absent: "Egg is not", "Nuts? None of those.".

>>> from server.domain.base.tokens import tokens_of
>>> def read(text):
...     tokens = tokens_of(text)
...     return is_told_absent(tokens, (0, len(tokens)), 0, 1, {("nuts",): "nuts"})
>>> read("Nuts are not in this cup."), read("Nuts: in the bitters."), read("Nuts it doesn't have.")
(True, False, True)
"""

from collections.abc import Mapping, Sequence

from server.domain.base.tokens import Token

_HERE = frozenset({"in", "there", "here", "present", "inside", "included", "part"})
_NONE = frozenset({"none", "no", "nope", "never", "absent", "missing", "nil", "zero"})
_HAS = frozenset({"have", "contain", "hold", "carry"})
_SAYS = (("i'd", "say", "not"), ("not", "that", "i'm"), ("not", "that", "i"))
_OFFERS = frozenset({"suitable", "safe", "fine", "good", "okay", "ok", "right", "perfect"})
_MAY = frozenset({"may", "can", "welcome", "relax", "rejoice", "drink", "happy", "safe", "fine"})
_SORRY = frozenset({"sorry", "unfortunately", "not", "no", "cannot", "never"})
_DENIES = frozenset({"not", "no", "never", "neither", "nor", "without", "none"})


def is_told_absent(
    tokens: Sequence[Token],
    span: tuple[int, int],
    at: int,
    end: int,
    substances: Mapping[tuple[str, ...], str],
) -> bool:
    """Whether what follows a substance (from `at` to `end`) says that it is not in. English."""
    end = _past_list(tokens, end, substances)
    gap = tokens[end].gap if end < len(tokens) else ""
    behind = [token.norm for token in tokens[end : end + 4]]
    if "?" in gap:
        # "Nuts, milk, egg? None of those.", "Does it have alcohol? None."
        asked = not _DENIES & {token.norm for token in tokens[max(span[0], end - 5) : end]}
        return asked and behind[:1] != [] and behind[0] in ("none", "nope", "nothing")
    if not behind or set(gap) & set(".!;"):
        return False
    if gap.strip("-"):
        is_said = any(tuple(behind[: len(words)]) == words for words in _SAYS)
        is_said = is_said or (behind[0] == "never" and _ends(tokens, span, end + 1))
        return is_said or (":" in gap and behind[0] in _NONE and _ends(tokens, span, end + 1))
    if behind[0] == "neither":
        words = {token.norm for token in tokens[span[0] : at]}
        return _ends(tokens, span, end + 1) and bool(words & _DENIES)
    if behind[:2] == ["there's", "none"]:
        return _ends(tokens, span, end + 2)
    if behind[:2] == ["there's", "no"] and behind[2:3] in (["trace"], ["drop"], ["speck"]):
        return at > span[0] and tokens[at - 1].norm == "of"
    if behind[:2] == ["there", "is"] and behind[2:3] in (["none"], ["nothing"]):
        return at > span[0] and tokens[at - 1].norm == "of"
    if behind[0] in ("it", "this") and behind[2:3] and behind[2] in _HAS:
        return behind[1] in ("doesn't", "won't") and _ends(tokens, span, end + 3)
    return _is_not_here(tokens, span, end, behind)


def _is_not_here(
    tokens: Sequence[Token], span: tuple[int, int], end: int, behind: Sequence[str]
) -> bool:
    """ "is not", "isn't there", "are not in it", "also not there"."""
    steps = 1 if behind[0] in ("isn't", "aren't") else 2
    denies = steps == 1 or behind[:2] in (["is", "not"], ["are", "not"], ["also", "not"])
    if not denies:
        return False
    closes = steps == 2 and behind[0] != "also" and _ends(tokens, span, end + 2)
    return closes or (behind[steps : steps + 1] != [] and behind[steps] in _HERE)


def _past_list(tokens: Sequence[Token], end: int, substances: Mapping[tuple[str, ...], str]) -> int:
    """Where a list of substances ends that one stands in: "milk, eggs, nuts"."""
    while end < len(tokens):
        at = end + (tokens[end].norm in ("and", "or"))
        joined = tokens[end].gap.strip("-") == "," or at > end
        if not joined or at >= len(tokens) or (tokens[at].norm,) not in substances:
            return end
        end = at + 1
    return end


def _ends(tokens: Sequence[Token], span: tuple[int, int], at: int) -> bool:
    return at >= span[1] or bool(tokens[at].gap.strip("-"))


def is_welcome(tokens: Sequence[Token], span: tuple[int, int], at: int) -> bool:
    """Whether guests who avoid something are told to drink: "safe for coeliacs", "vegans may"."""
    before = [token.norm for token in tokens[max(span[0], at - 6) : at]]
    behind = [token.norm for token in tokens[at + 1 : min(at + 4, span[1])]]
    denied = any(word in _SORRY or word.endswith("n't") for word in (*before, *behind))
    offered = not _OFFERS.isdisjoint(before) and not {"for", "with"}.isdisjoint(before)
    return not denied and (offered or not _MAY.isdisjoint(behind))
