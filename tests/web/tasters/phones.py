"""A table of tasters: a drink, a tasting of it, and phones that join."""

from server.domain.base.amounts import Amount
from server.domain.glass.figures import Figure
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient
from server.store.tastings.sittings import load_sitting
from tests.factories import NOW_MS, make_routine
from tests.web.conftest import beside
from tests.web.html import Page
from tests.web.shelf import keep

WORDS = ("apricot", "walnut", "black tea")
BRANDY = Ingredient(
    "i1", "Pear brandy", Amount(120, "ml"),
    substance=Substance(kind="spirit", abv=Figure(40.0), allergens=("nuts",)),
)  # fmt: skip
WATER = Ingredient("i2", "Water", Amount(120, "ml"), substance=Substance(kind="water"))
LAMP = Drink("d1", "Lamp", 4, ingredients=(BRANDY, WATER), descriptors=WORDS)
WEAKER = Drink(
    "d2",
    "Weaker lamp",
    4,
    ingredients=(
        Ingredient("i3", "Pear brandy", Amount(60, "ml"), substance=BRANDY.substance),
        Ingredient("i4", "Water", Amount(180, "ml"), substance=WATER.substance),
    ),
    descriptors=WORDS,
)
TASTINGS = "/routines/r1/tastings"
POUR = {"glass_ml": "20", "most_drinks": "1"}
LIST = {**POUR, "drink": "d1", "decoys": "3", "strength": "yes"}
PAIRS = {
    **POUR, "kind": "triangle", "first": "d1", "second": "d2", "tasters": "12", "pd": "0.5",
    "alpha": "0.05", "beta": "0.2",
}  # fmt: skip


def keep_drinks(client, **changes):
    return keep(client, make_routine(drinks=(LAMP, WEAKER), **changes))


def set_up(client, form=LIST):
    """The address of a new tasting, and the code that opens it."""
    kind = "pairs" if "first" in form else "list"
    made = client.post(f"{TASTINGS}/{kind}", data=form)
    assert made.status_code == 303, Page(made).texts(".fault")
    here = made.headers["location"]
    client.post(f"{here}/open")
    return here, Page(client.get(here)).text("#code")


def sitting_at(client, here):
    """The tasting as it is stored."""
    with client.app.state.database.reading() as session:
        return load_sitting(session, here.split("/")[-1], NOW_MS).sitting


class Phone:
    """A taster's browser on the same app."""

    def __init__(self, client, here):
        self.browser = beside(client)
        self.sitting = sitting_at(client, here)
        self.card = f"/tastings/{self.sitting.id}/taste"
        self.count = 0

    def join(self, code, name="Ada"):
        return self.browser.post("/taste", data={"code": code, "name": name})

    def begin(self, **ticked):
        fine = {"of_age": "yes", "is_fine": "yes"} | ticked
        return self.browser.post(f"{self.card}/begin", data=fine)

    def page(self):
        return Page(self.browser.get(self.card))

    def send(self, count=None, **fields):
        self.count = self.count + 1 if count is None else count
        return self.browser.post(
            f"{self.card}/answer",
            data={"count": str(self.count), **fields},
            headers={"Accept": "application/json"},
        )

    def hand_in(self, *words, when="", strength=""):
        """Tick these words, and be done."""
        places = [at for at, each in enumerate(self.sitting.words) if each.word in words]
        fields = {f"word-{at}": "yes" for at in places}
        fields |= {f"when-{at}": when for at in places}
        fields |= {f"strength-{at}": strength for at in places}
        return self.send(done="yes", **fields)

    def name_odd(self, *, right=True):
        """Name the odd glass, or another."""
        codes = self.page().texts(".taste-glasses label")
        glasses = next(each for each in self.sitting.sets if list(each.codes) == codes)
        wrong = next(each for each in codes if each != glasses.odd)
        return self.send(done="yes", chosen=glasses.odd if right else wrong)


def seat(client, here, code, name="Ada"):
    """A phone that joined and may taste."""
    phone = Phone(client, here)
    assert phone.join(code, name).status_code == 303
    assert phone.begin().status_code == 303
    return phone


def decoys_of(client, here):
    return [each.word for each in sitting_at(client, here).words if each.is_decoy]
