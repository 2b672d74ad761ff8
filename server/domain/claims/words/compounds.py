"""Flavours that are told in more than one word: "walnut cake", "unripe mango", "skin of a grape".

The taxonomy lists the usual ones. Any other is put together here from words it knows: two nouns of
flavour side by side are one claim, and so is one with its state, its part or what is made of it.
What backs "walnut" then backs "walnut cake" too, as something more particular, and who says "ripe
plum" has said the "plum" of the card. English.
"""

import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from importlib.resources import files

from server.domain.base.tokens import Token
from server.domain.claims.cues import english
from server.domain.claims.lexicon import LITERAL_FAMILIES, Entry
from server.domain.claims.mentions import Mention
from server.domain.claims.taxonomy import shipped

_ADJECTIVES = ("y", "ish", "like", "'s", "al", "ic", "ous")
_ARTICLES = ("a", "an", "the", "some")


def with_compounds(
    tokens: Sequence[Token],
    mentions: Sequence[Mention],
    card: frozenset[str] = frozenset(),
    *,
    unmarked: bool = False,
) -> list[Mention]:
    """The mentions, in order; what tells one flavour together is one of them.

    In a text without marks two nouns side by side may be two claims: they stay two.
    """
    found: list[Mention] = []
    for mention in mentions:
        last = found[-1] if found else None
        made = _joined(tokens, last, mention, unmarked) if last is not None else None
        if last is not None and made is not None:
            found[-1] = made
        else:
            found.append(_with_state(tokens, mention, last.end if last else 0))
    return _of_theirs(tokens, _with_parts(tokens, found, card))


@cache
def _words() -> Mapping[str, frozenset[str]]:
    source = files(__package__).joinpath("compounds.toml").read_text(encoding="utf-8")
    return {name: frozenset(words) for name, words in tomllib.loads(source).items()}


def _is_noun(tokens: Sequence[Token], mention: Mention) -> bool:
    """Whether it names a thing that tastes. "Nutty", "floral" are claims by themselves."""
    entry = mention.descriptor
    if entry is None or entry.family in (*LITERAL_FAMILIES, None) or mention.is_slip:
        return False
    said = tokens[mention.end - 1].norm
    is_name = not _is_single(mention) or said == (entry.word or "").rpartition(" ")[2].lower()
    return is_name or not said.endswith(_ADJECTIVES)


def _joins(tokens: Sequence[Token], at: int) -> bool:
    return tokens[at].gap.strip("-") == ""


def _is_single(mention: Mention) -> bool:
    return mention.end - mention.first == 1


def _joined(
    tokens: Sequence[Token], left: Mention, right: Mention, unmarked: bool
) -> Mention | None:
    """Both as one claim, where they are one."""
    between = right.first - left.end
    if not all(_joins(tokens, at) for at in range(left.end, right.first + 1)):
        return None
    is_noun, is_of_noun = _is_noun(tokens, right), _is_noun(tokens, left)
    if between == 1 and is_noun and is_of_noun and tokens[left.end].norm in _words()["coats"]:
        # "chocolate-covered cherry"
        return _together(tokens, left.first, right.end, left, right)
    if between:
        return None
    if is_noun and _is_state(tokens, left, right, unmarked):
        return _together(tokens, left.first, right.end, left, right)
    if not is_of_noun:
        return None
    if not right.ingredient_ids and _is_single(right):
        said = tokens[right.first].norm
        if said in _words()["parts"] and said not in _words()["verbs"]:
            return _together(tokens, left.first, right.end, None, left)
        if said in _words()["products"]:
            head = right if is_noun else replace(left, ingredient_ids=())
            return _together(tokens, left.first, right.end, left, head, is_shy=_is_named(left))
    is_list = unmarked or not is_noun or left.ingredient_ids or right.ingredient_ids
    return None if is_list else _together(tokens, left.first, right.end, left, right)


def _is_named(mention: Mention) -> bool:
    return bool(mention.ingredient_ids)


def _is_state(tokens: Sequence[Token], left: Mention, right: Mention, unmarked: bool) -> bool:
    """Whether the left one tells which one of the right, or in which state."""
    said = tokens[left.end - 1].norm
    is_free = set(left.ingredient_ids).isdisjoint(right.ingredient_ids)
    if not _is_single(left) or (left.ingredient_ids and not (is_free and said.endswith("ed"))):
        return False
    if said in _words()["states"]:
        return True
    return (said in _words()["tastes"] and not unmarked) or _is_told_of_it(said, right)


