"""The routines, their details and files, and rule sheets."""
