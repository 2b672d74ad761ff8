"""A certificate authority for one household, and the certificate that it gives this server.

Fields follow RFC 5280 (4.2.1: key identifiers, key usage, basic constraints, subject alternative
name, name constraints, extended key usage). The authority is limited by its name constraints to
private addresses and to names that no public site can have: whoever got hold of its key could
still pretend to be no bank.
"""

import ipaddress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from cryptography import x509
from cryptography.hazmat.primitives.asymmetric.ec import (
    SECP256R1,
    EllipticCurvePrivateKey,
    generate_private_key,
)
from cryptography.hazmat.primitives.hashes import SHA256
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

from server.https.names import Name

AUTHORITY_LASTS = timedelta(days=3650)
SERVER_LASTS = timedelta(days=397)
"""Under 398 days: Apple, "About upcoming limits on trusted certificates" (support.apple.com,
HT211025) and CA/Browser Forum Baseline Requirements 6.3.2 of that time. Apple asks 825 days of
private authorities (HT210176); the stricter one leaves room."""

CLOCK_SKEW = timedelta(days=1)
"""How far a tablet's clock may be behind and still take a new certificate."""

PERMITTED_NETWORKS = (
    "10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16",  # RFC 1918
    "100.64.0.0/10",  # RFC 6598
    "127.0.0.0/8", "::1/128",  # loopback
    "169.254.0.0/16", "fe80::/10",  # link-local
    "fc00::/7",  # RFC 4193
)  # fmt: skip
PERMITTED_DOMAINS = ("localhost", "local", "lan", "home.arpa", "internal")
"""RFC 6761, RFC 6762, common practice (lan), RFC 8375, and what ICANN keeps for private use."""


@dataclass(frozen=True)
class Issued:
    """A certificate and the key that belongs to it."""

    certificate: x509.Certificate
    key: EllipticCurvePrivateKey


def make_authority(host: str, further: tuple[str, ...], now: datetime) -> Issued:
    """A new authority, named for the machine, that may vouch for local names and `further` ones."""
    key = generate_private_key(SECP256R1())
    name = _subject(f"Ninefifty on {host}, {now:%d %b %Y}"[:64])
    builder = (
        _builder(name, name, key, now, AUTHORITY_LASTS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(signs_certificates=True), critical=True)
        .add_extension(_constraints((host, *further)), critical=True)
    )
    return Issued(builder.sign(key, SHA256()), key)


def issue(authority: Issued, names: tuple[Name, ...], now: datetime) -> Issued:
    """A certificate for a server that is opened under `names`, by a new key."""
    key = generate_private_key(SECP256R1())
    issuer = authority.certificate
    own_key_id = issuer.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    key_id = x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(own_key_id)
    builder = (
        _builder(_subject("Ninefifty server"), issuer.subject, key, now, SERVER_LASTS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(signs_certificates=False), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(map(_general_name, names)), critical=False)
        .add_extension(key_id, critical=False)
    )
    return Issued(builder.sign(authority.key, SHA256()), key)


def names_of(certificate: x509.Certificate) -> frozenset[Name]:
    """The names that a server's certificate covers."""
    held = certificate.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    return frozenset(each.value for each in held)


def permits(authority: x509.Certificate, name: Name) -> bool:
    """Whether the name constraints of an authority let it vouch for a name."""
    held = authority.extensions.get_extension_for_class(x509.NameConstraints).value
    subtrees = [each.value for each in held.permitted_subtrees or ()]
    if isinstance(name, str):
        domains = [each for each in subtrees if isinstance(each, str)]
        return any(name == domain or name.endswith(f".{domain}") for domain in domains)
    networks = [each for each in subtrees if not isinstance(each, str)]
    return any(name in network for network in networks)


def _builder(
    subject: x509.Name,
    issuer: x509.Name,
    key: EllipticCurvePrivateKey,
    now: datetime,
    lasts: timedelta,
) -> x509.CertificateBuilder:
    begins = now.astimezone(UTC) - CLOCK_SKEW
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(begins)
        .not_valid_after(begins + lasts)
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(key.public_key()), critical=False)
    )


def _usage(*, signs_certificates: bool) -> x509.KeyUsage:
    return x509.KeyUsage(
        digital_signature=not signs_certificates,
        key_cert_sign=signs_certificates,
        crl_sign=signs_certificates,
        content_commitment=False,
        key_encipherment=False,
        data_encipherment=False,
        key_agreement=False,
        encipher_only=False,
        decipher_only=False,
    )


def _constraints(hosts: tuple[str, ...]) -> x509.NameConstraints:
    domains = dict.fromkeys((*PERMITTED_DOMAINS, *hosts))
    networks = [x509.IPAddress(ipaddress.ip_network(each)) for each in PERMITTED_NETWORKS]
    return x509.NameConstraints([*map(x509.DNSName, domains), *networks], None)


def _subject(name: str) -> x509.Name:
    return x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, name)])


def _general_name(name: Name) -> x509.GeneralName:
    return x509.DNSName(name) if isinstance(name, str) else x509.IPAddress(name)
