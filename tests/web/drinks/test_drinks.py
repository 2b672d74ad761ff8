import pytest

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine, make_segment
from tests.web.html import Page, text_of
from tests.web.shelf import keep, kept

DRINK = "/routines/r1/drinks/d1"
NEW_DRINK = "/routines/r1/drinks/new"
NEW_INGREDIENT = f"{DRINK}/ingredients/new"
INGREDIENT = f"{DRINK}/ingredients/i1"
GIN = Ingredient("i1", "Gin", Amount(45, "ml"), ("juniper",))
LIME = Ingredient("i2", "Lime", Amount(20, "ml"))
ROUTINE = make_routine(
    drinks=(Drink("d1", "Tide", 4, (GIN, LIME), ("juniper",)), Drink("d2", "Ebb", 4)),
    segments=(make_segment("s1", drink_id="d1"), make_segment("s2")),
)


@pytest.fixture
def path(client):
    return keep(client, ROUTINE)


def ids(parts):
    return [part.id for part in parts]


def test_a_new_drink_has_the_serves_of_the_rule_sheet_ready(client, path):
    page = Page(client.get(f"{path}/drinks?edit=drink-new"))
    assert page.typed("serves", NEW_DRINK) == "4"


def test_a_drink_is_added_with_its_descriptors(client, path):
    typed = {"name": "Flow", "serves": "2", "descriptors": "pear; honey\npear,, rose "}
    assert client.post(NEW_DRINK, data=typed).status_code == 303
    added = kept(client).drinks[-1]
    assert (added.name, added.serves, added.descriptors) == ("Flow", 2, ("pear", "honey", "rose"))


def test_a_new_drink_gets_the_segments_that_were_named_after_it_before(client):
    named = (make_segment("s1", name="Fig Morning, serve"), make_segment("s2", name="Close"))
    keep(client, make_routine(segments=named))
    client.post(NEW_DRINK, data={"name": "Fig Morning", "serves": "2"})
    (drink,) = kept(client).drinks
    assert [each.drink_id for each in kept(client).segments] == [drink.id, None]


def test_a_segment_given_to_no_drink_stays_so_when_the_drink_it_is_named_after_changes(client):
    serve = make_segment("s1", name="Tide, serve")
    keep(client, make_routine(segments=(serve,), drinks=(Drink("d1", "Tide", 4),)))
    client.post(DRINK, data={"name": "Tide", "serves": "2"})
    assert kept(client).segments == (serve,)


def test_a_drink_without_parts_is_asked_what_goes_into_it_not_what_gives_its_words(client):
    keep(
        client, make_routine(drinks=(Drink("d1", "Tide", 4), Drink("d2", "Ebb", 4, (), ("smoke",))))
    )
    assert Page(client.get("/routines/r1/drinks")).text("h1") == "What goes into the glass?"
    client.post(NEW_INGREDIENT, data={"name": "Gin", "amount": "40 ml", "abv": "40"})
    assert Page(client.get("/routines/r1/drinks")).text("h1") == "What goes into Ebb?"


def test_a_changed_drink_keeps_its_ingredients(client, path):
    client.post(DRINK, data={"name": "High tide", "serves": "2", "descriptors": ""})
    changed = kept(client).drinks[0]
    assert (changed.name, changed.ingredients, changed.descriptors) == (
        "High tide",
        (GIN, LIME),
        (),
    )


def test_with_fewer_judges_the_amounts_follow_unless_they_are_not_to(client, path):
    page = Page(client.get(f"{path}/drinks?edit=drink-d1"))
    typed = {**page.sent_by(DRINK), "serves": "3"}
    assert client.post(DRINK, data=typed).status_code == 303
    assert [str(part.amount) for part in kept(client).drinks[0].ingredients] == [
        "33.75 ml",
        "15 ml",
    ]
    client.post(DRINK, data={**typed, "serves": "6", "follow": ""})
    assert [str(part.amount) for part in kept(client).drinks[0].ingredients] == [
        "33.75 ml",
        "15 ml",
    ]


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"name": ""}, "name", "Give it a name."),
        ({"serves": ""}, "serves", "Give a number."),
        ({"serves": "0"}, "serves", "Give a number from 1 to 100."),
        ({"serves": "2.5"}, "serves", "Give a whole number."),
        ({"serves": "nan"}, "serves", "Give a number."),
        (
            {"descriptors": "x" * 121},
            "descriptors",
            f"“{'x' * 30}…” is too long for one descriptor.",
        ),
        (
            {"descriptors": ",".join(f"w{n}" for n in range(61))},
            "descriptors",
            "At most 60 descriptors fit here.",
        ),
    ],
)
def test_a_wrong_drink_is_told_beside_its_field_and_keeps_what_was_typed(
    client, path, typed, field, told
):
    typed = {"name": "Tide", "serves": "4", "descriptors": "pear", **typed}
    page = Page(client.post(DRINK, data=typed))
    assert (page.status, page.fault(field, DRINK)) == (422, told)
    assert {name: page.typed(name, DRINK) for name in typed} == typed
    assert kept(client) == ROUTINE


