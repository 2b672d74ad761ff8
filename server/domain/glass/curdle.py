"""Milk and acid in one drink: which lines bring which, and what comes of it."""

from collections.abc import Sequence
from typing import Literal

from server.domain.glass.acid import (
    CASEIN_PH,
    JUICE_PH,
    AcidPour,
    Curdling,
    acid_named,
    curdling,
    pour_of,
)
from server.domain.glass.figures import Figure
from server.domain.glass.liquid import Liquid, temp_c
from server.domain.glass.parcel import Parcel

End = Literal["value", "least", "most"]

MILK_PROTEIN_G_PER_ML = 0.035
"""Protein of whole milk; cream and the like buffer as much as milk with their protein."""

WARM_C = 40.0
"""From here on warmth is said to help curdling (ours)."""

UNDISSOCIATED_PH = -2.0
"""Of an acid that has given off nothing yet: far below the first pKa of any."""

OTHER_PH = 3.2
"""pH taken for acid ingredients other than juices where none is given: typical of wine."""


def curdling_in(parcels: Sequence[Parcel], end: Liquid) -> Curdling | None:
    """What the acid of a drink does to its milk; None where one of the two is missing."""
    milk_ml = sum(_milk_ml(parcel) for parcel in parcels if _is_milk(parcel))
    likely, weakest, strongest = (
        [pour for each in parcels if not _is_milk(each) for pour in _acid(each, end)]
        for end in ("value", "least", "most")
    )
    if milk_ml <= 0 or not likely:
        return None
    warmth_c = temp_c(end)
    # Heated to 40 °C comes out of the sums as 39.999…: that is warm as well.
    eased = end.ethanol_g > 0 or (warmth_c is not None and round(warmth_c, 6) >= WARM_C)
    return curdling(milk_ml, likely, eased=eased, ends=(weakest, strongest))


def _is_milk(parcel: Parcel) -> bool:
    return parcel.substance.kind == "dairy" or "milk" in (parcel.allergens or ())


def _milk_ml(parcel: Parcel) -> float:
    """The milk that buffers like it; its own volume where the protein is not known."""
    if parcel.substance.protein is None:
        return parcel.liquid.apart_ml
    return parcel.liquid.protein_g / MILK_PROTEIN_G_PER_ML


def _acid(parcel: Parcel, end: End) -> list[AcidPour]:
    """The acid that a line brings, with as much of it as is likely, at the least or at the most."""
    liquid, substance = parcel.liquid, parcel.substance
    acid_g = liquid.acid_g * _share_of(substance.acid, end)
    if acid_g <= 0:
        return []
    acid = acid_named(parcel.name)
    if substance.kind == "acid" and substance.ph is None:
        # A powder has given off nothing yet: as good as no volume, as good as undissociated.
        return [pour_of(1e-6, acid_g, UNDISSOCIATED_PH, acid)]
    usual = JUICE_PH if substance.kind == "juice" else OTHER_PH
    ph = substance.ph.value if substance.ph else usual
    if ph > CASEIN_PH:
        # What is itself above casein's point (coffee, tea) cannot bring milk down to it.
        return []
    return [pour_of(liquid.apart_ml, acid_g, ph, acid)]


def _share_of(acid: Figure | None, end: End) -> float:
    if acid is None or acid.value <= 0:
        return 1.0
    share: float = getattr(acid, end) / acid.value
    return share
