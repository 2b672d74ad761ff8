"""The judge of every number on a page: pure values and functions, no web, database or clock."""
