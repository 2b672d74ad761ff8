"""Statements for many rows that go to the driver as they are: what all who mark have written.

SQLAlchemy looks at every value on its way and builds what is returned row by row, which takes
longer than the database does. Here a statement is compiled once for each engine.
"""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Insert, Update, insert
from sqlmodel import SQLModel

Row = Mapping[str, Any]


class DriverRows:
    """A statement that is run for rows; `columns` are those that each row has a value for."""

    def __init__(self, statement: Insert | Update, *columns: str) -> None:
        self._statement = statement
        self._columns = columns
        self._by_dialect: dict[str, tuple[str, Sequence[str] | None]] = {}

    def run(self, connection: Connection, rows: Sequence[Row]) -> None:
        """Run it for each row, in their order."""
        name = connection.dialect.name
        if name not in self._by_dialect:
            made = self._statement.compile(connection, column_keys=self._columns)
            self._by_dialect[name] = str(made), made.positiontup
        text, order = self._by_dialect[name]
        # One driver takes values by their place, the other by their name.
        given = rows if order is None else [tuple(row[each] for each in order) for row in rows]
        connection.exec_driver_sql(text, given)


class NumberedRows:
    """Puts rows into a table that counts them in its column `number`."""

    def __init__(self, table: type[SQLModel], number: str, *columns: str) -> None:
        self._plain = DriverRows(insert(table), *columns)
        self._types = {each: getattr(table, each).type for each in columns}
        self._put = (
            f"INSERT INTO {table.__tablename__} ({', '.join(columns)})"  # noqa: S608
            f" SELECT {', '.join(columns)} FROM {{}} ORDER BY place RETURNING {number}"
        )
        self._together = ""

    def put(self, connection: Connection, rows: Sequence[Row]) -> Sequence[int]:
        """Put them in, in their order; returns the number of each."""
        if connection.dialect.name != "sqlite":
            # They are counted in the order they are put in, whatever order they come back in.
            return sorted(self._put_together(connection, rows))
        self._plain.run(connection, rows)
        # Nobody else writes meanwhile, so they were counted on without a gap.
        last = connection.exec_driver_sql("SELECT last_insert_rowid()").scalar_one()
        return range(last - len(rows) + 1, last + 1)

    def _put_together(self, connection: Connection, rows: Sequence[Row]) -> Sequence[int]:
        # As one JSON text: so the driver has one value to look at, and the server one statement,
        # however many rows there are. Arrays take the driver four times as long.
        if not self._together:
            dialect = connection.dialect
            named = (f"{name} {kind.compile(dialect)}" for name, kind in self._types.items())
            given = f"ROWS FROM (json_to_recordset(%(rows)s::json) AS ({', '.join(named)}))"
            columns = ", ".join((*self._types, "place"))
            self._together = self._put.format(f"{given} WITH ORDINALITY AS given({columns})")
        as_text = {"rows": json.dumps(rows, ensure_ascii=False)}
        return connection.exec_driver_sql(self._together, as_text).scalars().all()
