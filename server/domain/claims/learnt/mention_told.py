"""A mention with what is made of it: the role it plays, and how it is claimed."""

from dataclasses import dataclass

from server.domain.claims.context import Role
from server.domain.claims.mentions import Mention
from server.domain.claims.negation import Polarity


@dataclass(frozen=True)
class Told:
    """A mention, its role, and its polarity where it is a claim."""

    mention: Mention
    role: Role
    polarity: Polarity = "has"
    is_open: bool = False
    """Whether rules end here: none tells that it claims something, and none that it does not."""

    @property
    def decision(self) -> str:
        """Both in a word: "has", "some", "lacks", or the role of what claims nothing."""
        return self.polarity if self.role is Role.CLAIM else self.role.value
