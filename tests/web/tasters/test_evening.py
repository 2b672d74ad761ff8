"""An evening of several tastings: what one phone has had at all of them."""

from sqlmodel import select

from server.domain.base.durations import DAY_MS
from server.store.tastings.table import TasterRow
from tests.web.html import Page
from tests.web.tasters.phones import LIST, Phone, keep_drinks, seat, set_up

FINE = {"of_age": "yes", "is_fine": "yes"}


def test_what_was_drunk_at_an_earlier_tasting_of_the_evening_is_added(client):
    keep_drinks(client)
    here, code = set_up(client, LIST | {"glass_ml": "60"})
    phone = seat(client, here, code, "Ada")
    later, code = set_up(client, LIST | {"glass_ml": "40"})
    phone.join(code, "Ada")
    card = Page(phone.browser.get(f"/tastings/{later.split('/')[-1]}/taste"))
    # 60 and 40 ml of 20 % vol: 9.5 g and 6.3 g, of 10 g a standard drink.
    assert "With the earlier one 1.6 standard drinks today." in card.text(".taste-holds")
    assert "more than the 1 standard drink meant for one taster" in card.text(".taste-holds")
    phone.browser.post(f"/tastings/{later.split('/')[-1]}/taste/begin", data=FINE)
    assert "With the earlier one 1.6 standard drinks" in Page(client.get(later)).text("main")


def test_another_phone_and_another_day_are_not_added(client):
    keep_drinks(client)
    here, code = set_up(client, LIST | {"glass_ml": "60"})
    phone = seat(client, here, code, "Ada")
    later, code = set_up(client, LIST | {"glass_ml": "40"})
    address = f"/tastings/{later.split('/')[-1]}/taste"
    other = Phone(client, later)
    other.join(code, "Ada")
    assert "earlier" not in Page(other.browser.get(address)).text("main")
    phone.join(code, "Ada")
    assert "earlier" in Page(phone.browser.get(address)).text("main")
    with client.app.state.database.writing() as session:
        for row in session.exec(select(TasterRow)):
            row.joined_ms -= DAY_MS
    assert "earlier" not in Page(phone.browser.get(address)).text("main")


def test_what_is_spat_out_is_not_added(client):
    keep_drinks(client)
    here, code = set_up(client, LIST | {"glass_ml": "60", "spat": "yes"})
    phone = seat(client, here, code, "Ada")
    later, code = set_up(client)
    phone.join(code, "Ada")
    card = Page(phone.browser.get(f"/tastings/{later.split('/')[-1]}/taste"))
    assert "earlier" not in card.text("main")