def _is_told_of_it(said: str, right: Mention) -> bool:
    """ "warm hay", "dry grass": how warm or dry a thing is that the glass does not hold."""
    words, known = _words(), shipped()
    entry = right.descriptor
    if entry is None or right.ingredient_ids or entry.word is None:
        return False
    above = {entry.word, *known.ancestors(entry.word)}
    if said in words["warmths"]:
        return above.isdisjoint(words["drunk"])
    return said in words["withered"] and not above.isdisjoint(words["plants"])


def _together(
    tokens: Sequence[Token],
    first: int,
    end: int,
    left: Mention | None,
    head: Mention,
    *,
    is_shy: bool = False,
) -> Mention:
    """`is_shy`: it counts only among words of tasting."""
    entry = head.descriptor
    if entry is None:
        return head
    beside = left.descriptor if left is not None else None
    phrase = " ".join(token.norm for token in tokens[first:end])
    is_weak = entry.needs_company and (beside is None or beside.needs_company)
    return replace(
        head, first=first, end=end, descriptor=_made(entry, beside, phrase, is_weak or is_shy)
    )


def _made(entry: Entry, beside: Entry | None, phrase: str, needs_company: bool) -> Entry:
    made_of = (*_known_in(entry), *(_known_in(beside) if beside else ()))
    return replace(
        entry, word=phrase, head=head_of(entry), made_of=made_of, needs_company=needs_company,
        is_weighed=False,
    )  # fmt: skip


def _known_in(entry: Entry) -> tuple[str, ...]:
    return entry.made_of or ((entry.word,) if entry.word else ())


def _with_state(tokens: Sequence[Token], mention: Mention, behind: int) -> Mention:
    """ "wet grass", "black sesame": where its state is no word of taste by itself."""
    before = mention.first - 1
    is_state = before >= behind and tokens[before].norm in _words()["states"]
    if not is_state or not _is_noun(tokens, mention) or not _joins(tokens, mention.first):
        return mention
    return _together(tokens, before, mention.end, None, mention)


def _with_parts(
    tokens: Sequence[Token], mentions: Sequence[Mention], card: frozenset[str]
) -> list[Mention]:
    """ "watermelon rind", "banana leaf": where the part is no word of taste by itself."""
    found = []
    for at, mention in enumerate(mentions):
        end = mention.end
        limit = mentions[at + 1].first if at + 1 < len(mentions) else len(tokens)
        if end < limit and _joins(tokens, end) and _is_noun(tokens, mention):
            said = tokens[end].norm
            is_own = _is_named(mention) or mention.is_any_of(card)
            if said in _words()["parts"] and not (is_own and said in _words()["verbs"]):
                mention = _together(tokens, mention.first, end + 1, None, mention)
            elif said in _words()["products"] and not _is_act(said):
                shy = _is_named(mention) or said in english().things
                made = _together(tokens, mention.first, end + 1, None, mention, is_shy=shy)
                mention = replace(made, ingredient_ids=())
            elif said in _words()["vessels"] or (said in _words()["drinks"] and not is_own):
                shy = said in english().things or said in _words()["vessels"]
                mention = _together(tokens, mention.first, end + 1, None, mention, is_shy=shy)
        found.append(mention)
    return found


def _is_act(said: str) -> bool:
    return said in english().action or said in english().plays


def _of_theirs(tokens: Sequence[Token], mentions: Sequence[Mention]) -> list[Mention]:
    """ "the skin of a grape": a part before its whole."""
    found: list[Mention] = []
    for mention in mentions:
        at = mention.first - 1
        at -= at >= 0 and tokens[at].norm in _ARTICLES
        is_part = at >= 1 and tokens[at].norm == "of" and tokens[at - 1].norm in _words()["whose"]
        if (
            not is_part
            or not _is_noun(tokens, mention)
            or not all(_joins(tokens, place) for place in range(at, mention.first + 1))
        ):
            found.append(mention)
            continue
        last = found[-1] if found else None
        if last is not None and last.end > at - 1:
            if not _is_single(last) or last.ingredient_ids:
                found.append(mention)
                continue
            found.pop()
        found.append(_turned_round(tokens, at - 1, mention))
    return found


def _turned_round(tokens: Sequence[Token], first: int, whole: Mention) -> Mention:
    entry = whole.descriptor
    if entry is None:
        return whole
    said = tokens[first].norm
    phrase = " ".join((*(token.norm for token in tokens[whole.first : whole.end]), said))
    is_weak = entry.needs_company or said in english().things
    return replace(whole, first=first, descriptor=_made(entry, None, phrase, is_weak))


def head_of(entry: Entry) -> str | None:
    """The word of the taxonomy that a flavour is, or is a particular one of."""
    return entry.head or entry.word
