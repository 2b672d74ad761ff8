"""Amounts told for one glass or for all: "that makes eighty", "twenty a head", "one each".

What tells it stands beside a number that has no unit: it is the unit of what was told before.
"""

from server.domain.claims.quantities import Quantity
from server.domain.claims.said_numbers import SaidNumber
from server.domain.claims.spoken import small_words as small
from server.domain.claims.spoken.bare import A_HEAD, Bare, ends, norms, word_before

COUNTABLE = frozenset({"leaf", "piece", "sprig", "drop", "dash", "barspoon", "pinch", "part"})
"""Units of what is counted."""

LEAST_SHARE = 5.0
"""Fewer "for each of you" are things."""

LEAST_OF_GLASS = 10.0
GLASSES = frozenset({"serve", "serving", "person", "head", "glass", "cup", "guest", "drink"})
OF_GLASS = frozenset(
    {
        ("to", "a"), ("to", "each"), ("in", "all"), ("in", "total"), ("of", "it"), ("of", "that"),
        ("a", "passenger"), ("a", "portion"), ("into", "each"),
    }
)  # fmt: skip


def is_worked_out(bare: Bare, number: SaidNumber, whole: Quantity) -> bool:
    """ "so it is fifty for everyone", "which makes twenty a head", "that makes eighty": the same
    amount for one or for all.
    """
    if number.value < LEAST_SHARE and whole.unit not in ("dash", "drop", "barspoon"):
        return False
    before = [token.norm for token in bare.tokens[max(bare.first, number.first - 2) : number.first]]
    after = norms(bare, number.end, 2)
    if before[-1:] == ["total"] or after[:1] in (["together"], ["altogether"]):
        return _is_multiple(number.value, whole.low) and len(after) < 2
    if before[-1:] == ["makes"]:
        return ends(bare, number) or after[:1] == ["a"]
    is_told = before[-1:] == ["that's"] or before in (["that", "is"], ["it", "is"], ["which", "is"])
    if is_told and ends(bare, number) and _is_multiple(number.value, whole.low):
        # "Forty a glass, so for the four of you that's one hundred and sixty."
        return True
    return is_told and after[:1] != [] and (tuple(after) in A_HEAD or after[0] in ("each", "per"))


def _is_multiple(one: float, other: float) -> bool:
    least, most = sorted((one, other))
    return least > 0 and most / least in (2, 3, 4, 5, 6, 8, 10)


def is_each_one(bare: Bare, number: SaidNumber, whole: Quantity | None) -> bool:
    """ "two dashes of bitters, one each"."""
    is_few = whole is not None and whole.unit in COUNTABLE and whole.low > 1
    is_one = number.value == 1 and norms(bare, number.end, 2) == ["each"]
    return is_one and is_few and bare.tokens[number.first].gap.strip() == ","


def is_shared_out(bare: Bare, number: SaidNumber) -> bool:
    """ "Forty-three per cent, sixty between the pair", "forty a glass, forty-six per cent"."""
    after = norms(bare, number.end, 3)
    is_told = number.value >= LEAST_OF_GLASS and word_before(bare, number) not in ("at", "to")
    if is_told and tuple(after[:2]) in A_HEAD:
        return True
    is_for = after[:2] in (["between", "the"], ["for", "the"], ["across", "the"])
    return is_for and is_told and after[2:] != [] and after[2] in _ALL


_ALL = frozenset({"two", "pair", "three", "four", "lot", "table"})


def is_share(bare: Bare, number: SaidNumber, named: bool) -> bool:
    """ "then ninety of pineapple", "that is sixty for each of you"."""
    after = norms(bare, number.end, 2)
    if named and after[:1] and after[0] in small.OF:
        return True
    shared = after in (["for", "each"], ["for", "both"], ["in", "each"], ["per", "glass"])
    shared = shared or tuple(after) in A_HEAD or after == ["each"]
    return shared and number.value >= LEAST_SHARE


def is_of_glass(bare: Bare, number: SaidNumber) -> bool:
    """ "twenty per serve", "thirty to a glass", "a hundred and sixty of it"."""
    after = norms(bare, number.end, 2)
    before = word_before(bare, number)
    if number.value < LEAST_OF_GLASS or len(after) < 2 or before in ("at", "by", "under", "over"):
        return False
    if after[0] == "of" and norms(bare, number.end, 3)[2:] not in ([], ["at"], ["in"], ["for"]):
        return False
    return tuple(after) in OF_GLASS or (after[0] == "per" and after[1] in GLASSES)
