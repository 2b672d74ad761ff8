"""compose.yaml and the Dockerfile agree with the app and with each other."""

import re
from fnmatch import fnmatch

import yaml

from server.settings import ROOT, SETTINGS, Settings

DOCKERFILE = (ROOT / "server" / "Dockerfile").read_text(encoding="utf-8")
COMPOSE = yaml.safe_load((ROOT / "compose.yaml").read_text(encoding="utf-8"))
SERVICE = COMPOSE["services"]["ninefifty"]


def lines(instruction):
    return re.findall(rf"^{instruction} (.*)$", DOCKERFILE, re.MULTILINE)


def test_the_volume_lies_where_the_app_keeps_its_data():
    (volume,) = lines("VOLUME")
    assert f"NINEFIFTY_DATA={volume}" in lines("ENV")
    assert [mount.split(":")[1] for mount in SERVICE["volumes"]] == [volume]


def test_the_published_ports_are_those_the_app_listens_on():
    port, secure = str(Settings().port), str(Settings().https_port)
    assert lines("EXPOSE") == [f"{port} {secure}"]
    assert SERVICE["ports"] == [f"{port}:{port}", f"{secure}:{secure}"]
    assert f"http://127.0.0.1:{port}/healthz" in DOCKERFILE


def test_what_the_image_copies_exists_and_reaches_the_builder():
    copied = [line.split()[0] for line in lines("COPY")]
    ignore = (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
    allowed = [line.removeprefix("!") for line in ignore if line.startswith("!")]
    assert all((ROOT / name).exists() for name in copied)
    assert sorted(copied) == sorted(allowed)


def test_secrets_and_data_do_not_reach_the_builder():
    ignore = (ROOT / ".dockerignore").read_text(encoding="utf-8").splitlines()
    assert "*" in ignore
    kept = [line.removeprefix("!") for line in ignore if line.startswith("!")]
    assert not any(fnmatch(name, rule) for name in ("data", ".env", ".git") for rule in kept)


def test_the_image_takes_packages_only_with_their_hashes_and_runs_as_nobody_special():
    assert any("--require-hashes" in line for line in lines("RUN"))
    assert lines("USER") == ["ninefifty"]


def test_only_settings_that_exist_are_handed_in():
    assert set(SERVICE["environment"]) <= {row.variable for row in SETTINGS}
