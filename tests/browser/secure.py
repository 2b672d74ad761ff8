"""The app over https in a browser that trusts its key, with a microphone and a camera of tin.

The certificate authority is in no store of this browser, so the server's key is named to it
instead. Unlike a warning that was clicked away, that lets service workers in.
"""

import base64
import hashlib

import pytest
from cryptography import x509
from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

from server.bootstrap import find_chromium
from tests.browser.chromium import ARGUMENTS, HOST, SLOWEST_ACTION_MS
from tests.browser.desk import Desk
from tests.owner import as_owner
from tests.real_server import RealServer

MEDIA = ["--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream"]


@pytest.fixture(scope="session")
def secure_server(tmp_path_factory):
    """The app over http and https; a test that kills it starts it again."""
    with RealServer(tmp_path_factory.mktemp("secure") / "data", https=True, hosts=HOST) as running:
        yield running


@pytest.fixture(scope="session")
def secure_desk(secure_server):
    with Desk(secure_server.url) as at_the_desk:
        # Pages over http lead to https; what is posted is taken, and that is all it needs.
        at_the_desk.base_url = secure_server.https_url
        at_the_desk.headers["Origin"] = secure_server.https_url
        yield at_the_desk


@pytest.fixture(scope="session")
def secure_url(secure_server):
    return f"https://{HOST}:{secure_server.https_port}"


@pytest.fixture(scope="session")
def secure_options(secure_server):
    """How the browser is started."""
    return {
        "executable_path": find_chromium(),
        "args": [
            *ARGUMENTS,
            f"--ignore-certificate-errors-spki-list={_key_hash(secure_server)}",
            *MEDIA,
        ],
    }


@pytest.fixture(scope="session")
def secure_browser(playwright, secure_options):
    browser = playwright.chromium.launch(**secure_options)
    yield browser
    browser.close()


@pytest.fixture
def secure_page(secure_browser, secure_url, watch):
    """A page on the app over https."""
    context = secure_browser.new_context(
        base_url=secure_url, viewport={"width": 1280, "height": 800}, **as_owner(HOST)
    )
    context.set_default_timeout(SLOWEST_ACTION_MS)
    watch.listen(context)
    yield context.new_page()
    context.close()


def _key_hash(server):
    pem = server.authority_file.with_name("server.pem").read_bytes()
    key = x509.load_pem_x509_certificate(pem).public_key()
    spki = key.public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return base64.b64encode(hashlib.sha256(spki).digest()).decode()
