"""What stands in files and in the database."""

from typing import Annotated

from pydantic import ConfigDict, Field

Instant = Annotated[int, Field(ge=0, le=2**53)]
"""A moment in milliseconds since 1970 (UTC); beyond 2**53 a browser counts no longer exactly."""


class Document:
    """A value that pydantic reads from a document, or a part of one: no unknown field is taken."""

    __pydantic_config__ = ConfigDict(extra="forbid")
