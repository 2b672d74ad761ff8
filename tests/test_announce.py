"""What the terminal says: the addresses, and the QR code for the tablet."""

import ipaddress
from dataclasses import replace
from pathlib import Path

import pytest
import segno

from server.announce import Trust, announcement, lan_address, local_url, qr_code, tablet_url
from server.settings import Settings

LAN = "192.168.1.20"
MODULES = {" ": (1, 1), "▀": (0, 1), "▄": (1, 0), "█": (0, 0)}


def test_the_address_on_the_network_is_one_that_others_can_open():
    found = lan_address()
    assert found is None or not ipaddress.ip_address(found).is_loopback


@pytest.mark.parametrize(
    ("host", "here", "elsewhere"),
    [
        ("0.0.0.0", "http://localhost:8000", "http://192.168.1.20:8000"),
        ("::", "http://localhost:8000", "http://192.168.1.20:8000"),
        ("127.0.0.1", "http://localhost:8000", None),
        ("localhost", "http://localhost:8000", None),
        ("::1", "http://localhost:8000", None),
        ("10.0.0.7", "http://10.0.0.7:8000", "http://10.0.0.7:8000"),
        ("fd00::7", "http://[fd00::7]:8000", "http://[fd00::7]:8000"),
    ],
)
def test_addresses_follow_from_what_is_listened_on(host, here, elsewhere):
    settings = Settings(host=host)
    assert local_url(settings, 8000) == here
    assert tablet_url(settings, 8000, LAN) == elsewhere


def test_a_public_address_is_what_the_tablet_opens():
    behind_a_proxy = Settings(host="127.0.0.1", public_url="https://bar.example")
    assert tablet_url(behind_a_proxy, 8000, None) == "https://bar.example"


def test_both_addresses_the_code_and_the_folder_are_shown():
    settings = Settings()
    text = announcement(settings, 8000, LAN, colour=False)
    assert "http://localhost:8000\n" in text
    assert f"http://{LAN}:8000 " in text
    assert qr_code(f"http://{LAN}:8000", colour=False) in text
    assert str(settings.data_dir) in text


def test_where_data_lie_elsewhere_that_is_said_and_no_password():
    away = Settings(
        database="postgresql://bar:secret@db/bar", files="s3://bar/files", data_dir=Path("/d")
    )
    text = announcement(away, 8000, None, colour=False)
    assert "kept in postgresql://bar:***@db/bar and s3://bar/files, all else in /d." in text
    text = announcement(replace(away, database=""), 8000, None, colour=False)
    assert "kept in /d/ninefifty.db and s3://bar/files, all else in /d." in text


def test_without_a_network_it_says_so_and_draws_no_code():
    text = announcement(Settings(), 8000, None, colour=False)
    assert "on no network" in text
    assert "█" not in text


def test_a_closed_door_is_named_with_the_setting_that_closed_it():
    text = announcement(replace(Settings(), host="127.0.0.1"), 8000, LAN, colour=False)
    assert "NINEFIFTY_HOST is 127.0.0.1" in text


@pytest.mark.parametrize(
    ("settings", "lan", "first"),
    [
        (Settings(), LAN, f"http://{LAN}:8000/trust"),
        (Settings(), None, "http://localhost:8000/trust"),
        (Settings(host="10.0.0.7"), LAN, "http://10.0.0.7:8000/trust"),
        (Settings(public_url="https://10.0.0.9:8443"), "172.17.0.2", "http://10.0.0.9:8000/trust"),
    ],
)
def test_with_https_it_says_where_a_device_comes_to_trust_it(settings, lan, first):
    trust = Trust(8000, "AB:CD", ("bank.example",))
    text = announcement(settings, 8443, lan, colour=False, trust=trust)
    assert "https://" in text.splitlines()[1]
    assert f"  {first}\n" in text
    assert "SHA-256 AB:CD\n" in text
    assert "Not covered by it: bank.example" in text


def test_the_drawing_is_the_code_of_the_address():
    # A drawing in half blocks, read back module by module, against the matrix of the QR code
    # with the quiet zone of four modules that ISO/IEC 18004 asks for.
    url = f"http://{LAN}:8000"
    expected = [list(row) for row in segno.make(url, micro=False).matrix_iter(border=4)]
    drawn = []
    for line in qr_code(url, colour=False).splitlines():
        pairs = [MODULES[sign] for sign in line.removeprefix("  ")]
        drawn += [[top for top, _ in pairs], [bottom for _, bottom in pairs]]
    assert drawn[: len(expected)] == expected


def test_in_colour_the_ground_is_white_whatever_the_terminal():
    lines = qr_code("http://tablet.lan", colour=True).splitlines()
    assert all(line.startswith("  \033[97;40m") and line.endswith("\033[0m") for line in lines)


def test_the_code_of_the_tablet_carries_the_secret_and_says_what_it_is_good_for():
    text = announcement(Settings(), 8000, LAN, colour=False, secret="s3cret")
    assert f"http://{LAN}:8000/in#s3cret " in text
    assert qr_code(f"http://{LAN}:8000/in#s3cret", colour=False) in text
    assert "may do everything" in text
    assert "http://localhost:8000\n" in text


def test_behind_a_proxy_this_machine_too_is_let_in_by_a_link():
    proxied = Settings(public_url="https://bar.example")
    text = announcement(proxied, 8000, LAN, colour=False, secret="s3cret")
    assert "http://localhost:8000/in#s3cret\n" in text
    assert "https://bar.example/in#s3cret " in text


def test_an_open_door_says_in_red_what_others_can_do():
    text = announcement(replace(Settings(), open=True), 8000, LAN, colour=True, secret="s3cret")
    red = [line for line in text.splitlines() if line.startswith("\033[31;1m")]
    assert "Everybody on this network can read, change and delete" in red[0]
    assert "s3cret" not in text
