"""What is kept from one start to the next, and when it is made anew."""

import stat
from datetime import UTC, datetime, timedelta

import pytest
from cryptography import x509

from server.https.authority import SERVER_LASTS, names_of
from server.https.folder import RENEW_BEFORE, CertificateFolder, CertificateTrouble

NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)
NAMES = ("localhost", "bar.local")


@pytest.fixture
def folder(tmp_path):
    return CertificateFolder(tmp_path / "data" / "https")


def provide(folder, names=NAMES, now=NOW):
    return folder.provide(names, "bar", (), now)


def kept(folder):
    return folder.authority_file.read_bytes(), folder.server_file.read_bytes()


def mode(path):
    return stat.S_IMODE(path.stat().st_mode)


def test_keys_are_readable_by_their_owner_alone(folder):
    provide(folder)
    assert mode(folder.folder) == 0o700
    keys = sorted(path.name for path in folder.folder.glob("*-key.pem"))
    assert keys == ["authority-key.pem", "server-key.pem"]
    assert {mode(folder.folder / key) for key in keys} == {0o600}


def test_a_second_start_changes_nothing(folder):
    assert provide(folder)
    before = kept(folder)
    assert not provide(folder, now=NOW + timedelta(days=100))
    assert kept(folder) == before


def test_another_address_gets_another_certificate_by_the_same_authority(folder):
    provide(folder)
    authority, server = kept(folder)
    assert provide(folder, names=(*NAMES, "tablet.lan"))
    assert kept(folder)[0] == authority
    assert kept(folder)[1] != server
    made = x509.load_pem_x509_certificate(folder.server_file.read_bytes())
    assert names_of(made) == {*NAMES, "tablet.lan"}


@pytest.mark.parametrize(("early", "renewed"), [(timedelta(days=2), False), (timedelta(0), True)])
def test_a_certificate_is_renewed_before_its_end(folder, early, renewed):
    provide(folder)
    near_the_end = NOW + SERVER_LASTS - RENEW_BEFORE - early
    assert provide(folder, now=near_the_end) is renewed


def test_a_certificate_from_the_future_is_made_anew(folder):
    provide(folder)
    provide(folder, names=("localhost",), now=NOW + timedelta(days=10))
    assert provide(folder, names=("localhost",), now=NOW + timedelta(days=5))


@pytest.mark.parametrize("broken", ["server.pem", "server-key.pem"])
@pytest.mark.parametrize("content", [None, b"", b"not a certificate"])
def test_a_broken_server_certificate_is_made_anew(folder, broken, content):
    provide(folder)
    authority, _ = kept(folder)
    path = folder.folder / broken
    path.unlink() if content is None else path.write_bytes(content)
    assert provide(folder)
    assert kept(folder)[0] == authority
    assert not provide(folder)


def test_a_certificate_of_a_former_authority_is_made_anew(folder):
    provide(folder)
    for name in ("authority.pem", "authority-key.pem"):
        (folder.folder / name).unlink()
    assert provide(folder)
    assert not provide(folder)


def test_an_authority_without_its_key_is_not_silently_replaced(folder):
    provide(folder)
    (folder.folder / "authority-key.pem").write_bytes(b"gone")
    with pytest.raises(CertificateTrouble, match="every tablet"):
        provide(folder)


def test_a_start_that_was_cut_off_while_making_the_authority_is_made_good(folder):
    provide(folder)
    folder.authority_file.unlink()
    assert provide(folder)


@pytest.mark.parametrize("days", [-400, 4000])
def test_an_authority_that_does_not_hold_now_is_told_with_its_days(folder, days):
    provide(folder)
    with pytest.raises(CertificateTrouble, match="24 Nov 2026"):
        provide(folder, now=NOW + timedelta(days=days))


def test_names_it_may_not_vouch_for_are_left_out_and_told(folder):
    names = (*NAMES, "bank.example")
    provide(folder, names=names)
    assert folder.uncovered(names) == ("bank.example",)
    assert not provide(folder, names=names)
