"""All tables of the app, wherever they stand: for what must leave none of them out."""

from sqlalchemy import Table
from sqlmodel import SQLModel

# Each fills the metadata.
from server.store import tables as _tables  # noqa: F401
from server.store.between import table as _between  # noqa: F401
from server.store.heard import table as _heard  # noqa: F401
from server.store.people import table as _people  # noqa: F401
from server.store.sharing import table as _sharing  # noqa: F401
from server.store.tastings import table as _tastings  # noqa: F401
from server.store.uploads import table as _uploads  # noqa: F401


def every_table() -> list[Table]:
    """The tables in the order in which they lean on each other."""
    return SQLModel.metadata.sorted_tables


def columns_text() -> str:
    """What `COLUMNS` holds: a line for each table, its name before those of its columns."""
    lines = (f"{each.name} {' '.join(each.columns.keys())}" for each in every_table())
    return "".join(f"{line}\n" for line in sorted(lines))
