"""Steps that bring an older database up to date, run by Alembic."""