def test_an_ingredient_is_added_with_amount_and_unit(client, path):
    typed = {"name": "Soda", "amount": "1 1/2 oz", "descriptors": "bubbles"}
    answer = client.post(NEW_INGREDIENT, data=typed)
    added = kept(client).drinks[0].ingredients[-1]
    assert (answer.status_code, answer.headers["location"]) == (
        303,
        f"{path}/drinks?edit=ingredient-d1&saved=ingredient-{added.id}",
    )
    assert (added.name, added.amount, added.descriptors) == (
        "Soda",
        Amount(1.5, "oz"),
        ("bubbles",),
    )


@pytest.mark.parametrize("action", [NEW_INGREDIENT, INGREDIENT], ids=["new", "changed"])
@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"name": ""}, "name", "Give it a name."),
        ({"amount": ""}, "amount", "Start with a number, for example 45 ml."),
        ({"amount": "some"}, "amount", "Start with a number, for example 45 ml."),
        ({"amount": "45"}, "amount", "Say 45 of what: ml, oz, g, dash, piece …"),
        ({"amount": "-1 ml"}, "amount", "An amount cannot be negative."),
        ({"amount": "1/0 oz"}, "amount", "A fraction cannot have 0 below the line."),
        ({"amount": "100001 ml"}, "amount", "An amount lies between 0 and 100,000."),
        ({"amount": "7" * 500 + "/3 ml"}, "amount", "An amount lies between 0 and 100,000."),
    ],
)
def test_a_wrong_ingredient_is_told_beside_its_field_and_keeps_what_was_typed(
    client, path, action, typed, field, told
):
    typed = {"name": "Soda", "amount": "1 oz", "descriptors": "bubbles", **typed}
    page = Page(client.post(action, data=typed))
    assert (page.status, page.fault(field, action)) == (422, told)
    assert {name: page.typed(name, action) for name in typed} == typed
    assert kept(client) == ROUTINE


def test_an_unknown_unit_is_named_with_those_that_are_known(client, path):
    page = Page(client.post(INGREDIENT, data={"name": "Gin", "amount": "2 mm"}))
    told = page.fault("amount", INGREDIENT)
    assert told.startswith("“mm” is no unit known here. Use one of: ml,")
    assert page.typed("amount", INGREDIENT) == "2 mm"


@pytest.mark.parametrize(
    ("typed", "shown"), [("6 leaves", "6 leaves"), ("2 thimbles", "2 thimbles")]
)
def test_a_word_of_ones_own_counts_pieces(client, path, typed, shown):
    client.post(INGREDIENT, data={"name": "Mint", "amount": typed})
    assert Page(client.get(f"{path}/drinks")).text("#ingredient-i1 b") == shown


def test_faults_of_amount_and_name_are_told_together(client, path):
    page = Page(client.post(INGREDIENT, data={"name": "", "amount": "some"}))
    assert {each.get("name") for each in page.all("[aria-invalid]")} == {"name", "amount"}


def test_an_ingredient_too_many_is_told(client):
    many = tuple(Ingredient(f"i{n}", "Drop", Amount(1, "drop")) for n in range(60))
    keep(client, make_routine(drinks=(Drink("d1", "Sea", ingredients=many),)))
    page = Page(client.post(NEW_INGREDIENT, data={"name": "One more", "amount": "1 drop"}))
    assert page.fault("name", NEW_INGREDIENT) == "A drink holds at most 60 ingredients."


def test_drinks_and_ingredients_are_moved(client, path):
    client.post("/routines/r1/drinks/d2/move", data={"to": "0"})
    client.post(f"{INGREDIENT}/move", data={"to": "1"})
    moved = kept(client)
    assert ids(moved.drinks) == ["d2", "d1"]
    assert ids(moved.drinks[1].ingredients) == ["i2", "i1"]


@pytest.mark.parametrize("action", [f"{DRINK}/move", f"{INGREDIENT}/move"])
def test_a_move_to_no_place_is_told_and_changes_nothing(client, path, action):
    page = Page(client.post(action, data={"to": "up"}))
    assert page.status == 422
    assert "Give a number." in page.root.text_content()
    assert kept(client) == ROUTINE


def test_a_deleted_drink_leaves_its_segments_and_can_be_brought_back(client, path):
    client.post(f"{DRINK}/delete")
    assert ids(kept(client).drinks) == ["d2"]
    assert kept(client).segments[0].drink_id is None
    client.post(f"{path}/undo", data={"back": "drinks"})
    assert kept(client) == ROUTINE


