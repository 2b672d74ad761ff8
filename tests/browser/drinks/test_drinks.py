"""The glass beside the recipe: it follows what is changed, without leaving the page."""

import re

from playwright.sync_api import expect

DEMO = "/routines/routine-demo/drinks"


def figure(page, drink, label):
    """The cell of one serve beside a label of a drink's balance."""
    row = page.locator(f"#drink-{drink} .balance tr").filter(has_text=label)
    return row.locator("td").last


def open_ingredient(page, name):
    page.get_by_role("link", name=f"Edit {name}", exact=True).click()
    form = page.get_by_role("form", name=f"Edit {name}")
    form.wait_for()
    return form


def test_every_figure_follows_an_amount_at_once_and_undo_brings_it_back(page):
    page.goto(DEMO)
    ethanol = figure(page, "drink-lamp", "Ethanol")
    before = ethanol.inner_text()
    form = open_ingredient(page, "Pear brandy, unaged, 40 % vol")
    form.get_by_label("Amount").fill("240 ml")
    form.get_by_role("button", name="Save").click()
    expect(ethanol).not_to_have_text(before)
    # 30 ml more at 40 % vol in each of four serves: 9.5 g (OIML R 22: 0.78924 g/ml).
    more_g = [float(re.match(r"[\d.]+", each)[0]) for each in (before, ethanol.inner_text())]
    assert abs(more_g[1] - more_g[0] - 9.47) < 0.11
    page.locator("#undo").click()
    expect(ethanol).to_have_text(before)


def test_a_strength_that_cannot_be_is_refused_and_nothing_typed_is_lost(page):
    page.goto(DEMO)
    form = open_ingredient(page, "Pear brandy, unaged, 40 % vol")
    form.get_by_label("Strength, % vol").fill("140")
    form.get_by_label("Brings to the glass").fill("ripe pear, blossom")
    form.get_by_role("button", name="Save").click()
    expect(page.locator(".fault").first).to_contain_text("between 0 and 100 % vol")
    expect(page.get_by_label("Strength, % vol")).to_have_value("140")
    expect(page.locator("#f-descriptors")).to_have_value("ripe pear, blossom")


def test_a_stated_temperature_is_contradicted_and_mended(page):
    page.goto(DEMO)
    for stated, said in (("70", "You name 70 °C: computed"), ("58", "You name 58 °C: that agrees")):
        page.get_by_role("link", name="Edit The Lamp on the Landing").click()
        page.get_by_label("Temperature you state, °C").fill(stated)
        page.get_by_role("button", name="Save", exact=True).click()
        expect(page.locator("#drink-drink-lamp .glass-side")).to_contain_text(said)


def test_a_step_dilutes_the_drink(page):
    page.goto(DEMO)
    strength = figure(page, "drink-lamp", "Strength")
    before = strength.inner_text()
    page.locator("#add-step-drink-lamp").click()
    page.get_by_label("What is done").select_option("stir")
    page.get_by_label("Dilution, %").fill("20")
    page.get_by_role("button", name="Save", exact=True).click()
    expect(strength).not_to_have_text(before)
    page.locator("#undo").click()
    expect(strength).to_have_text(before)


def test_an_ingredient_of_the_library_needs_only_a_name_and_an_amount(page, desk):
    routine_id = desk.routine("Library")
    desk.send_form(f"/routines/{routine_id}/drinks/new", name="Quiet Harbour", serves="2")
    page.goto(f"/routines/{routine_id}/drinks")
    page.get_by_label("Amount").fill("50 ml")
    page.get_by_role("combobox", name="Ingredient").fill("Gin, 40 %")
    page.keyboard.press("Enter")
    # 50 ml at 40 % vol: 15.8 g in two serves, 7.9 g in one.
    expect(page.locator(".balance tr").filter(has_text="Ethanol").locator("td").last).to_have_text(
        "7.9 g"
    )


def test_a_batch_follows_its_serves(page):
    page.goto(f"{DEMO}/drink-lamp/batch")
    page.get_by_label("Serves", exact=True).fill("8")
    page.get_by_label("Loss in tins and jugs, %").fill("0")
    page.get_by_role("button", name="Work out").click()
    expect(page.locator("tbody tr").first).to_contain_text("560 ml")
