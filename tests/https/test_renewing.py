import pytest

from server.https import names
from server.https.renewing import Keeper
from server.settings import Settings


@pytest.fixture
def keeper(tmp_path, monkeypatch):
    monkeypatch.setattr(names, "lan_address", lambda: "192.168.1.20")
    return Keeper(Settings(data_dir=tmp_path))


def test_a_changed_address_changes_the_certificate_of_a_running_server(
    keeper, tmp_path, monkeypatch
):
    before = (tmp_path / "https" / "server.pem").read_bytes()
    keeper.look()
    assert (tmp_path / "https" / "server.pem").read_bytes() == before
    monkeypatch.setattr(names, "lan_address", lambda: "192.168.7.7")
    keeper.look()
    assert (tmp_path / "https" / "server.pem").read_bytes() != before


def test_an_address_outside_its_limits_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr(names, "lan_address", lambda: "203.0.113.9")
    assert Keeper(Settings(data_dir=tmp_path)).uncovered == ("203.0.113.9",)
