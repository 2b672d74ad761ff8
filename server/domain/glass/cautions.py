"""Cautions: where a drink can hurt someone, said once and plainly. Local codes always decide.

Sources: FDA Food Code 3-501.16 (cold holding at 5 °C or below, hot at 57 °C or above), 3-501.19
(time alone as a control: 4 h, or 6 h from cold and never above 21 °C, written procedure first),
3-501.14 (cooling from 57 to 21 °C within 2 h and to 5 °C within 6 h in all, from memory),
3-401.11 (raw shell egg: 63 °C for 15 s), 3-603.11 (advisory for raw egg, from memory); IARC
Monograph 116 (2016: drinking above 65 °C is probably carcinogenic); deep scalds after 5 s at 60
°C, 2 s at 65 °C, 1 s at 69 °C (Hawkes, citing a university burn page; Moritz and Henriques 1947
agree); preferred drinking temperature 60 °C, SD 8.3 (Lee and O'Mahony 2002); EFSA Journal 13(5),
4102 (2015: caffeine, 200 mg at once). On alcohol: public-health consensus, no single source.
"""

import re
from collections.abc import Iterator, Sequence

from server.domain.glass.alcohol import STANDARD_DRINK_G
from server.domain.glass.allergens import ALLERGEN_WORDS, perhaps_exempt, short_words
from server.domain.glass.balance import Balance
from server.domain.glass.caution import Caution, caution_of
from server.domain.glass.figure_text import (
    FEWEST_DIGITS,
    carried_digits,
    in_digits,
    in_its_digits,
)
from server.domain.glass.figures import Estimate
from server.domain.glass.library_match import matches
from server.domain.glass.parcel import Parcel
from server.domain.glass.substance import Kind

STRONG_ABV = 30.0
"""From here a drink is called strong (ours: stronger than any wine, near a spirit)."""

VERY_HOT_C, SCALDS_C = 65.0, 60.0
SINGLE_CAFFEINE_MG = 200.0
HEAVY_ETHANOL_G = 60.0
TOO_MUCH = (
    "60 g at one sitting WHO calls heavy episodic drinking (as quoted). Look at the amounts, and "
    "for how many serves they are."
)

LEAST_ETHANOL_G = 0.5
"""Less alcohol than this in a serve is not told (ours)."""

ALCOHOLIC: frozenset[Kind] = frozenset({"spirit", "liqueur", "wine", "beer", "bitters"})
"""Kinds that hold alcohol whether or not its strength is known."""

_CALLED_ALCOHOL = re.compile(
    r"^(?!.*\b(?:free|non|without|zero)\b)[^,(]*\b"
    r"(?:liqueur|likör|licor|liquore|schnapps|spirit|wine|amaro|vermouth|aperitif|tincture)s?"
    r"(?=\s*(?:[,(]|$))"
)
"""What a name ends with says what it is: a house liqueur, but no wine vinegar."""

FOR_WHO_MAKES = frozenset(
    {"ethanol", "strength", "allergens", "holding", "curdling", "scald", "blender"}
)
"""Cautions for the hands that make a drink, and those that a declaration tells in figures."""

_HONEY = re.compile(
    r"(?<!\w)(?:honey(?:combs?)?(?! (?:melon|dew|suckle))|honig\w*|miel|miele|mel)(?!\w)"
)

NO_SAFE_AMOUNT = (
    "Have a serve without alcohol ready: for pregnancy, driving and many medicines no amount is "
    "known to be safe."
)

_PASTEURISED = re.compile(
    r"(?<!\w)(?<!not )(?<!nicht )(?<!non )(?<!no )(?<!não )(?:pasteuri[sz]|pastori[sz])"
)
"""The word on a carton of egg, in the languages of the talk."""


def cautions(balance: Balance, served_c: Estimate | None = None) -> tuple[Caution, ...]:
    """The cautions for one drink; `served_c` is its temperature when it is drunk, if known."""
    found = [
        *_alcohol(balance),
        *_heat(balance, served_c or balance.serve.temp_c),
        *_perishable(balance),
        *_allergens(balance),
        *_caffeine(balance.serve.caffeine_mg, "One serve"),
        *_curdling(balance),
        *_infants(balance),
    ]
    return tuple(found)


def for_who_drinks(found: Sequence[Caution]) -> tuple[Caution, ...]:
    """Those of a drink's cautions that whoever drinks it is told, beside allergens and alcohol."""
    return tuple(each for each in found if each.code not in FOR_WHO_MAKES)


