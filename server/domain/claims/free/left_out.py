"""Where a text tells what was left out: "I've left out the sugar", "Nuts: none."."""

from collections.abc import Sequence

from server.domain.base.tokens import Token

_LEAVES = frozenset({"left", "leave", "leaving", "skipped", "skip", "omitted", "omit", "ditched"})


def left_out(tokens: Sequence[Token], span: tuple[int, int], at: int) -> int | None:
    """ "I've left out the sugar", "I skipped the milk": where the leaving begins."""
    words = [token.norm for token in tokens[max(span[0], at - 4) : at]]
    while words and words[-1] in ("the", "any", "all", "out"):
        words.pop()
        if not words or tokens[at - 1].gap:
            return None
    if at + 1 < span[1] and tokens[at + 1].norm == "out" and words and words[-1] in _LEAVES:
        # "I've left dairy out."
        return max(span[0], at - 4) + len(words) - 1
    is_out = "out" in (token.norm for token in tokens[max(span[0], at - 3) : at])
    if not words or words[-1] not in _LEAVES or (words[-1].startswith("le") and not is_out):
        return None
    denied = any(word.endswith("n't") or word in ("not", "never", "if") for word in words)
    return None if denied else max(span[0], at - 4) + len(words) - 1


def is_told_none(tokens: Sequence[Token], end: int, stop: int) -> bool:
    """ "Nuts: none. Dairy: none.": a list of what there is not."""
    if end >= stop or tokens[end].gap not in (":", ",", "–", "—"):
        return False
    ends = end + 1 >= stop or bool(tokens[end + 1].gap.strip("-"))
    return ends and tokens[end].norm in ("none", "zero", "nil", "no", "nope")
