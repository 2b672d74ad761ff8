"""Alembic's entry: run the steps on the connection it was handed."""

from alembic import context
from sqlmodel import SQLModel

from server.store import tables  # noqa: F401  (fills the metadata)
from server.store.between import table as between_table  # noqa: F401  (so does this)
from server.store.heard import table  # noqa: F401  (so does this)
from server.store.people import table as people  # noqa: F401  (and this)
from server.store.sharing import table as sharing  # noqa: F401  (and this)
from server.store.uploads import table as uploads_table  # noqa: F401  (and this)

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=SQLModel.metadata,
    render_as_batch=True,
    transaction_per_migration=False,
)
with context.begin_transaction():
    context.run_migrations()
