"""What stands in files and in the database."""

from pydantic import ConfigDict


class Document:
    """A value that pydantic reads from a document, or a part of one: no unknown field is taken."""

    __pydantic_config__ = ConfigDict(extra="forbid")
