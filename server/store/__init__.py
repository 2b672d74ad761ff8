"""Where things are kept: tables, transactions, migrations, the mapping to domain values."""
