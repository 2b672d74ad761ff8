"""What is perhaps said of a drink is asked on the ledger, at a touch, and counts for nothing."""

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.learnt import second_look as looks
from server.domain.claims.learnt.weights import Weights
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep

CLAIMS = "/routines/r1/claims"
SCRIPT = "/routines/r1/script"
RUM = Ingredient("rum", "Plum rum, 40 % vol", Amount(45, "ml"), ("plum",))
DUSK = Drink("d1", "Dusk", ingredients=(RUM,))
SAID = "My uncle came with tar on his boots."


@pytest.fixture(autouse=True)
def doubted(client, monkeypatch):
    """A script in which it is doubtful of each word whether it is said of the drink."""
    monkeypatch.setattr(looks, "shipped_weights", lambda: Weights({"always": 0.8}, {}))
    segment = make_segment("s1", said=SAID, drink_id="d1", name="Pour")
    keep(client, make_routine(segments=(segment,), drinks=(DUSK,)))


def claims(client, query=""):
    return Page(client.get(f"{CLAIMS}{query}"))


def asked(page):
    (line,) = page.all("#perhaps .claim")
    return line


def tallies(page):
    told = (each.text_content().split(None, 1) for each in page.all(".tallies a"))
    return {words: int(number) for number, words in told}


def test_it_is_asked_with_the_words_around_it(client):
    page = claims(client)
    assert asked(page).cssselect(".stub-perhaps")
    assert "“My uncle came with tar on his boots.”" in page.text("#perhaps .claim")


def test_it_counts_for_nothing_until_it_is_answered(client):
    page = claims(client)
    assert tallies(page) == {"to settle": 0, "hold": 0, "can’t check": 0, "perhaps": 1}
    assert page.text("h1") == "Nothing is claimed for sure yet"


def test_it_is_marked_in_the_script_by_more_than_colour(client):
    page = Page(client.get(SCRIPT))
    assert "perhaps" in page.one("#reading-s1 .claim-mark").get("class")
    assert "perhaps" in page.text("#reading-s1 .stub-perhaps")


def test_opened_it_says_why_it_is_asked(client):
    panel = claims(client, f"?open={asked(claims(client)).get('id')}").text(".panel")
    assert "do not tell for sure" in panel
    assert "Nothing in the glass" in panel


@pytest.mark.parametrize(
    ("words", "left", "held"),
    [("A claim", {"to settle": 1}, "means “tar”"), ("No claim", {}, "is no claim")],
)
def test_whoever_wrote_it_tells_at_a_touch(client, words, left, held):
    forms = asked(claims(client)).cssselect("form.one-button")
    (form,) = [each for each in forms if words in each.text_content()]
    typed = {each.get("name"): each.get("value") for each in form.cssselect("input")}
    assert client.post(form.get("action"), data=typed).status_code == 303
    page = claims(client)
    assert tallies(page) == {"to settle": 0, "hold": 0, "can’t check": 0} | left
    assert not page.all("#perhaps")
    assert held in claims(client, "?open=corrections").text(".panel")


def test_the_list_can_be_narrowed_to_what_is_asked(client):
    page = claims(client, "?show=perhaps")
    assert page.one("#perhaps").get("open") is not None
    assert not claims(client, "?show=settle").all("#perhaps")


def test_what_is_perhaps_said_is_said_once_somebody_knows_what_gives_it(client):
    page = claims(client, f"?open={asked(claims(client)).get('id')}")
    form = page.all(".givers form")[0]
    typed = {each.get("name"): each.get("value") for each in form.cssselect("input")}
    client.post(form.get("action"), data=typed)
    assert tallies(claims(client)) == {"to settle": 0, "hold": 1, "can’t check": 0}
    assert "means “tar”" in claims(client, "?open=corrections").text(".panel")


def test_what_is_called_a_claim_stays_open_to_be_settled(client):
    (line,) = [asked(claims(client)).get("id")]
    data = {"verdict": "word", "word": "tar", "back": "claims"}
    answer = client.post(f"{CLAIMS}/rows/{line}", data=data)
    assert answer.headers["location"] == f"{CLAIMS}?open={line}"
