"""The real server over https, asked by a client that trusts its authority and nothing else."""

import ssl

import httpx
import pytest

from server.web.frame.layers.security import HEADERS
from tests import asking
from tests.forked import run_forked, without_ours
from tests.ports import free_port
from tests.real_server import RealServer


@pytest.fixture(scope="module")
def running(tmp_path_factory):
    with RealServer(tmp_path_factory.mktemp("https") / "data", demo=False, https=True) as server:
        yield server


@pytest.fixture
def client(running):
    trusting = ssl.create_default_context(cafile=str(running.authority_file))
    with asking.Client(base_url=running.https_url, verify=trusting) as client:
        yield client


def test_a_client_that_trusts_only_the_authority_is_answered(client):
    answer = client.get("/")
    assert answer.status_code == 200
    assert {name: answer.headers[name] for name in HEADERS} == HEADERS


def test_a_client_that_trusts_others_is_not(running):
    with pytest.raises(httpx.ConnectError, match="CERTIFICATE_VERIFY_FAILED"):
        asking.get(running.https_url)


@pytest.mark.parametrize("version", [ssl.TLSVersion.TLSv1_2, ssl.TLSVersion.TLSv1_3])
def test_current_versions_of_tls_are_spoken(running, version):
    context = ssl.create_default_context(cafile=str(running.authority_file))
    context.minimum_version = context.maximum_version = version
    assert asking.get(f"{running.https_url}/healthz", verify=context).text == "ok"


def test_http_leads_to_the_same_page_over_https(running):
    answer = asking.get(f"{running.url}/rules?show=all", follow_redirects=False)
    assert answer.status_code == 307
    assert answer.headers["location"] == f"https://127.0.0.1:{running.https_port}/rules?show=all"


def test_what_is_needed_to_trust_it_comes_over_http(running):
    page = asking.get(f"{running.url}/trust")
    assert page.status_code == 200
    loaded = asking.get(f"{running.url}/trust/ninefifty-authority.crt").content
    assert ssl.DER_cert_to_PEM_cert(loaded).split() == running.authority_file.read_text().split()


def test_it_says_where_the_authority_is_and_by_what_to_know_it(running):
    said = running.log()
    assert f"https://localhost:{running.https_port}\n" in said
    assert f"http://localhost:{running.port}/trust\n" in said
    (shown,) = [line.split()[-1] for line in said.splitlines() if "SHA-256" in line]
    assert shown in asking.get(f"{running.url}/trust").text


def test_it_stops_when_asked_while_both_doors_are_in_use(tmp_path):
    server = RealServer(tmp_path / "data", demo=False, https=True)
    server.start()
    trusting = ssl.create_default_context(cafile=str(server.authority_file))
    with asking.Client(verify=trusting) as client:
        client.get(f"{server.https_url}/healthz")
        client.get(f"{server.url}/healthz")
        server.stop()
    server.start()
    assert asking.get(f"{server.https_url}/healthz", verify=trusting).text == "ok"
    server.stop()


def test_an_authority_that_cannot_be_used_stops_the_start_with_a_sentence(tmp_path):
    (tmp_path / "https").mkdir()
    (tmp_path / "https" / "authority.pem").write_text("nothing")
    ports = {"NINEFIFTY_PORT": str(free_port()), "NINEFIFTY_HTTPS_PORT": str(free_port())}
    told = run_forked(("--https", "--data", tmp_path), without_ours() | ports, tmp_path)
    assert told.returncode == 1
    assert told.stderr.startswith(f"The certificate authority in {tmp_path}/https cannot be read.")
