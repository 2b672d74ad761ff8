"""The glass beside its parts: it follows what is changed, without leaving the page."""

import re

import pytest
from playwright.sync_api import expect

DEMO = "/routines/routine-demo/drinks"
ALONE = f"{DEMO}?show=drink-lamp"
PEAR = "Pear brandy, unaged, 40 % vol"


def figure(page, label):
    """What one serve of the drink that is shown alone has of it."""
    row = page.locator(".half-beside .balance tbody tr").filter(has_text=label)
    return row.locator("td b")


def open_ingredient(page, name):
    page.locator(".part-row a").filter(has=page.locator(f"[title='{name}']")).click()
    form = page.get_by_role("form", name=f"Edit {name}")
    form.wait_for()
    return form


@pytest.mark.thorough
def test_a_batch_follows_its_serves(page):
    page.goto(f"{DEMO}/drink-lamp/batch")
    page.get_by_label("Serves", exact=True).fill("8")
    page.get_by_label("Loss, %").fill("0")
    page.get_by_role("button", name="Scale").click()
    expect(page.locator("tbody tr").first).to_contain_text("560 ml")
    expect(page.get_by_role("button", name="Print")).to_be_visible()
    page.reload()
    expect(page.locator("tbody tr").first).to_contain_text("560 ml")


def test_which_two_drinks_are_compared_stays_on_a_reload(page):
    page.goto(f"{DEMO}/compare")
    page.get_by_label("Left").select_option(label="Orchard at Low Water")
    page.get_by_label("Right").select_option(label="The Lamp on the Landing")
    page.get_by_role("button", name="Compare").click()
    heads = page.get_by_role("region", name="Recipes side by side").locator("th[scope=col] bdi")
    expect(heads).to_have_text(["Orchard", "Lamp"])
    page.reload()
    expect(heads).to_have_text(["Orchard", "Lamp"])


def test_every_figure_follows_an_amount_at_once_and_undo_brings_it_back(page):
    page.goto(ALONE)
    ethanol = figure(page, "Ethanol")
    before = ethanol.inner_text()
    form = open_ingredient(page, PEAR)
    form.get_by_label("Amount").fill("240 ml")
    form.get_by_role("button", name="Save").click()
    expect(ethanol).not_to_have_text(before)
    # 30 ml more at 40 % vol in each of four serves: 9.5 g (OIML R 22: 0.78924 g/ml).
    more_g = [float(re.match(r"[\d.]+", each)[0]) for each in (before, ethanol.inner_text())]
    assert abs(more_g[1] - more_g[0] - 9.47) < 0.11
    page.locator("#undo").click()
    expect(page.locator("#ingredient-in-pear b")).to_have_text("120 ml")


def test_only_what_is_kept_of_how_a_part_is_made_can_be_typed(page, desk):
    path = f"/routines/{desk.routine('Syrups')}/drinks"
    desk.send_form(f"{path}/new", name="Hay Loft", serves="2")
    drink = desk.ids(path.split("/")[2], "drinks")["Hay Loft"]
    desk.send_form(f"{path}/{drink}/ingredients/new", name="barley syrup", amount="30 ml")
    page.goto(path)
    page.locator(".part-row a").click()
    page.get_by_text("How it is made").click()
    made, dose = page.get_by_label("It is"), page.get_by_label("Dose, g")
    sugar = page.get_by_label("Sugar", exact=True)
    expect(made).to_have_value("given")
    expect(dose).to_be_hidden()
    expect(sugar).to_be_hidden()
    made.select_option("syrup")
    expect(dose).to_be_hidden()
    sugar.fill("200")
    page.get_by_label("Water", exact=True).fill("220")
    page.get_by_role("button", name="Save").click()
    expect(made).to_have_count(0)
    page.locator(".part-row a").click()
    page.get_by_text("How it is made").click()
    expect(sugar).to_have_value("200")
    made.select_option("brew")
    expect(dose).to_be_visible()
    expect(sugar).to_be_hidden()


@pytest.mark.thorough
def test_a_strength_that_cannot_be_is_refused_and_nothing_typed_is_lost(page):
    page.goto(DEMO)
    form = open_ingredient(page, PEAR)
    form.get_by_label("Strength, % vol").fill("140")
    form.get_by_label("Gives").fill("ripe pear, blossom")
    form.get_by_role("button", name="Save").click()
    expect(page.locator(".fault").first).to_contain_text("between 0 and 100 % vol")
    expect(page.get_by_label("Strength, % vol")).to_have_value("140")
    expect(page.locator("#f-descriptors")).to_have_value("ripe pear, blossom")


