"""All that one database holds, put into another that is empty: from either engine to either.

Rows go as they are, in the order in which they lean on each other, and are then read again from
both and compared, one by one.
"""

from collections.abc import Iterator
from hashlib import sha256
from typing import Any

from sqlalchemy import Connection, Table, func, insert, select, text

from server.domain.base.errors import Conflict
from server.store.database import Database
from server.store.engines.every_table import every_table

_SOME = {"yield_per": 500}
"""A table may be larger than the memory."""


def move_rows(source: Database, target: Database) -> dict[str, int]:
    """Copy every row, and tell how many each table has. Both are brought up to date first.

    Nothing of it stays in `target` unless all of it is there. Raises Conflict where `target` holds
    anything already, or where what was read again differs.
    """
    source.migrate()
    target.migrate()
    with source.reading() as reading, target.writing() as writing:
        old, new = reading.connection(), writing.connection()
        _be_patient(old)
        _be_patient(new)
        _require_empty(new, target.name)
        for table in every_table():
            for rows in _some_at_once(old, table):
                new.execute(insert(table), rows)
        _count_on(new)
        return {table.name: _compared(old, new, table) for table in every_table()}


def _be_patient(connection: Connection) -> None:
    """Each waits while the other is read, for as long as that takes."""
    if connection.dialect.name == "postgresql":
        connection.exec_driver_sql("SET LOCAL idle_in_transaction_session_timeout = 0")


def _require_empty(connection: Connection, name: str) -> None:
    for table in every_table():
        if connection.execute(select(table).limit(1)).first() is not None:
            raise Conflict(
                f"{name} holds something already ({table.name}), and nothing is put over it. "
                "Name a database that is new."
            )


def _some_at_once(connection: Connection, table: Table) -> Iterator[list[dict[str, Any]]]:
    rows = connection.execute(select(table).order_by(*table.primary_key), execution_options=_SOME)
    for some in rows.mappings().partitions():
        yield [dict(row) for row in some]


def _count_on(connection: Connection) -> None:
    """What counts by itself goes on after the last that came; SQLite does so anyway."""
    if connection.dialect.name != "postgresql":
        return
    for table in every_table():
        column = table.autoincrement_column
        if column is None:
            continue
        last = connection.scalar(select(func.max(column)))
        connection.execute(
            text("SELECT setval(pg_get_serial_sequence(:table, :column), :last, :is_used)"),
            {"table": table.name, "column": column.name, "last": last or 1, "is_used": bool(last)},
        )


def _compared(old: Connection, new: Connection, table: Table) -> int:
    before, after = _digest(old, table), _digest(new, table)
    if before != after:
        raise Conflict(f"What was read again of {table.name} is not what was put there.")
    return before[0]


def _digest(connection: Connection, table: Table) -> tuple[int, int]:
    """How many rows a table has, and the sum of their hashes: in whatever order they are read."""
    count, total = 0, 0
    for row in connection.execute(select(table), execution_options=_SOME):
        count += 1
        digest = sha256(repr(tuple(row)).encode("utf-8", "replace")).digest()
        total = (total + int.from_bytes(digest)) % 2**256
    return count, total
