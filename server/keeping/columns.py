"""Whether the tables of a database have every column that is asked of them."""

from sqlalchemy import Connection, inspect

from server.store.engines.every_table import every_table


def missing_columns(connection: Connection) -> list[str]:
    """What the tables lack beside the models: "the table goal", "the column routine.change"."""
    lacking: list[str] = []
    there = set(inspect(connection).get_table_names())
    quoted = connection.dialect.identifier_preparer.quote
    for table in every_table():
        if table.name not in there:
            lacking.append(f"the table {table.name}")
            continue
        nothing = f"SELECT * FROM {quoted(table.name)} WHERE 1 = 0"  # noqa: S608
        held = set(connection.exec_driver_sql(nothing).keys())
        wanted = (each.name for each in table.columns if each.name not in held)
        lacking += [f"the column {table.name}.{name}" for name in wanted]
    return lacking
