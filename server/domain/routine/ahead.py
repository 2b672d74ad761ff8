"""What is made before the slot: how much of it at a time, and how it was steeped."""

from dataclasses import dataclass
from typing import Annotated

from pydantic import ConfigDict, Field

from server.domain.base.amounts import Amount
from server.domain.base.errors import Fault, refuse_if

LONGEST_STEEP_H = 10_000.0


@dataclass(frozen=True)
class Ahead:
    """An ingredient made ahead: the batch of which part is used, and its infusion.

    What an infusion draws out is not computed: no source tells it for all plants. Its time and
    temperature are kept so that the words can be held against them.
    """

    __pydantic_config__ = ConfigDict(extra="forbid")

    made: Amount | None = None
    """How much is made at a time; None where what is made is what is used."""
    steeped_h: Annotated[float, Field(gt=0, le=LONGEST_STEEP_H)] | None = None
    steeped_c: Annotated[float, Field(ge=-80, le=110)] | None = None

    def __post_init__(self) -> None:
        faults = []
        if self.steeped_h is not None and not 0 < self.steeped_h <= LONGEST_STEEP_H:
            faults.append(Fault("steeped_h", "It steeps for more than 0 and up to 10,000 hours."))
        if self.steeped_c is not None and not -80 <= self.steeped_c <= 110:
            faults.append(Fault("steeped_c", "A temperature lies between −80 and 110 °C."))
        refuse_if(faults)

    @property
    def words(self) -> str:
        """In words: "700 ml made at a time, steeped for 18 h at 20 °C".

        What is not known is left out.
        """
        made = f"{self.made.words} made at a time" if self.made else ""
        hours = f" for {self.steeped_h:g} h" if self.steeped_h else ""
        warmth = "" if self.steeped_c is None else f" at {self.steeped_c:g} °C"
        steeped = f"steeped{hours}{warmth}" if hours or warmth else ""
        return ", ".join(filter(None, (made, steeped)))


NOTHING_AHEAD = Ahead()
"""Nothing of it is done before the slot, as far as is said."""
