"""Which names the certificate in use covers: under any other a browser refuses the server."""

from functools import lru_cache
from pathlib import Path

from cryptography import x509

from server.https.authority import names_of, permits
from server.https.folder import CertificateFolder
from server.https.names import Name, name_of


def covers(folder: Path, host: str) -> bool:
    """Whether a browser that trusts the authority in `folder` is let in under `host`."""
    return name_of(host) in covered_names(folder)


def covered_names(folder: Path) -> frozenset[Name]:
    """The names in the certificate that is kept in `folder`; none where there is none."""
    file = CertificateFolder(folder).server_file
    try:
        return _names(file, file.stat().st_mtime_ns)
    except OSError:
        return frozenset()


def may_cover(folder: Path, host: str) -> bool:
    """Whether the authority in `folder` may vouch for `host` at all."""
    file = CertificateFolder(folder).authority_file
    name = name_of(host)
    return name is not None and permits(x509.load_pem_x509_certificate(file.read_bytes()), name)


@lru_cache(maxsize=4)
def _names(file: Path, _changed_ns: int) -> frozenset[Name]:
    return names_of(x509.load_pem_x509_certificate(file.read_bytes()))
