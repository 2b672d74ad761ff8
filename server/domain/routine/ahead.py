"""What is made before the slot: how much of it at a time, how it was steeped, when it comes out."""

from dataclasses import dataclass
from typing import Annotated

from server.domain.base.amounts import Amount
from server.domain.base.documents import Document
from server.domain.base.errors import Fault, refuse_if
from server.domain.base.limits import Between, limit_faults
from server.domain.glass.figures import Figure
from server.domain.glass.steps import TempC

LONGEST_STEEP_H = 10_000.0
LONGEST_OUT_MIN = 1_440.0


@dataclass(frozen=True)
class Ahead(Document):
    """An ingredient made ahead: the batch of which part is used, its infusion, and its waiting.

    What an infusion draws out is not computed: no source tells it for all plants. Its time and
    temperature are kept so that the words can be held against them.
    """

    made: Amount | None = None
    """How much is made at a time; None where what is made is what is used."""
    steeped_h: (
        Annotated[
            float,
            Between(
                0, LONGEST_STEEP_H, "It steeps for more than 0 and up to 10,000 hours.", above=True
            ),
        ]
        | None
    ) = None
    steeped_c: TempC | None = None
    out_min: Figure | None = None
    """Minutes it stands in the room before it goes in: out of the fridge, or off the heat."""

    def __post_init__(self) -> None:
        faults = limit_faults(self)
        out = self.out_min
        if out is not None and not (out.least >= 0 and out.most <= LONGEST_OUT_MIN):
            faults.append(Fault("out_min", "It stands out for 0 to 1,440 minutes."))
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