@pytest.mark.thorough
def test_a_stated_temperature_is_contradicted_and_mended(page):
    page.goto(DEMO)
    for stated, said in (("70", "you say 70, it is"), ("58", "you say 58: fits")):
        page.get_by_role("link", name="Edit The Lamp on the Landing").click()
        page.locator(".more-fields summary").click()
        page.get_by_label("Temperature you say, °C").fill(stated)
        page.get_by_role("button", name="Save", exact=True).click()
        expect(page.locator("#drink-drink-lamp .big-figures")).to_contain_text(said)


@pytest.mark.thorough
def test_a_step_dilutes_the_drink(page):
    page.goto(DEMO)
    strength = page.locator("#drink-drink-lamp .big-figures dd").nth(1)
    before = strength.inner_text()
    page.locator("#add-drink-lamp").click()
    page.locator("#add-step-drink-lamp").click()
    page.get_by_label("What is done").select_option("stir")
    page.get_by_label("Dilution, %").fill("20")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(strength).not_to_have_text(before)
    page.locator("#undo").click()
    expect(strength).to_have_text(before)


def poured(desk, name, *parts):
    """A routine with a drink for two of these parts; the address of its drinks."""
    routine_id = desk.routine(name)
    path = f"/routines/{routine_id}/drinks"
    desk.send_form(f"{path}/new", name="Quiet Harbour", serves="2")
    drink = desk.ids(routine_id, "drinks")["Quiet Harbour"]
    for part in parts:
        desk.send_form(f"{path}/{drink}/ingredients/new", name=part, amount="20 ml")
    return path


def test_an_ingredient_of_the_library_needs_only_a_name_and_an_amount(page, desk):
    page.goto(poured(desk, "Library"))
    page.get_by_role("link", name="Add a part").click()
    page.get_by_label("Amount").fill("50 ml")
    page.get_by_role("combobox", name="Ingredient").fill("Gin, 40 %")
    page.keyboard.press("Enter")
    # 50 ml at 40 % vol: 15.8 g in two serves, 7.9 g in one, of 10 g a standard drink.
    expect(page.locator(".glass-line")).to_contain_text("1.6 standard drinks in all")
    page.get_by_role("link", name="For one").click()
    expect(page.locator(".glass-line")).to_contain_text("0.8 standard drinks")
    expect(page.locator(".big-figures")).to_contain_text("25 ml")


def test_a_chosen_entry_fills_what_was_not_typed_before(page, desk):
    page.goto(poured(desk, "Typed", "White of mine"))
    form = open_ingredient(page, "White of mine")
    form.get_by_label("Strength, % vol").fill("0.5")
    form.get_by_role("button", name="Save").click()
    expect(page.locator(".big-figures")).to_contain_text("0.5 %")
    form = open_ingredient(page, "White of mine")
    form.locator(".more-fields summary").first.click()
    form.get_by_label("Take properties from the library").select_option("cream-liqueur-17")
    expect(form.get_by_label("Kind", exact=True)).to_have_value("liqueur")
    expect(form.get_by_label("Strength, % vol")).to_have_value("0.5")
    expect(form.get_by_label("milk")).to_be_checked()


@pytest.mark.thorough
def test_a_row_is_dragged_to_its_place(page, desk):
    page.goto(poured(desk, "Dragged", "Gin", "Lime", "Soda"))
    rows = page.locator(".part-row")
    rows.nth(0).drag_to(rows.nth(2))
    expect(page.locator(".part-name")).to_have_text(["Lime", "Soda", "Gin"])


def test_a_recipe_lines_is_looked_through_and_added(page, desk):
    page.goto(poured(desk, "Pasted"))
    page.get_by_role("link", name="Or paste a recipe").click()
    page.get_by_label("The recipe").fill("For 2: 45 ml whisky 43 %, 20 g white sugar\nStir.")
    page.get_by_role("button", name="Read it").click()
    expect(page.locator(".left-lines li")).to_have_text("Stir.")
    page.locator("#f-amount-0").fill("50 ml")
    page.get_by_role("button", name="Add these parts").click()
    expect(page.locator(".part-row b")).to_have_text(["50 ml", "20 g"])
    page.locator("#undo").click()
    expect(page.locator(".part-row")).to_have_count(0)


def test_a_long_name_has_room_beside_what_is_not_known(page, base_url, desk):
    drinks = f"/routines/{desk.routine('Names')}/drinks"
    for name in ("Short", "A river of ice for everybody who came late and did not say a word"):
        desk.send_form(f"{drinks}/new", name=name, serves="4", descriptors="plum")
        drink = list(desk.ids(drinks.split("/")[2], "drinks").values())[-1]
        for part in ("ginger", "bark", "ice"):
            asked = f"{drinks}/{drink}/ingredients/new"
            kind = "ice" if part == "ice" else "other"
            desk.send_form(asked, amount="2 pieces", name=part, kind=kind)
    page.goto(f"{base_url}{drinks}")
    head = page.locator(".half-head").last
    lacking = head.locator(".about a")
    expect(lacking).to_contain_text("thing to look at")
    name = head.locator("h2").bounding_box()
    assert name["width"] > head.locator(".about").bounding_box()["width"]
    page.set_viewport_size({"width": 360, "height": 640})
    shown = lacking.bounding_box()
    assert shown["x"] + shown["width"] <= 360


