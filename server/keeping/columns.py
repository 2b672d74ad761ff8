"""Whether the tables of a database have every column that is asked of them."""

from sqlalchemy import Connection, inspect

from server.store.database import COLUMNS


def missing_columns(connection: Connection) -> list[str]:
    """What the tables lack beside the models: "the table goal", "the column routine.change"."""
    lacking: list[str] = []
    there = set(inspect(connection).get_table_names())
    quoted = connection.dialect.identifier_preparer.quote
    for line in COLUMNS.read_text(encoding="utf-8").splitlines():
        name, *columns = line.split()
        if name not in there:
            lacking.append(f"the table {name}")
            continue
        nothing = f"SELECT * FROM {quoted(name)} WHERE 1 = 0"  # noqa: S608
        held = set(connection.exec_driver_sql(nothing).keys())
        lacking += [f"the column {name}.{each}" for each in columns if each not in held]
    return lacking
