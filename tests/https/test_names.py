from ipaddress import ip_address
from pathlib import Path

import pytest

from server.https import names
from server.https.names import further_hosts, names_to_cover, own_host
from server.settings import Settings


@pytest.fixture(autouse=True)
def machine(monkeypatch):
    monkeypatch.setattr(names.socket, "gethostname", lambda: "Bar")
    monkeypatch.setattr(names, "lan_address", lambda: "192.168.1.20")


def test_this_machine_is_covered_under_all_it_is_called():
    assert set(names_to_cover(Settings())) == {
        "localhost", ip_address("127.0.0.1"), ip_address("::1"), "bar", "bar.local",
        ip_address("192.168.1.20"),
    }  # fmt: skip


@pytest.mark.parametrize(
    ("settings", "name"),
    [
        (Settings(extra_hosts=("tablet.lan",)), "tablet.lan"),
        (Settings(public_url="https://10.0.0.5:8443"), ip_address("10.0.0.5")),
        (Settings(host="10.0.0.7"), ip_address("10.0.0.7")),
        (Settings(host="fd00::7"), ip_address("fd00::7")),
    ],
)
def test_what_a_person_has_set_is_covered_too(settings, name):
    assert name in names_to_cover(settings)


def test_listening_everywhere_is_no_name():
    assert ip_address("0.0.0.0") not in names_to_cover(Settings(host="0.0.0.0"))


def test_a_machine_without_a_network_or_a_proper_name_is_still_localhost(monkeypatch):
    monkeypatch.setattr(names, "lan_address", lambda: None)
    monkeypatch.setattr(names.socket, "gethostname", lambda: "my_machine!")
    assert own_host() == "localhost"
    assert set(names_to_cover(Settings())) == {
        "localhost", ip_address("127.0.0.1"), ip_address("::1")
    }  # fmt: skip


def test_only_names_are_added_to_what_the_authority_may_vouch_for():
    settings = Settings(Path(), extra_hosts=("a.example", "10.0.0.1"))
    assert further_hosts(settings) == ("a.example",)
