"""Documents that may have been damaged on the disk: one that is must not close all the others."""

import logging
from typing import TypeVar

from sqlalchemy import ColumnElement, SQLColumnExpression, func, true
from sqlmodel import Session

from server.domain.base.errors import InvalidInput
from server.domain.whole.exchange import from_json

T = TypeVar("T")

_log = logging.getLogger(__name__)


def readable(kind: type[T], document: str, whose: str = "") -> T | None:
    """The value in a stored document; None, and a line in the log, where it cannot be read.

    `whose` says in the log what it belongs to.
    """
    try:
        return from_json(kind, document)
    except InvalidInput as error:
        _log.warning("A %s is damaged (%s): %s", kind.__name__, whose, error.faults[0].message)
        return None


def is_document(session: Session, text: SQLColumnExpression[str]) -> ColumnElement[bool]:
    """Whether a stored text still is a document: one that a flipped bit of the disk spoilt is not.

    PostgreSQL holds its pages to their checksums and answers with no text that it doubts.
    """
    if session.get_bind().dialect.name != "sqlite":
        return true()
    return func.json_valid(text) == 1