def judge_cautions(balances: Sequence[Balance], serves_each: int = 1) -> tuple[Caution, ...]:
    """The cautions for a judge who gets `serves_each` of every drink."""
    alcohols = [b.serve.ethanol_g for b in balances if b.serve.ethanol_g]
    caffeines = [b.serve.caffeine_mg for b in balances if b.serve.caffeine_mg]
    if not balances:
        return ()
    return (
        *_ethanol(_sum(alcohols).times(serves_each), balances[0], "One judge, over all drinks,"),
        *_caffeine(_sum(caffeines).times(serves_each), "One judge, over all drinks,"),
    )


def _sum(estimates: Sequence[Estimate]) -> Estimate:
    return Estimate(
        sum(each.value for each in estimates),
        sum(each.low for each in estimates),
        sum(each.high for each in estimates),
        tuple(dict.fromkeys(name for each in estimates for name in each.lacks)),
    )


def _alcohol(balance: Balance) -> Iterator[Caution]:
    abv, ethanol_g = balance.serve.abv_percent, balance.serve.ethanol_g
    yield from tuple(_ethanol(ethanol_g, balance, "One serve")) or _unknown_alcohol(balance)
    if ethanol_g is not None and ethanol_g.low >= HEAVY_ETHANOL_G:
        words = f"One serve holds {ethanol_g.low:.0f} g of alcohol or more; {TOO_MUCH}"
        yield caution_of("strength", words, "far too much alcohol for one")
    if abv is not None and abv.value >= STRONG_ABV:
        words = f"This is strong: about {abv.value:.0f} % vol. Serve it small."
        yield caution_of("strength", words)


def _unknown_alcohol(balance: Balance) -> Iterator[Caution]:
    """Where nothing is known but that there is alcohol, that is said; unknown is never none."""
    names = [parcel.name for parcel in balance.parcels if _is_of_unknown_strength(parcel)]
    if names:
        yield caution_of(
            "ethanol",
            f"Holds alcohol, nobody knows how much: the strength of {', '.join(names)} is not "
            f"given. {NO_SAFE_AMOUNT}",
            "contains alcohol",
        )


def _is_of_unknown_strength(parcel: Parcel) -> bool:
    if parcel.substance.abv is not None:
        return False
    if parcel.substance.kind in ALCOHOLIC:
        return True
    if not parcel.substance.lacks("abv"):
        return False
    # Nothing is known of it but its name: what ordinary thing is called so?
    if _CALLED_ALCOHOL.search(parcel.name.casefold()):
        return True
    likely = matches(parcel.name)
    return any(each.is_sure and each.entry.substance.kind in ALCOHOLIC for each in likely[:1])


def _ethanol(ethanol_g: Estimate | None, like: Balance, who: str) -> Iterator[Caution]:
    if ethanol_g is None or ethanol_g.high < LEAST_ETHANOL_G:
        return
    per_drink_g = STANDARD_DRINK_G[like.definition]
    drinks = ethanol_g.times(1 / per_drink_g)
    told, grams = in_its_digits(drinks, 1), in_its_digits(ethanol_g, 0)
    least = "at least " if ethanol_g.lacks else "about "
    yield caution_of(
        "ethanol",
        f"{who} holds {least}{grams} g of alcohol ({told} standard drinks "
        f"of {per_drink_g:.0f} g). {NO_SAFE_AMOUNT}",
        "contains alcohol",
    )


def _heat(balance: Balance, served_c: Estimate | None) -> Iterator[Caution]:
    handled = [p.substance.temp_c.most for p in balance.parcels if p.substance.temp_c]
    handled += [note.temp_c for note in balance.steps if note.temp_c is not None]
    # Whoever brews it pours that water, however cool the coffee goes in.
    handled += [p.brewed_c for p in balance.parcels if p.brewed_c is not None]
    # Heated to 60 °C comes out of the sums as 59.999…: that scalds as well.
    hottest_c = round(max(handled, default=0.0), 6)
    if hottest_c >= SCALDS_C:
        yield caution_of(
            "scald",
            f"Liquid at {hottest_c:.0f} °C scalds: 5 seconds at 60 °C, 2 at 65 °C and 1 at 69 °C "
            "burn deep.",
            "hot enough to scald",
        )
    if served_c is not None and served_c.high > VERY_HOT_C:
        yield caution_of(
            "very_hot",
            f"It may be as hot as {served_c.high:.0f} °C when drunk. Above 65 °C counts as "
            "very hot (IARC 2016); most people like 52 to 68 °C.",
            "hot enough to scald",
        )


