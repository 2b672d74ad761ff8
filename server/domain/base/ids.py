"""What an id may look like, whoever made it: this app, a browser, or a file from elsewhere."""

from typing import Annotated

from pydantic import Field

Id = Annotated[str, Field(min_length=1, max_length=64, pattern=r"^[A-Za-z0-9_-]+$")]
