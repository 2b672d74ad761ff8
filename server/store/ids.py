"""Ids made by the server: short enough for an address bar, random enough never to meet again."""

from secrets import token_hex


def new_id() -> str:
    """A new id of 16 hexadecimal digits (64 random bits)."""
    return token_hex(8)