def _perishable(balance: Balance) -> Iterator[Caution]:
    kinds = {parcel.substance.kind for parcel in balance.parcels}
    # A name that tells of egg or milk is enough to keep it cold.
    told = {*balance.allergens, *(each for p in balance.parcels for each in p.suspected)}
    egg = "egg" in kinds or "eggs" in told
    milk = "dairy" in kinds or "milk" in told
    if milk or egg:
        what = " and ".join(name for name, there in (("milk", milk), ("egg", egg)) if there)
        still = " Clarified milk is still milk." if milk else ""
        if any(note.kind == "heat" for note in balance.steps):
            still += " Cool what was heated to 21 °C within 2 hours, and to 5 °C within 6 in all."
        yield caution_of(
            "holding",
            f"Holds {what}: keep it at 5 °C or below, or at 57 °C or above; in between use or "
            f"discard within 4 hours, marked with the time.{still}",
            "keep it cold or hot",
        )
    if egg and not _is_pasteurised(balance):
        yield caution_of(
            "raw_egg",
            "Egg may be raw here: tell guests, use pasteurised egg for anyone at risk. Raw shell "
            "egg is held safe after 63 °C for 15 seconds.",
            "egg may be raw",
        )


def _infants(balance: Balance) -> Iterator[Caution]:
    """Where no alcohol keeps it from children: honey may hold spores of botulism."""
    ethanol_g = balance.serve.ethanol_g
    if ethanol_g is None or ethanol_g.high >= LEAST_ETHANOL_G or any(_unknown_alcohol(balance)):
        return
    honey = next((p.name for p in balance.parcels if _HONEY.search(p.name.casefold())), "")
    if honey:
        yield caution_of(
            "infants",
            f"{honey}: never for a child under one year, whose gut lets spores of botulism grow "
            "(Institut national de santé publique du Québec).",
            "not for infants",
        )


def _is_pasteurised(balance: Balance) -> bool:
    """Whether all the egg says of itself that it is."""
    eggs = [
        parcel
        for parcel in balance.parcels
        if parcel.substance.kind == "egg"
        or "eggs" in (*(parcel.allergens or ()), *parcel.suspected)
    ]
    return all(_PASTEURISED.search(parcel.name.casefold()) for parcel in eggs)


def _allergens(balance: Balance) -> Iterator[Caution]:
    if balance.allergens:
        listed = "; ".join(ALLERGEN_WORDS[allergen] for allergen in balance.allergens)
        yield caution_of("allergens", f"Declare: {listed}.", "allergens to declare")
    for parcel in balance.parcels:
        exempt = perhaps_exempt(parcel.substance.kind, parcel.allergens or ())
        if exempt:
            yield caution_of(
                "allergens",
                f"{parcel.name}: {' and '.join(exempt)} as ticked. What it was distilled from is "
                "exempt (Regulation (EU) No 1169/2011, Annex II); what was steeped or washed in "
                "it is not.",
                "allergens to declare",
            )
    for parcel in balance.parcels:
        if parcel.suspected:
            words = " and ".join(map(short_words, parcel.suspected))
            yield caution_of(
                "allergens",
                f"The name “{parcel.name}” tells of {words}, which is not ticked: declare it, or "
                "be sure that it holds none.",
                "allergens to declare",
            )
    if balance.allergens_unknown:
        names = ", ".join(balance.allergens_unknown)
        yield caution_of(
            "allergens",
            f"Not known whether these hold allergens: {names}. Read the label.",
            "allergens to declare",
        )


def _caffeine(caffeine_mg: Estimate | None, who: str) -> Iterator[Caution]:
    if caffeine_mg is not None and caffeine_mg.high > SINGLE_CAFFEINE_MG:
        more = " or more, for not all of it is known" if caffeine_mg.lacks else ""
        ends = (caffeine_mg.low, caffeine_mg.high)
        low, high = (in_digits(each, carried_digits(*ends, 0, FEWEST_DIGITS)) for each in ends)
        yield caution_of(
            "caffeine",
            f"{who} may hold {low} to {high} mg of caffeine{more}; "
            "up to 200 mg at once raises no concern for healthy adults (EFSA 2015).",
            "much caffeine",
        )


def _curdling(balance: Balance) -> Iterator[Caution]:
    found = balance.curdling
    if found is None or found.verdict == "unlikely from acid alone":
        return
    digits = carried_digits(found.ph_low, found.ph_high, 1)
    low, high = (f"{each:.{digits}f}" for each in (found.ph_low, found.ph_high))
    words = "will curdle the milk" if found.verdict == "will curdle" else "may curdle the milk"
    yield caution_of(
        "curdling",
        f"The acid {words}: test it. The pH may come to {low} to {high}; casein falls out at "
        "4.6. How milk buffers is remembered, not looked up: no nearer than that. Warmth and "
        "spirit help it along; measure your own milk.",
        "may curdle",
    )
