"""The folder that keeps the authority and the server's certificate from one start to the next.

authority.pem       what tablets are told to trust; anyone may see it
authority-key.pem   who has it can vouch for local names: it never leaves this folder
server.pem, server-key.pem   made anew whenever they no longer fit
"""

import os
from datetime import datetime, timedelta
from pathlib import Path

from cryptography import x509
from cryptography.exceptions import InvalidSignature
from cryptography.hazmat.primitives import serialization
from cryptography.hazmat.primitives.asymmetric.ec import EllipticCurvePrivateKey

from server.https.authority import Issued, issue, make_authority, names_of, permits
from server.https.names import Name

RENEW_BEFORE = timedelta(days=30)
AUTHORITY = "authority"
SERVER = "server"


class CertificateTrouble(Exception):
    """What is kept cannot be used; the message says what to do."""


class CertificateFolder:
    """The certificates in one folder, which is made private to its owner."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.authority_file = folder / f"{AUTHORITY}.pem"
        self.server_file = folder / f"{SERVER}.pem"
        self.server_key_file = folder / f"{SERVER}-key.pem"

    def provide(
        self, names: tuple[Name, ...], host: str, further: tuple[str, ...], now: datetime
    ) -> bool:
        """See to a certificate that covers `names` and is not near its end; whether it is new.

        Raises CertificateTrouble where an authority is kept that cannot be used.
        """
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        authority = self._authority(now) or self._new_authority(host, further, now)
        covered = tuple(name for name in names if permits(authority.certificate, name))
        if self._still_fits(authority, frozenset(covered), now):
            return False
        self._write(SERVER, issue(authority, covered, now))
        return True

    def uncovered(self, names: tuple[Name, ...]) -> tuple[Name, ...]:
        """The names that the authority may not vouch for."""
        authority = x509.load_pem_x509_certificate(self.authority_file.read_bytes())
        return tuple(name for name in names if not permits(authority, name))

    def _authority(self, now: datetime) -> Issued | None:
        kept = self._read(AUTHORITY)
        if kept is None:
            if self.authority_file.exists():
                raise CertificateTrouble(
                    f"The certificate authority in {self.folder} cannot be read. Put the folder "
                    "back from a copy, or move it away: a new one is made then, and every tablet "
                    "has to trust it once more."
                )
            return None
        certificate = kept.certificate
        if not certificate.not_valid_before_utc <= now <= certificate.not_valid_after_utc:
            raise CertificateTrouble(
                f"The certificate authority in {self.folder} holds from "
                f"{certificate.not_valid_before_utc:%d %b %Y} to "
                f"{certificate.not_valid_after_utc:%d %b %Y}, and this machine says it is "
                f"{now:%d %b %Y}. Set its clock, or move the folder away for a new authority."
            )
        return kept

    def _new_authority(self, host: str, further: tuple[str, ...], now: datetime) -> Issued:
        made = make_authority(host, further, now)
        self._write(AUTHORITY, made)
        return made

    def _still_fits(self, authority: Issued, names: frozenset[Name], now: datetime) -> bool:
        kept = self._read(SERVER)
        if kept is None or names_of(kept.certificate) != names:
            return False
        try:
            kept.certificate.verify_directly_issued_by(authority.certificate)
        except (ValueError, TypeError, InvalidSignature):
            return False
        ends = kept.certificate.not_valid_after_utc
        return kept.certificate.not_valid_before_utc <= now < ends - RENEW_BEFORE

    def _key_file(self, name: str) -> Path:
        return self.folder / f"{name}-key.pem"

    def _read(self, name: str) -> Issued | None:
        """What is kept under a name; None where it is missing, broken or does not match."""
        try:
            pem = (self.folder / f"{name}.pem").read_bytes()
            certificate = x509.load_pem_x509_certificate(pem)
            secret = self._key_file(name).read_bytes()
            key = serialization.load_pem_private_key(secret, password=None)
        except (OSError, ValueError):
            return None
        if not isinstance(key, EllipticCurvePrivateKey):
            return None
        matches = key.public_key() == certificate.public_key()
        return Issued(certificate, key) if matches else None

    def _write(self, name: str, issued: Issued) -> None:
        secret = issued.key.private_bytes(
            serialization.Encoding.PEM,
            serialization.PrivateFormat.PKCS8,
            serialization.NoEncryption(),
        )
        public = issued.certificate.public_bytes(serialization.Encoding.PEM)
        # The key first: a start that is cut off between the two is seen by their not matching.
        _replace(self._key_file(name), secret, 0o600)
        _replace(self.folder / f"{name}.pem", public, 0o644)


def _replace(path: Path, content: bytes, mode: int) -> None:
    """Write a file whole or not at all, never readable by more people than `mode` allows."""
    unfinished = path.with_name(path.name + ".unfinished")
    unfinished.unlink(missing_ok=True)
    handle = os.open(unfinished, os.O_WRONLY | os.O_CREAT | os.O_EXCL, mode)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    unfinished.replace(path)
