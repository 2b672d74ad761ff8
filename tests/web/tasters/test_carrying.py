"""Tastings that leave with the file of their routine, and come in with it."""

import json

import pytest

from tests.web.conftest import app_in
from tests.web.html import Page
from tests.web.tasters.phones import PAIRS, TASTINGS, keep_drinks, seat, set_up

EXPORT = "/routines/r1/export.json"


@pytest.fixture
def tasted(client):
    """A blind list by two tasters and a triangle by one."""
    keep_drinks(client)
    here, code = set_up(client)
    seat(client, here, code, "Ada").hand_in("apricot", when="sip")
    seat(client, here, code, "Bea").hand_in("apricot", "walnut")
    pairs, code = set_up(client, PAIRS)
    seat(client, pairs, code, "Cleo").name_odd()
    return client, here, pairs


def upload(client, content):
    return client.post("/import", files={"file": ("routine.json", content, "application/json")})


def shown(client, address):
    page = Page(client.get(address))
    return page.text("h1"), page.texts(".found-count"), page.texts("ol.found-words .line-main b")


def test_results_of_tastings_come_back_in_an_empty_app(tasted, tmp_path):
    client, here, pairs = tasted
    exported = client.get(EXPORT).content
    with app_in(tmp_path / "elsewhere") as elsewhere:
        assert upload(elsewhere, exported).status_code == 303
        for address in (here, pairs):
            assert shown(elsewhere, address) == shown(client, address)
        assert "found by 2 of 2" in Page(elsewhere.get("/routines/r1/claims")).text("main")
        assert elsewhere.get(EXPORT).content == exported


def test_tasters_leave_by_their_place_without_names_and_codes(tasted, tmp_path):
    client, here, _ = tasted
    code = Page(client.get(here)).text("#code")
    exported = client.get(EXPORT).text
    assert not [word for word in ("Ada", "Bea", "Cleo", code) if word in exported]
    with app_in(tmp_path / "elsewhere") as elsewhere:
        upload(elsewhere, exported)
        assert "1. Taster 1" in Page(elsewhere.get(here)).text("main")


def test_a_file_that_is_here_already_brings_its_tastings_as_new_ones(tasted):
    client, _, _ = tasted
    second = upload(client, client.get(EXPORT).content).headers["location"].split("/")[2]
    listed = Page(client.get(f"/routines/{second}/tastings"))
    addresses = {each.get("href") for each in listed.all(".line-list a")}
    assert len(addresses) == 2
    assert all(second in each for each in addresses)
    assert "found by 2 of 2" in Page(client.get(f"/routines/{second}/claims")).text("main")


def test_a_file_written_before_there_were_tastings_is_read(tasted, tmp_path):
    document = json.loads(tasted[0].get(EXPORT).content)
    del document["tastings"]
    with app_in(tmp_path / "elsewhere") as elsewhere:
        assert upload(elsewhere, json.dumps(document)).status_code == 303
        assert "Let friends taste" in Page(elsewhere.get(TASTINGS)).text(".empty")


@pytest.mark.parametrize(
    ("wrong", "told"),
    [
        ({"place": 2}, "same place"),
        ({"answer": {"ticks": [{"word": 99}]}}, "not in the tasting"),
        ({"answer": {"chosen": "123"}}, "nobody had"),
    ],
)
def test_answers_that_belong_to_no_tasting_are_refused(tasted, tmp_path, wrong, told):
    document = json.loads(tasted[0].get(EXPORT).content)
    (blind,) = [each for each in document["tastings"] if each["sitting"]["kind"] == "list"]
    blind["tasters"][0].update(wrong)
    with app_in(tmp_path / "elsewhere") as elsewhere:
        answer = upload(elsewhere, json.dumps(document))
        assert answer.status_code == 422
        assert told in Page(answer).text("main")