@pytest.mark.parametrize(("wide", "high"), [(1280, 800), (800, 1280)])
def test_many_drinks_leave_the_headline_its_room_and_are_all_in_reach(
    page, base_url, desk, wide, high
):
    drinks = f"/routines/{desk.routine('Many')}/drinks"
    for number in range(12):
        desk.send_form(f"{drinks}/new", name=f"Harbour lantern {number}", serves="4")
    page.set_viewport_size({"width": wide, "height": high})
    page.goto(f"{base_url}{drinks}")
    headline = page.locator(".title-line h1").bounding_box()
    assert headline["width"] > 3 * headline["height"]
    for part in page.locator(".parts a").all():
        shown = part.bounding_box()
        assert shown["x"] >= 0
        assert shown["x"] + shown["width"] <= wide
        assert shown["height"] >= 48


def test_what_else_there_is_to_do_is_all_in_reach_on_a_tablet(page):
    page.set_viewport_size({"width": 800, "height": 1280})
    page.goto(DEMO)
    for way in page.locator(".further a").all():
        shown = way.bounding_box()
        assert shown["x"] + shown["width"] <= 800


def test_a_recipe_lines_does_not_go_unasked(page):
    page.goto(f"{DEMO}?open=lines-drink-lamp")
    page.get_by_label("The recipe, a part on each line").fill("45 ml whisky 43 %")
    page.get_by_role("link", name="Script", exact=True).click()
    question = page.get_by_role("dialog", name="What you typed here is not saved yet.")
    question.get_by_role("button", name="Keep writing").click()
    assert page.get_by_label("The recipe, a part on each line").input_value()


HALF_A_LINE_PX = 8
CUT = f"""(found) => found.filter((each) =>
  each.scrollHeight > each.clientHeight + {HALF_A_LINE_PX}).length"""


def test_no_name_is_cut_for_what_it_gives_and_no_way_on_runs_off_the_page(page, desk):
    routine_id = desk.routine("Rows")
    path = f"/routines/{routine_id}/drinks"
    for drink in ("Harbour Light", "Hedge at Noon"):
        desk.send_form(f"{path}/new", name=drink, serves="4")
        asked = f"{path}/{desk.ids(routine_id, 'drinks')[drink]}/ingredients/new"
        gives = "caramel, vanilla, oak"
        desk.send_form(asked, name="Aged rum, 40 %", amount="240 ml", descriptors=gives)
        desk.send_form(asked, name="Blackcurrant cordial", amount="40 ml", descriptors=gives)
    for size in ((1280, 800), (800, 1280), (360, 640)):
        page.set_viewport_size(dict(zip(("width", "height"), size, strict=True)))
        page.goto(path)
        assert page.locator(".part-name").evaluate_all(CUT) == 0
        ends = page.locator(".further a").evaluate_all(
            "found => found.map((each) => each.getBoundingClientRect().right)"
        )
        assert max(ends) <= size[0]


def test_a_second_drink_is_one_touch_away_where_there_is_room_for_it(page, desk):
    page.goto(poured(desk, "Alone", "Gin"))
    page.locator(".half-beside").get_by_role("link", name="Add a drink").click()
    expect(page.get_by_role("heading", name="A new drink")).to_be_visible()


@pytest.mark.parametrize(("width", "height"), [(1280, 800), (800, 1280), (360, 640)])
def test_each_figure_in_the_line_of_a_drink_has_a_fingers_room_of_its_own(page, width, height):
    page.set_viewport_size({"width": width, "height": height})
    page.goto("/routines/routine-demo/drinks?show=drink-lamp")
    pressed = page.locator(".drink-half :is(a, button):visible")
    boxes = [each.bounding_box() for each in pressed.all()]
    figures = [each.bounding_box() for each in page.locator(".glass-line a:visible").all()]
    assert len(figures) >= 3
    assert [each for each in figures if min(each["width"], each["height"]) < 48] == []
    overlaps = [
        (one, other) for one in figures for other in boxes if one != other and _meet(one, other)
    ]
    assert overlaps == []


def _meet(one, other):
    """Whether two boxes share more than their edge."""
    return all(
        one[at] + one[size] > other[at] + 1 and other[at] + other[size] > one[at] + 1
        for at, size in (("x", "width"), ("y", "height"))
    )
