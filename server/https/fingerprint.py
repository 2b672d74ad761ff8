"""How a person compares two certificates: by a hash that every device shows."""

import ssl
from hashlib import sha256


def fingerprint(pem: str) -> str:
    """The SHA-256 of a certificate as devices show it, in pairs of hexadecimal digits."""
    return sha256(ssl.PEM_cert_to_DER_cert(pem)).digest().hex(":").upper()
