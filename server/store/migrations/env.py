"""Alembic's entry: run the steps on the connection it was handed."""

from alembic import context
from sqlmodel import SQLModel

from server.store.engines import every_table  # noqa: F401  (fills the metadata)

connection = context.config.attributes["connection"]
context.configure(
    connection=connection,
    target_metadata=SQLModel.metadata,
    render_as_batch=True,
    transaction_per_migration=False,
)
with context.begin_transaction():
    context.run_migrations()
