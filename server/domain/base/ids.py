"""What an id may look like, whoever made it: this app, a browser, or a file from elsewhere.

>>> is_id("segment-1"), is_id("a b"), is_id("")
(True, False, False)
"""

import re
from typing import Annotated

from pydantic import Field

LONGEST_ID = 64
_SIGNS = r"[A-Za-z0-9_-]"

Id = Annotated[str, Field(min_length=1, max_length=LONGEST_ID, pattern=f"^{_SIGNS}+$")]


def is_id(text: str) -> bool:
    """Whether a text from an address or a form can be an id."""
    return len(text) <= LONGEST_ID and re.fullmatch(f"{_SIGNS}+", text) is not None
