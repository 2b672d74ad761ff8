"""compose.yaml and the Dockerfile agree with the app and with each other."""

import re
from fnmatch import fnmatch
from urllib.parse import urlsplit

import yaml

from server.bootstrap import EXTRAS, extra_lock
from server.settings import ROOT, SETTINGS, Settings, read_settings
from server.store.uploads.bucket import NEEDED, REGION

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


TRUSTED_PROXIES = "FORWARDED_ALLOW_IPS"
"""Of uvicorn: from whom it believes where a request came from."""

OF_THE_IMAGE = {"NINEFIFTY_DATA", "NINEFIFTY_HOST", "NINEFIFTY_PORT", "NINEFIFTY_HTTPS_PORT"}
"""What agrees with the volume, the published ports and the health check."""

NOT_IN_IT = {"NINEFIFTY_SPEECH", "NINEFIFTY_SPEECH_MODEL"}
OF_A_SCHOOL = {"NINEFIFTY_DATABASE", "NINEFIFTY_WORKERS", "NINEFIFTY_FILES"}


def test_every_setting_that_a_container_can_have_is_handed_in():
    # One that is not is silently nothing, however it is set.
    others = {row.variable for row in SETTINGS} - OF_THE_IMAGE - NOT_IN_IT
    assert set(SERVICE["environment"]) - {TRUSTED_PROXIES} == others - OF_A_SCHOOL
    # Two servers beside a proxy: it serves https, and each is one worker.
    here_alone = {"NINEFIFTY_OPEN", "NINEFIFTY_HTTPS", "NINEFIFTY_WORKERS"}
    of_school = {name for name in SERVERS[0]["environment"] if name.startswith("NINEFIFTY_")}
    assert of_school == others - here_alone


def test_what_is_handed_in_is_what_was_set_under_the_same_name():
    for given in (SERVICE["environment"], SERVERS[0]["environment"]):
        named = {
            name: re.match(r"\$\{(NINEFIFTY_\w+|AWS_\w+):-", value) for name, value in given.items()
        }
        assert all(found is None or found[1] == name for name, found in named.items())


def test_an_image_for_people_is_built_with_what_they_need():
    assert SERVICE["build"]["args"]["EXTRA"] == "${NINEFIFTY_PEOPLE:+school}"


SCHOOL = {name: each for name, each in COMPOSE["services"].items() if "profiles" in each}
SERVERS = [each for each in SCHOOL.values() if "build" in each]
PROXY = (ROOT / "server" / "proxy.conf").read_text(encoding="utf-8")


def test_a_school_has_two_servers_over_one_database_and_one_data_folder():
    assert len(SERVERS) == 2
    assert SERVERS[0] == SERVERS[1]
    address, given = (
        SERVERS[0]["environment"]["NINEFIFTY_DATABASE"],
        SCHOOL["postgres"]["environment"],
    )
    place = urlsplit(read_settings({"NINEFIFTY_DATABASE": address}).database)
    # Any letters may be in it: it stands in no address (libpq reads it from here).
    assert (place.password, SERVERS[0]["environment"]["PGPASSWORD"]) == (
        None, given["POSTGRES_PASSWORD"],
    )  # fmt: skip
    assert place.hostname == "postgres"
    assert (place.username, place.path) == (given["POSTGRES_USER"], f"/{given['POSTGRES_DB']}")
    known = {row.variable for row in SETTINGS} | {TRUSTED_PROXIES, "PGPASSWORD", *NEEDED, REGION}
    assert set(SERVERS[0]["environment"]) <= known


def test_a_school_has_accounts_and_each_address_its_own_tries_at_codes():
    given = SERVERS[0]["environment"]
    assert re.fullmatch(r"\$\{NINEFIFTY_PEOPLE:-yes\}", given["NINEFIFTY_PEOPLE"])
    # The servers believe the proxy, which says what it saw itself.
    assert given[TRUSTED_PROXIES] == "*"
    assert "proxy_set_header X-Forwarded-For $remote_addr;" in PROXY


def test_the_database_is_of_the_release_whose_tools_the_image_has():
    release = {"trixie": "17"}[re.search(r"slim-(\w+)$", lines("FROM")[0])[1]]
    assert SCHOOL["postgres"]["image"] == f"postgres:{release}"


def test_nobody_is_led_to_a_server_that_does_not_answer_yet():
    waits = SCHOOL["proxy"]["depends_on"].values()
    assert [each["condition"] for each in waits] == ["service_healthy"] * 2
    assert "127.0.0.1" in SCHOOL["postgres"]["healthcheck"]["test"]


def test_a_school_can_keep_its_files_in_a_store_and_does_not_unless_it_says_so():
    given = SERVERS[0]["environment"]
    assert {given[name] for name in (*NEEDED, REGION)} == {f"${{{n}:-}}" for n in (*NEEDED, REGION)}
    assert given["NINEFIFTY_FILES"] == "${NINEFIFTY_FILES:-}"


def test_the_servers_of_a_school_are_built_with_what_a_school_needs():
    extra = SERVERS[0]["build"]["args"]["EXTRA"]
    assert extra in EXTRAS
    assert extra_lock(extra).name in [line.split()[0] for line in lines("COPY")]
    assert lines("ARG") == ['EXTRA=""']


def test_only_the_proxy_of_a_school_is_reached_from_outside():
    assert [name for name, each in SCHOOL.items() if "ports" in each] == ["proxy"]
    assert "profiles" not in SERVICE


def test_the_proxy_asks_both_servers_and_holds_no_stream_back():
    asked = re.findall(r"server (\w+):(\d+) resolve;", PROXY)
    names = [name for name, each in SCHOOL.items() if "build" in each]
    assert asked == [(name, str(Settings().port)) for name in names]
    assert "proxy_buffering off;" in PROXY
    assert "proxy_set_header Host $http_host;" in PROXY
    (mounted,) = SCHOOL["proxy"]["volumes"]
    assert (ROOT / mounted.split(":")[0]).is_file()


def test_every_volume_that_is_used_is_declared():
    mounts = [each for service in COMPOSE["services"].values() for each in service["volumes"]]
    names = {mount.split(":")[0] for mount in mounts if not mount.startswith("./")}
    assert names == set(COMPOSE["volumes"])
