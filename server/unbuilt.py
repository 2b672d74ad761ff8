"""Models of FastAPI's that are never asked for here, left unbuilt at the start.

pydantic makes what checks a model when the model is defined, and FastAPI defines dozens for the
document that tells of an app's routes, which this one does not have (`openapi_url=None`). To make
them took a twentieth of the start.
"""

from collections.abc import Iterator
from contextlib import contextmanager

from pydantic import BaseModel


@contextmanager
def unbuilt() -> Iterator[None]:
    """What is defined within this block is built when it is first used, as pydantic offers it."""
    BaseModel.model_config["defer_build"] = True
    try:
        yield
    finally:
        del BaseModel.model_config["defer_build"]
