"""The certificates, field by field and in real handshakes.

Checked against RFC 5280 (4.2.1.3 key usage, 4.2.1.9 basic constraints, 4.2.1.10 name constraints),
Apple's limits for TLS server certificates (support.apple.com, HT211025 and HT103769), and by
OpenSSL, which builds and judges the chain by itself.
"""

import ipaddress
import socket
import ssl
import subprocess
from datetime import UTC, datetime, timedelta
from threading import Thread

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import serialization
from cryptography.x509.oid import ExtendedKeyUsageOID

from server.https.authority import issue, make_authority, names_of, permits
from tests.table import table

NOW = datetime.now(UTC)
TABLET = ipaddress.ip_address("192.168.1.20")
AUTHORITY = make_authority("bar", ("ninefifty.example",), NOW)
SERVER = issue(AUTHORITY, ("localhost", "bar.local", TABLET), NOW)


def extension(issued, kind):
    return issued.certificate.extensions.get_extension_for_class(kind)


def pem(issued, folder, name):
    """Files as a server loads them: certificate and key."""
    public = issued.certificate.public_bytes(serialization.Encoding.PEM)
    (folder / f"{name}.pem").write_bytes(public)
    secret = issued.key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    (folder / f"{name}-key.pem").write_bytes(secret)
    return folder / f"{name}.pem", folder / f"{name}-key.pem"


def shake_hands(server, authority, folder, name):
    """A TLS handshake of a client that trusts only `authority` and opens `name`."""
    ours = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    ours.load_cert_chain(*pem(server, folder, "server"))
    theirs = ssl.create_default_context(cafile=pem(authority, folder, "authority")[0])
    near, far = socket.socketpair()

    def answer():
        try:
            ours.wrap_socket(near, server_side=True).close()
        except (ssl.SSLError, OSError):
            near.close()

    answering = Thread(target=answer)
    answering.start()
    try:
        with theirs.wrap_socket(far, server_hostname=name) as wrapped:
            return wrapped.getpeercert()
    finally:
        far.close()
        answering.join(5)


def test_the_authority_may_sign_servers_and_no_further_authorities():
    basic, usage = extension(AUTHORITY, x509.BasicConstraints), extension(AUTHORITY, x509.KeyUsage)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    assert usage.critical
    assert usage.value.key_cert_sign
    assert not usage.value.digital_signature


def test_the_authority_is_limited_to_names_that_no_public_site_has():
    held = extension(AUTHORITY, x509.NameConstraints)
    assert held.critical  # RFC 5280, 4.2.1.10: conforming authorities mark it so
    permitted = {str(each.value) for each in held.value.permitted_subtrees}
    assert {"192.168.0.0/16", "10.0.0.0/8", "fc00::/7", "local", "home.arpa"} <= permitted
    assert {"bar", "ninefifty.example"} <= permitted
    networks = [each.value for each in held.value.permitted_subtrees if "/" in str(each.value)]
    assert not any(network.is_global for network in networks)


@table(
    "name, may",
    [
        ("tablet.local", True),
        ("local", True),
        ("bar", True),
        ("sub.ninefifty.example", True),
        ("bank.example", False),
        ("notlocal", False),
        (ipaddress.ip_address("172.31.0.9"), True),
        (ipaddress.ip_address("172.32.0.9"), False),
        (ipaddress.ip_address("203.0.113.9"), False),
        (ipaddress.ip_address("fd00::9"), True),
        (ipaddress.ip_address("2001:db8::9"), False),
    ],
)
def test_what_the_authority_may_vouch_for(name, may):
    assert permits(AUTHORITY.certificate, name) is may


def test_the_server_names_every_address_and_serves_nothing_but_tls():
    assert names_of(SERVER.certificate) == {"localhost", "bar.local", TABLET}
    purposes = extension(SERVER, x509.ExtendedKeyUsage).value
    assert list(purposes) == [ExtendedKeyUsageOID.SERVER_AUTH]
    basic = extension(SERVER, x509.BasicConstraints)
    assert (basic.critical, basic.value.ca) == (True, False)


def test_the_server_certificate_lasts_less_than_apple_allows():
    certificate = SERVER.certificate
    lasts = certificate.not_valid_after_utc - certificate.not_valid_before_utc
    assert timedelta(days=300) < lasts < timedelta(days=398)
    # A tablet whose clock is behind takes it too.
    assert certificate.not_valid_before_utc <= NOW - timedelta(hours=23)


def test_every_certificate_and_key_is_another():
    second = issue(AUTHORITY, ("localhost",), NOW)
    assert second.certificate.serial_number != SERVER.certificate.serial_number
    assert second.key.public_key() != SERVER.key.public_key()


def test_openssl_verifies_the_chain_by_its_strict_rules(tmp_path):
    trusted, _ = pem(AUTHORITY, tmp_path, "authority")
    presented, _ = pem(SERVER, tmp_path, "server")
    command = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", trusted]
    told = subprocess.run([*command, presented], capture_output=True, text=True)
    assert told.stdout == f"{presented}: OK\n"


@pytest.mark.parametrize("name", ["localhost", "bar.local", "192.168.1.20"])
def test_a_client_that_trusts_the_authority_takes_the_server_under_each_name(tmp_path, name):
    assert shake_hands(SERVER, AUTHORITY, tmp_path, name)["subjectAltName"]


def test_a_client_refuses_the_server_under_a_name_it_does_not_carry(tmp_path):
    with pytest.raises(ssl.SSLCertVerificationError, match=r"mismatch"):
        shake_hands(SERVER, AUTHORITY, tmp_path, "192.168.1.21")


def test_a_client_of_another_authority_refuses_the_server(tmp_path):
    with pytest.raises(ssl.SSLCertVerificationError):
        shake_hands(SERVER, make_authority("bar", (), NOW), tmp_path, "localhost")


def test_a_stolen_authority_cannot_pose_as_a_public_site(tmp_path):
    forged = issue(AUTHORITY, ("bank.example",), NOW)
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree violation"):
        shake_hands(forged, AUTHORITY, tmp_path, "bank.example")


def test_a_server_certificate_makes_no_further_certificates(tmp_path):
    forged = issue(SERVER, ("localhost",), NOW)
    with pytest.raises(ssl.SSLCertVerificationError):
        shake_hands(forged, AUTHORITY, tmp_path, "localhost")
