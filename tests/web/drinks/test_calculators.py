"""The page of the calculators: each is asked by its address."""

import pytest

from server.domain.glass.calculators import CALCULATORS
from tests.web.html import Page


def ask(client, query):
    return Page(client.get(f"/calculators?{query}"))


def test_every_calculator_stands_there_with_an_answer(client):
    page = Page(client.get("/calculators"))
    assert page.texts("section h2") == [each.title for each in CALCULATORS]
    assert len(page.all("section .answer")) == len(CALCULATORS)


def test_an_answer_has_an_address(client):
    page = ask(client, "of=thin-syrup&mass_g=300&from_brix=60&to_brix=45")
    assert page.text("#thin-syrup .answer") == "Add 100 g of water: that makes 400 g at 45 Brix."
    assert page.text("#weaken-spirit .answer").startswith("Add ")


@pytest.mark.parametrize(
    ("to_brix", "told"),
    [
        ("eighty", "Give a number."),
        ("200", "Give a number from 0.1 to 100."),
        ("80", "Water only thins: choose a Brix below the first."),
    ],
)
def test_what_cannot_be_is_told_beside_its_field_and_stays_typed(client, to_brix, told):
    page = ask(client, f"of=thin-syrup&mass_g=300&to_brix={to_brix}")
    assert page.status == 422
    assert page.fault("to_brix") == told
    form = page.one("#thin-syrup form")
    assert dict(form.form_values())["to_brix"] == to_brix
    assert page.all("#thin-syrup .answer") == []


def test_a_calculator_that_is_not_there_is_not_found(client):
    assert client.get("/calculators?of=gold").status_code == 404
