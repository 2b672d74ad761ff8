"""A mention with what is made of it: the role it plays, and how it is claimed."""

from dataclasses import dataclass
from typing import Literal

from server.domain.claims.context import Role
from server.domain.claims.mentions import Mention
from server.domain.claims.negation import Polarity

Doubt = Literal["", "likely", "unlikely"]
"""Whether a word claims something of the drink: sure either way, likelier than not, or hardly."""


@dataclass(frozen=True)
class Told:
    """A mention, its role, and its polarity where it is a claim."""

    mention: Mention
    role: Role
    polarity: Polarity = "has"
    is_open: bool = False
    """Whether rules end here: none tells that it claims something, and none that it does not."""
    doubt: Doubt = ""
    """Whether its role is sure, or how it is likelier to be read."""

    @property
    def decision(self) -> str:
        """Both in a word: "has", "some", "lacks", or the role of what claims nothing."""
        return self.polarity if self.role is Role.CLAIM else self.role.value
