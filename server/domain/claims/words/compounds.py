"""Flavours that are told in more than one word: "walnut cake", "unripe mango", "watermelon rind".

The taxonomy lists the usual ones. Any other is put together here from words it knows: two nouns of
flavour side by side are one claim, and so is one with its state or its part. What backs "walnut"
then backs "walnut cake" too, as something more particular. English.
"""

from collections.abc import Collection, Sequence
from dataclasses import replace

from server.domain.base.tokens import Token
from server.domain.claims.lexicon import LITERAL_FAMILIES, Entry
from server.domain.claims.mentions import Mention

_STATES = frozenset(
    {
        "ripe", "unripe", "overripe", "green", "fresh", "stewed", "cooked", "raw", "baked", "dried",
        "burnt", "burned", "toasted", "roasted", "smoked", "candied", "caramelised", "caramelized",
        "crystallised", "salted", "pickled", "steamed", "grilled", "charred", "crushed", "tinned",
        "canned", "wet", "damp", "buttered", "poached", "preserved", "fermented", "black", "white",
        "red", "pink", "purple", "yellow", "golden", "wild", "sun-dried", "cut", "mown",
    }
)  # fmt: skip
"""Words that, right before a noun of flavour, tell which one or in which state."""

_TASTES = frozenset({"sweet", "sour", "bitter", "salt", "dark"})
"""The same, where a mark would part two claims: "sour, plum"."""

_PARTS = frozenset(
    {
        "rind", "husk", "husks", "leaf", "leaves", "skin", "skins", "core", "stone", "stones",
        "pit", "pits", "seed", "seeds", "fuzz", "tops", "vine", "bean", "beans", "shell", "shells",
        "stem", "stems", "root", "roots", "pith", "kernel", "kernels", "blossom", "blossoms",
        "flower", "flowers", "needle", "needles", "bark", "stalk", "stalks", "pod", "pods", "peel",
        "zest", "nib", "nibs", "oil", "water", "bar", "crust", "curd",
    }
)  # fmt: skip
"""Words that, right behind a noun of flavour, tell which part of it."""


def with_compounds(
    tokens: Sequence[Token],
    mentions: Sequence[Mention],
    card: Collection[str] = (),
    *,
    unmarked: bool = False,
) -> list[Mention]:
    """The mentions, in order; what tells one flavour together is one of them.

    Words of the card stay by themselves, or they would seem never said. In a text without marks
    two nouns side by side may be two claims: they stay two.
    """
    found: list[Mention] = []
    for mention in mentions:
        last = found[-1] if found else None
        if mention.is_any_of(card):
            found.append(mention)
        elif (
            last is not None
            and not last.is_any_of(card)
            and _are_one(tokens, last, mention, unmarked)
        ):
            found[-1] = _together(tokens, last.first, mention.end, last, mention)
        else:
            found.append(_with_state(tokens, mention, last.end if last else 0))
    return _with_parts(tokens, found, card)


def _is_noun(mention: Mention) -> bool:
    """Whether it names a thing that tastes."""
    entry = mention.descriptor
    is_thing = entry is not None and entry.family not in (*LITERAL_FAMILIES, None)
    return is_thing and not mention.is_slip


def _joins(tokens: Sequence[Token], at: int) -> bool:
    return tokens[at].gap.strip("-") == ""


def _are_one(tokens: Sequence[Token], left: Mention, right: Mention, unmarked: bool) -> bool:
    if left.end != right.first or not _joins(tokens, right.first) or not _is_noun(right):
        return False
    said = tokens[left.end - 1].norm
    is_told = said in _STATES or (said in _TASTES and not unmarked)
    is_state = is_told and left.end - left.first == 1 and not left.ingredient_ids
    if unmarked or is_state:
        return is_state
    # "Nutty coffee", "grassy freshness": an adjective is a claim by itself.
    is_named = bool(left.ingredient_ids or right.ingredient_ids)
    return not is_named and (_is_noun(left) and not said.endswith(("y", "ey", "ish", "like", "'s")))


def _together(
    tokens: Sequence[Token], first: int, end: int, left: Mention | None, head: Mention
) -> Mention:
    entry = head.descriptor
    if entry is None:
        return head
    beside = left.descriptor if left is not None else None
    phrase = " ".join(token.norm for token in tokens[first:end])
    is_weak = entry.needs_company and (beside is None or beside.needs_company)
    made = replace(entry, word=phrase, head=head_of(entry), needs_company=is_weak)
    return replace(head, first=first, end=end, descriptor=made)


def _with_state(tokens: Sequence[Token], mention: Mention, behind: int) -> Mention:
    """ "wet grass", "black sesame": where its state is no word of taste by itself."""
    before = mention.first - 1
    is_state = before >= behind and tokens[before].norm in _STATES and _is_noun(mention)
    if not is_state or not _joins(tokens, mention.first):
        return mention
    return _together(tokens, before, mention.end, None, mention)


def _with_parts(
    tokens: Sequence[Token], mentions: Sequence[Mention], card: Collection[str]
) -> list[Mention]:
    """ "watermelon rind", "banana leaf": where the part is no word of taste by itself."""
    found = []
    for at, mention in enumerate(mentions):
        end = mention.end
        limit = mentions[at + 1].first if at + 1 < len(mentions) else len(tokens)
        is_part = end < limit and tokens[end].norm in _PARTS and _joins(tokens, end)
        is_free = not mention.ingredient_ids and not mention.is_any_of(card)
        if is_part and is_free and _is_noun(mention) and not tokens[end - 1].norm.endswith("y"):
            mention = _together(tokens, mention.first, end + 1, None, mention)
        found.append(mention)
    return found


def head_of(entry: Entry) -> str | None:
    """The word of the taxonomy that a flavour is, or is a particular one of."""
    return entry.head or entry.word
