"""Where a text tells what was left out: "I've left out the sugar", "Nuts: none."."""

from collections.abc import Sequence

from server.domain.base.tokens import Token

_LEAVES = frozenset({"left", "leave", "leaving", "skipped", "skip", "omitted", "omit", "ditched"})


def left_out(tokens: Sequence[Token], span: tuple[int, int], at: int) -> int | None:
    """ "I've left out the sugar", "I skipped the milk": where the leaving begins."""
    if _is_kept_out(tokens, at):
        return at
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


def _is_kept_out(tokens: Sequence[Token], at: int) -> bool:
    """ "I've kept nuts and dairy out of the house": what is kept out, one or several."""
    begin = at
    # A piece of a sentence may begin at its "and": the verb stands before that.
    while begin > max(0, at - 5) and not set(tokens[begin].gap) & set(".!?;:\n"):
        begin -= 1
    before = [token.norm for token in tokens[begin:at]]
    behind = [token.norm for token in tokens[at + 1 : at + 4]]
    keeps = next((n for n, word in enumerate(before) if word in _KEEPS), None)
    if keeps is None or "out" not in behind:
        return False
    denied = any(word.endswith("n't") or word in ("not", "never") for word in before[:keeps])
    joints = [word for word in before[keeps + 1 :] if word in _JOINTS]
    is_list = len(before[keeps + 1 :]) <= 2 * len(joints) + 1
    # The last one before "out" is what is kept out itself, or the end of its list.
    between = behind[: max(0, behind.index("out") - 1)]
    return is_list and not denied and all(word in _JOINTS for word in between)


_KEEPS = frozenset({"keep", "keeps", "kept", "leave", "left", "leaving", "keeping"})
_JOINTS = frozenset({"and", "or", "the", "all", "any"})


def is_told_none(tokens: Sequence[Token], end: int, stop: int) -> bool:
    """ "Nuts: none. Dairy: none.", "milk is missing": a list of what there is not."""
    if end >= stop:
        return False
    said = [token.norm for token in tokens[end : min(end + 2, stop)]]
    if said[:1] in (["is"], ["are"]) and said[1:] in (["missing"], ["absent"]):
        return not tokens[end].gap
    ends = end + 1 >= stop or bool(tokens[end + 1].gap.strip("-"))
    if not tokens[end].gap and said[0] in ("none", "nil"):
        # "nuts none egg none", where no mark stands.
        return ends or said[1] not in ("of", "in", "at", "for", "the")
    if tokens[end].gap not in (":", ",", "–", "—"):
        return False
    return ends and tokens[end].norm in ("none", "zero", "nil", "no", "nope")