def test_a_deleted_ingredient_can_be_brought_back_on_the_same_page(client, path):
    client.post(f"{INGREDIENT}/delete")
    assert ids(kept(client).drinks[0].ingredients) == ["i2"]
    page = Page(client.get(f"{path}/drinks"))
    back = page.form(f"{path}/undo").cssselect("[name=back]")[0].get("value")
    answer = client.post(f"{path}/undo", data={"back": back})
    assert answer.headers["location"] == f"{path}/drinks?touched=ingredient-i1"
    assert kept(client) == ROUTINE


def test_the_form_of_an_ingredient_starts_with_what_is_kept(client, path):
    page = Page(client.get(f"{path}/drinks?edit=ingredient-i1"))
    shown = {name: page.typed(name, INGREDIENT) for name in ("name", "amount", "descriptors")}
    assert shown == {"name": "Gin", "amount": "45 ml", "descriptors": "juniper"}


EACH = {"amounts": "one"}


def shown_amounts(client, path, query=""):
    return Page(client.get(f"{path}/drinks{query}")).texts("#drink-d1 .part-row b")


def test_amounts_are_shown_for_one_serve_and_the_device_keeps_that(client, path):
    assert shown_amounts(client, path) == ["45 ml", "20 ml"]
    assert shown_amounts(client, path, "?amounts=one") == ["11.25 ml", "5 ml"]
    assert shown_amounts(client, path) == ["11.25 ml", "5 ml"]
    assert shown_amounts(client, path, "?amounts=all") == ["45 ml", "20 ml"]


def test_an_amount_typed_for_one_serve_is_kept_for_all(client, path):
    client.post(INGREDIENT, data={"name": "Gin", "amount": "12.5 ml", **EACH})
    assert kept(client).drinks[0].ingredients[0].amount == Amount(50, "ml")


def test_an_untouched_amount_stays_exactly_what_it_was(client):
    path = keep(client, make_routine(drinks=(Drink("d1", "Tide", 7, (GIN,)),)))
    form = Page(client.get(f"{path}/drinks?edit=ingredient-i1&amounts=one")).sent_by(INGREDIENT)
    assert form["amount"] == "6.43 ml"
    client.post(INGREDIENT, data=form | {"name": "Old gin"})
    assert kept(client).drinks[0].ingredients[0].amount == Amount(45, "ml")


def test_what_is_no_amount_is_told_for_one_serve_too(client, path):
    page = Page(client.post(INGREDIENT, data={"name": "Gin", "amount": "some", **EACH}))
    assert page.fault("amount", INGREDIENT).startswith("Start with a number")
    assert page.typed("amount", INGREDIENT) == "some"


def test_the_form_of_a_lemon_asks_for_three_things(client, path):
    client.post(NEW_INGREDIENT, data={"amount": "20 ml", "name": "Lemon juice, fresh"})
    lemon = kept(client).drinks[0].ingredients[-1].id
    page = Page(client.get(f"{path}/drinks?edit=ingredient-{lemon}"))
    form = page.form(f"{DRINK}/ingredients/{lemon}")
    seen = [
        each.get("name")
        for each in form.cssselect("input:not([type=hidden]), select, textarea")
        if not any(parent.tag == "details" for parent in each.iterancestors())
    ]
    assert seen == ["amount", "name", "descriptors", "allergens_checked"]


def test_a_part_can_be_put_earlier_from_its_panel(client, path):
    page = Page(client.get(f"{path}/drinks?edit=ingredient-i2"))
    earlier = page.one("#up-i2").getparent()
    client.post(earlier.get("action"), data=dict(earlier.form_values()))
    assert ids(kept(client).drinks[0].ingredients) == ["i2", "i1"]


THREE = make_routine(
    drinks=tuple(Drink(f"d{n}", name, 2, (GIN,) if n == 1 else ()) for n, name in enumerate(
        ("The Tide", "An Ebb", "High Flow"), 1
    )),
    segments=(make_segment("s1", drink_id=None),),
)  # fmt: skip


def parts_of(page):
    return {text_of(each): each.get("href") for each in page.all(".parts a")}


def test_of_three_drinks_the_row_of_parts_chooses_which_two(client):
    path = keep(client, THREE)
    page = Page(client.get(f"{path}/drinks"))
    assert page.texts(".drink-half h2") == ["The Tide", "An Ebb"]
    assert [*parts_of(page)] == ["Tide", "Ebb", "High Flow", "Declaration", "Tastings"]
    page = Page(client.get(parts_of(page)["High Flow"]))
    assert page.texts(".drink-half h2") == ["An Ebb", "High Flow"]
    assert page.texts(".parts [aria-current]") == ["Ebb", "High Flow"]


def test_one_drink_alone_shows_its_figures_and_stays_alone_after_a_save(client, path):
    page = Page(client.get(f"{path}/drinks?show=d1"))
    assert (page.texts(".drink-half h2"), len(page.all(".half-beside .balance"))) == (["Tide"], 1)
    answer = client.post(INGREDIENT, data={"name": "Gin", "amount": "50 ml", "show": "d1"})
    again = Page(client.get(answer.headers["location"]))
    assert again.texts(".drink-half h2") == ["Tide"]
