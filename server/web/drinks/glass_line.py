"""The line of a drink beneath its big figures, and how short its figures are told."""

from dataclasses import dataclass

from server.domain.glass.figure_text import says_nothing, told_digits, told_number
from server.domain.glass.figures import Estimate
from server.domain.glass.totals import Totals
from server.web.drinks.serve_amounts import Serving
from server.web.drinks.view import Glass
from server.web.frame.filters import DEGREES, NOT_KNOWN, decimal

LEAST_ADDED_G = 0.05
_SIGNS = {"": "", "about": "≈ ", "at least": "≥ ", "at most": "≤ "}


@dataclass(frozen=True)
class LinePart:
    """A piece of the line beneath the big figures: its figure `name` stands between two texts.

    `name` is "" where it is no figure.
    """

    name: str
    words: str
    before: str = ""
    after: str = ""


def _number(value: Estimate, most: int) -> str:
    """A number with the decimals that its range carries, its bound rounded so that it holds."""
    digits = told_digits(value, most)
    return decimal(told_number(value, digits), digits)


def big(value: Estimate | None, digits: int, unit: str) -> str:
    """A figure in short, its bound as a sign: "≥ 60 ml"."""
    if value is None:
        return "–"
    if says_nothing(value, told_digits(value, digits), is_amount=unit != DEGREES):
        return NOT_KNOWN
    return f"{_SIGNS[value.bound]}{_number(value, digits)} {unit}"


def _untold(value: Estimate, digits: int) -> bool:
    return says_nothing(value, told_digits(value, digits))


def shown_totals(glass: Glass, serving: Serving) -> Totals:
    """The numbers of all serves or of one, as amounts are shown on the page."""
    is_all = serving == "all" and glass.balance.serves > 1
    return glass.balance.batch if is_all else glass.balance.serve


def glass_line(glass: Glass, serving: Serving) -> tuple[LinePart, ...]:
    """Sugar to acid, standard drinks, caffeine, allergens: in one line."""
    serve = shown_totals(glass, serving)
    in_all = "" if serve is glass.balance.serve else " in all"
    said = _sweet_and_sour(serve)
    if serve.standard_drinks and serve.standard_drinks.value >= LEAST_ADDED_G:
        number = _number(serve.standard_drinks, 1)
        is_one = number in ("1", "1.0")
        after = f" standard drink{'' if is_one else 's'}{in_all}"
        words = f"{_SIGNS[serve.standard_drinks.bound]}{number}"
        said.append(LinePart("standard_drinks", words, after=after))
    if serve.caffeine_mg and serve.caffeine_mg.value >= 0.5:
        words = big(serve.caffeine_mg, 0, "mg")
        said.append(LinePart("caffeine_mg", words, after=f" caffeine{in_all}"))
    known = glass.balance.allergens
    if not known and not glass.balance.allergens_unknown:
        said.append(LinePart("", "no allergens"))
    said += [LinePart("", each) for each in known]
    return tuple(said)


def _sweet_and_sour(serve: Totals) -> list[LinePart]:
    """Sugar against acid; each by itself where the other is not known."""
    sugar, acid, ratio = serve.sugar_g_per_l, serve.acid_g_per_l, serve.sugar_to_acid
    sweet = sugar is not None and not _untold(sugar, 0)
    sour = acid is not None and not _untold(acid, 1)
    if (
        sugar
        and acid
        and sugar.high < 0.5
        and acid.high < 0.05
        and sugar.is_whole
        and acid.is_whole
    ):
        return [LinePart("sugar_g_per_l", "No sugar, no acid")]
    if sugar and acid and sweet and sour:
        amounts = f"{_SIGNS[sugar.bound]}{_number(sugar, 0)} to acid {big(acid, 1, 'g/l')}"
        if ratio and not _untold(ratio, 1) and told_number(ratio, 1) <= 999:
            words = f"{_SIGNS[ratio.bound]}{_number(ratio, 1)} to 1"
            return [LinePart("sugar_to_acid", words, f"Sugar {amounts}: ")]
        return [LinePart("sugar_g_per_l", amounts, "Sugar ")]
    said = [LinePart("sugar_g_per_l", big(sugar, 0, "g/l"), "Sugar ")] if sugar else []
    if acid and sour:
        said.append(LinePart("acid_g_per_l", big(acid, 1, "g/l"), "acid " if said else "Acid "))
    return said
