"""The certificate of a running server: there from the start, and kept fit while it runs."""

import ssl
from datetime import UTC, datetime

from server.https.fingerprint import fingerprint
from server.https.folder import CertificateFolder
from server.https.names import further_hosts, names_to_cover, own_host
from server.settings import Settings


class Keeper:
    """Holds the TLS context that every new connection uses; connections that are open stay."""

    def __init__(self, settings: Settings) -> None:
        self._settings = settings
        self._folder = CertificateFolder(settings.certificate_folder)
        self.context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        self._provide()
        self._load()

    @property
    def fingerprint(self) -> str:
        """The SHA-256 of the authority's certificate, to be compared on a device."""
        pem = self._folder.authority_file.read_text(encoding="ascii")
        return fingerprint(pem)

    @property
    def uncovered(self) -> tuple[str, ...]:
        """The names this app answers to that its authority may not vouch for."""
        return tuple(map(str, self._folder.uncovered(names_to_cover(self._settings))))

    def look(self) -> None:
        """Renew the certificate where its end is near or the machine's address has changed."""
        if self._provide():
            self._load()

    def _provide(self) -> bool:
        names = names_to_cover(self._settings)
        further = further_hosts(self._settings)
        return self._folder.provide(names, own_host(), further, datetime.now(UTC))

    def _load(self) -> None:
        self.context.load_cert_chain(self._folder.server_file, self._folder.server_key_file)
