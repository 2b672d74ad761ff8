import pytest

from server.domain.base.text import LONG_TEXT
from server.domain.whole.exchange import LARGEST_FILE
from server.web.frame.layers.request_limits import FORM_LIMIT, MB
from server.web.frame.layers.security import HEADERS
from tests.web.html import Page
from tests.web.shelf import keep, kept

FORM_TYPE = {"Content-Type": "application/x-www-form-urlencoded"}


def in_pieces(content, size=64 * 1024):
    """A body that does not say how long it is."""
    return iter([content[at : at + size] for at in range(0, len(content), size)])


def test_the_longest_texts_pass_in_any_script(client):
    path = keep(client)
    for letter in ("a", "ü", "語", "🍋"):
        text = letter * LONG_TEXT
        typed = {"name": "Start", "likely": "1:00", "hands": text, "said": text}
        assert client.post(f"{path}/segments/s1", data=typed).status_code == 303
        assert kept(client).segments[0].said == text


def test_a_text_that_is_too_long_is_told_beside_its_field_and_stays_there(client):
    path = keep(client)
    text = "x" * (LONG_TEXT + 1)
    answer = client.post(
        f"{path}/segments/s1", data={"name": "Start", "likely": "1:00", "said": text}
    )
    page = Page(answer)
    assert page.status == 422
    assert page.fault("said") == "Keep it to 20,000 characters; this has 20,001."
    assert page.typed("said") == text


@pytest.mark.parametrize("body", [bytes, in_pieces], ids=["told in advance", "in pieces"])
def test_a_form_that_is_too_large_is_refused_with_a_page(client, body):
    content = b"name=" + b"x" * FORM_LIMIT
    answer = client.post("/routines", content=body(content), headers=FORM_TYPE)
    assert (answer.status_code, Page(answer).text("h1")) == (413, "Too large")
    assert {name: answer.headers[name] for name in HEADERS} == HEADERS


@pytest.mark.parametrize("body", [bytes, in_pieces], ids=["told in advance", "in pieces"])
def test_a_batch_that_is_too_large_is_refused_in_json(client, body):
    answer = client.post("/api/runs/x/events", content=body(b"x" * (MB + 1)))
    assert answer.status_code == 413
    assert "too large" in answer.json()["error"]["message"]


def test_a_body_of_just_the_limit_is_read(client):
    assert client.post("/api/runs/x/events", content=b" " * MB).status_code != 413


def test_a_file_beyond_all_reason_is_refused_with_a_page(client):
    answer = client.post("/import", files={"file": ("a.json", b" " * (LARGEST_FILE + 5 * MB))})
    assert (answer.status_code, Page(answer).text("h1")) == (413, "Too large")


def test_a_form_of_thousands_of_fields_is_refused_with_a_page(client):
    answer = client.post("/routines", data={f"f{number}": "" for number in range(2000)})
    assert answer.status_code == 400
    assert Page(answer).text("h1") == "Something went wrong"


def form_written_in(charset):
    parts = b'--x\r\nContent-Disposition: form-data; name="name"\r\n\r\n\\ud800\r\n--x--\r\n'
    kind = f"multipart/form-data; boundary=x; charset={charset}"
    return {"content": parts, "headers": {"Content-Type": kind}}


@pytest.mark.parametrize("path", ["/routines", "/music/r1", "/import", "/routines/r1/undo"])
def test_a_form_that_is_not_in_utf_8_is_refused_in_words(client, path):
    keep(client)
    for charset in ("raw_unicode_escape", "\x00a", "utf-16", "x" * 9000):
        answer = client.post(path, **form_written_in(charset))
        assert (answer.status_code, charset) == (415, charset)
        assert "UTF-8" in Page(answer).texts("main p")[0]


def test_a_form_that_says_it_is_in_utf_8_is_read(client):
    for charset in ("utf-8", "UTF8", '"utf-8"'):
        assert client.post("/routines", **form_written_in(charset)).status_code == 422


def test_a_length_that_is_no_number_is_left_to_what_arrives(client):
    for said in ("²", "٣", "9" * 5000, "-1", "1e3", ""):
        headers = {"Content-Length": said.encode(), **FORM_TYPE}
        for path in ("/routines", "/music/r1"):
            answer = client.post(path, content=b"name=", headers=headers)
            assert 400 <= answer.status_code < 500, said
