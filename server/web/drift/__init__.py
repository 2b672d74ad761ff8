"""How runs move from one to the next."""
