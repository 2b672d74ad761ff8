"""Rows put in where none with the same key is there; those that are there stand."""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Executable
from sqlmodel import Session, SQLModel


class InsertNew:
    """A prepared statement: to build one costs as much as to run it. `key` are its columns."""

    def __init__(self, table: type[SQLModel], *key: str) -> None:
        self._table = table
        self._key = key
        self._by_dialect: dict[str, Executable] = {}

    def put(self, session: Session, rows: Sequence[Mapping[str, Any]]) -> None:
        """Put in those rows whose key is not there yet, in their order."""
        name = session.get_bind().dialect.name
        statement = self._by_dialect.get(name)
        if statement is None:
            statement = self._by_dialect[name] = self._built(name)
        session.connection().execute(statement, rows)

    def _built(self, dialect: str) -> Executable:
        # Both can do it, and each has a word of its own for it.
        if dialect == "postgresql":
            from sqlalchemy.dialects import postgresql

            return postgresql.insert(self._table).on_conflict_do_nothing(index_elements=self._key)
        from sqlalchemy.dialects import sqlite

        return sqlite.insert(self._table).on_conflict_do_nothing(index_elements=self._key)
