"""Whether the tables of a database have every column that is asked of them."""

from sqlalchemy import Connection
from sqlmodel import SQLModel

from server.store import tables as _tables  # noqa: F401  (fills the metadata)


def missing_columns(connection: Connection) -> list[str]:
    """What the tables lack beside the models: "the table goal", "the column routine.change"."""
    lacking: list[str] = []
    for table in SQLModel.metadata.sorted_tables:
        rows = connection.exec_driver_sql(f'PRAGMA table_info("{table.name}")').fetchall()
        held = {row[1] for row in rows}
        if not held:
            lacking.append(f"the table {table.name}")
        else:
            wanted = (each.name for each in table.columns if each.name not in held)
            lacking += [f"the column {table.name}.{name}" for name in wanted]
    return lacking
