"""The ledger, from invented drinks. Outside check of the ounce: NIST Handbook 44, Appendix C (US
fluid ounce of 29.5735 ml); NIST Special Publication 430 rounds it to 30 ml."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.claims.cases import case_of
from server.domain.claims.facts import GlassFacts, KnownNumber, StepEffect, Tasting
from server.domain.claims.finder import find_claims
from server.domain.claims.finds import Passage
from server.domain.claims.ledger import ledger
from server.domain.claims.rows import ScriptCase
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.own_words import OwnWord
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Process, Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet
from tests.domain.shorthand import correction_of
from tests.table import table


def part(name, amount="40 ml", *brings):
    value, unit = amount.split()
    return Ingredient(name.split(",")[0].lower(), name, Amount(float(value), unit), brings)


DUSK = Drink(
    id="dusk",
    name="Dusk Ferry",
    serves=4,
    ingredients=(
        part("Cane spirit, 40 % vol", "180 ml", "molasses"),
        part("Orange syrup", "60 ml", "candied orange"),
        part("Barley tea", "100 ml", "smoke"),
        part("Clove tincture", "8 dash"),
        part("Citrus shrub", "20 ml", "citrus"),
        part("Lump sugar", "10 g"),
    ),
    descriptors=("molasses", "candied orange", "smoke"),
)
WARM = KnownNumber("temperature", "when the judges drink", 51.0, 54.0)
STRONG = KnownNumber("strength", "in the glass", 17.6, 18.4)
KETTLE = KnownNumber("temperature", "for the brewing water", 93.0, 93.0, about=("water",))
FACTS = GlassFacts("dusk", (WARM, STRONG, KETTLE))


def case(*texts, drinks=(DUSK,), **options):
    drink_id = drinks[0].id if drinks else None
    passages = tuple(Passage(f"s{n}", text, drink_id) for n, text in enumerate(texts))
    return ScriptCase(passages, drinks, **{"facts": (FACTS,), **options})


def rows(*texts, **options):
    return [row for row in ledger(case(*texts, **options)).rows if row.sayings]


def only(text, **options):
    found = rows(text, **options)
    assert len(found) == 1, [row.label for row in found]
    return found[0]


def words_row(text, label, **options):
    return next(row for row in rows(text, **options) if row.label == label)


@table(
    "text, label, state, why",
    [
        ("You will find molasses.", "molasses", "backed", "Cane spirit, 40 % vol (49 % of the"),
        ("You will find treacle.", "molasses", "backed", "Cane spirit"),
        ("You will find orange.", "orange", "backed", "Orange syrup (16 %"),
        ("You will find citrus.", "citrus", "unplanned", "Citrus shrub"),
        ("You will find lemon.", "lemon", "weakly backed", "more general than lemon"),
        ("You will find clove.", "clove", "unplanned", "Clove tincture"),
        ("You will find jasmine.", "jasmine", "unbacked", "None of 6 parts gives jasmine"),
        ("There is no jasmine.", "no jasmine", "backed", "None of 6 parts gives jasmine, as"),
        ("There is no smoke and no tannin.", "no smoke", "contradicted", "Barley tea"),
        ("It is not too sweet.", "sweet, within bounds", "backed", "Orange syrup"),
    ],
)
def test_a_descriptor_is_held_against_what_the_glass_holds(text, label, state, why):
    row = words_row(text, label)
    assert row.state == state
    assert why in row.why[0]


def test_orange_backs_citrus_but_citrus_only_weakly_backs_orange():
    plain = replace(DUSK, ingredients=(part("Cordial", "40 ml", "citrus"),), descriptors=())
    assert only("You will find orange.", drinks=(plain,)).state == "weakly backed"
    grove = replace(DUSK, ingredients=(part("Cordial", "40 ml", "orange"),), descriptors=())
    assert only("You will find citrus.", drinks=(grove,)).state == "backed"


def test_a_step_brings_a_texture():
    facts = GlassFacts("dusk", effects=(StepEffect("frothy", "shaken hard"),))
    row = words_row("The texture is frothy.", "frothy", facts=(facts,))
    assert "shaken hard" in row.why[0]
    assert row.backings[0].ingredient_id is None


def test_what_brings_most_of_the_drink_is_named_first():
    both = (part("Little", "10 ml", "plum"), part("Much", "90 ml", "plum"))
    drink = replace(DUSK, ingredients=both, descriptors=())
    backings = only("You will find plum.", drinks=(drink,)).backings
    assert [(b.label, b.share) for b in backings] == [("Much", 0.9), ("Little", 0.1)]


@table(
    "text, state, why",
    [
        ("45 ml of cane spirit", "backed", "180 ml (45 ml for each of 4)"),
        ("180 ml of cane spirit", "backed", "180 ml of Cane spirit, 40 % vol in all"),
        ("40 ml of cane spirit", "contradicted", "You say 40 ml, the recipe has 180 ml (45 ml for"),
        ("one and a half ounces of cane spirit", "backed", "45 ml"),
        ("six ounces of cane spirit", "backed", "180 ml"),
        ("4.5cl of cane spirit", "backed", "45 ml"),
        ("about forty ml of cane spirit", "backed", "about 40 ml"),
        ("between 40 and 50 ml of cane spirit", "backed", "40 to 50 ml"),
        ("two dashes of clove tincture", "backed", "8 dashes (2 dashes for each of 4)"),
        ("three dashes of clove tincture", "contradicted", "You say 3 dashes"),
        ("fifty ml of orange syrup", "contradicted", "You say 50 ml"),
        ("one fifty ml of orange syrup", "contradicted", "150 (or 1.5) ml"),
    ],
)
def test_an_amount_is_held_against_the_recipe_for_all_or_for_one(text, state, why):
    row = only(text)
    assert row.state == state
    assert why in row.why[0]


def test_an_ambiguous_amount_is_right_if_either_reading_is():
    short = replace(DUSK, ingredients=(part("Plum cordial", "150 ml"),), serves=1, descriptors=())
    assert only("one fifty ml of plum cordial", drinks=(short,)).state == "backed"


def test_numbers_that_sound_alike_are_pointed_out():
    drink = replace(DUSK, ingredients=(part("Plum cordial", "15 ml"),), serves=1, descriptors=())
    assert "15 sounds much like 50" in only("fifty ml of plum cordial", drinks=(drink,)).why[0]


def test_a_volume_is_not_compared_with_a_mass():
    row = only("ten ml of lump sugar")
    assert (row.state, row.is_checked, row.is_open) == ("unbacked", False, False)
    assert "cannot be compared" in row.why[0]


def test_an_amount_without_a_name_is_of_the_ingredient_named_before_it():
    row = next(r for r in rows("Here is the orange syrup. I take 90 ml.") if r.kind == "amount")
    assert row.state == "contradicted"
    assert "Orange syrup" in row.why[0]


def test_an_amount_with_no_name_near_may_be_any_of_the_recipe():
    assert only("I take 180 ml.").state == "backed"
    assert not only("I take 75 ml.").is_checked


@table(
    "text, state, why",
    [
        ("It is at 55 °C.", "contradicted", "when the judges drink: more than 0.5 °C off."),
        ("It is at fifty-two degrees.", "backed", "51 to 54"),
        ("It is at 125 Fahrenheit.", "backed", "125 °F"),
        ("It is about fifty-six degrees.", "backed", "51 to 54"),
        ("It is under fifty degrees.", "contradicted", "51 to 54"),
        ("The water has ninety-three degrees.", "backed", "for the brewing water"),
        ("The water has ninety degrees.", "contradicted", "for the brewing water"),
        ("It has eighteen percent alcohol.", "backed", "17.6 to 18.4 %"),
        ("It has twelve percent alcohol.", "contradicted", "17.6 to 18.4 %"),
    ],
)  # fmt: skip
def test_a_temperature_or_strength_is_held_against_the_computed_one(text, state, why):
    row = only(text)
    assert row.state == state
    assert why in row.why[0]


def test_a_strength_beside_an_ingredient_is_that_ingredients():
    plan = plan_of("Cane spirit at forty percent. Then cane spirit at fifty percent.")
    found = [row for row in ledger(case_of(plan)).rows if row.kind == "strength"]
    assert [row.state for row in found] == ["backed", "contradicted"]


def test_a_number_with_nothing_to_hold_it_against_is_not_called_wrong():
    row = only("It is at 55 °C.", facts=())
    assert (row.is_checked, row.is_open) == (False, False)


@pytest.mark.parametrize(
    ("text", "state"), [("It is cold.", "contradicted"), ("It is warm.", "backed")]
)
def test_warm_and_cold_are_held_against_the_temperature(text, state):
    assert only(text, drinks=(replace(DUSK, descriptors=()),)).state == state


@pytest.mark.parametrize(
    ("text", "state"),
    [
        ("four glasses", "backed"),
        ("for the four of you", "backed"),
        ("five glasses", "contradicted"),
    ],
)
def test_serves_are_those_of_the_recipe(text, state):
    assert only(text).state == state


def plan_of(*texts, **routine):
    segments = tuple(
        Segment(f"s{n}", f"Part {n}", Spread(60.0), said=text, drink_id="dusk")
        for n, text in enumerate(texts)
    )
    whole = Routine("r", "Ferry", "rules", drinks=(DUSK,), segments=segments, **routine)
    return Plan(whole, RuleSheet("rules", "House"))


@pytest.mark.parametrize(
    ("text", "state", "is_checked"),
    [
        ("In under ten minutes.", "backed", True),
        ("The drip takes five minutes.", "backed", True),
        ("The drip takes two minutes.", "contradicted", True),
        ("It rested for eighteen hours.", "unbacked", False),
    ],
)
def test_a_time_is_held_against_the_plan(text, state, is_checked):
    drip = Process("p", "Slow drip", Spread(300.0, 280.0, 330.0))
    row = next(r for r in ledger(case_of(plan_of(text, processes=(drip,)))).rows if r.sayings)
    assert (row.state, row.is_checked) == (state, is_checked)


def test_what_is_planned_and_not_said_is_a_row_without_a_place():
    unsaid = [row for row in ledger(case("You will find smoke.")).rows if not row.sayings]
    assert [(row.label, row.state) for row in unsaid] == [
        ("molasses", "unsaid"),
        ("candied orange", "unsaid"),
    ]


def test_what_is_said_and_not_planned_is_unplanned_beside_what_else_it_is():
    assert only("You will find clove.").states == ("unplanned",)
    assert only("You will find jasmine.").states == ("unbacked", "unplanned")


def test_a_drink_without_a_list_has_nothing_unplanned():
    assert only("You will find clove.", drinks=(replace(DUSK, descriptors=()),)).state == "backed"


def test_the_heart_of_a_planned_phrase_counts_as_said():
    drink = replace(DUSK, descriptors=("ripe pear",))
    labels = [row.label for row in ledger(case("You will find pear.", drinks=(drink,))).rows]
    assert labels == ["pear"]


@pytest.mark.parametrize(("share_ml", "state"), [(2, "unbacked"), (40, "contradicted")])
def test_a_pinch_of_what_only_its_name_tells_contradicts_no_denial(share_ml, state):
    salted = replace(DUSK, ingredients=(*DUSK.ingredients, part("Salt solution", f"{share_ml} ml")))
    row = only("It is not salty.", drinks=(salted,))
    assert row.state == state
    assert "by its name: a guess" in row.why[0]


def test_a_denial_that_is_contradicted_names_what_is_denied():
    row = only("There is no smoke.")
    assert row.state == "contradicted"
    assert row.why[0].startswith("You deny “smoke”. ")


def test_a_planned_word_that_is_denied_is_not_said():
    states = {row.label: row.states for row in ledger(case("There is no smoke.")).rows}
    assert "unsaid" in states["smoke"]


def test_the_same_word_of_one_drink_is_one_row_said_twice():
    row = only("You will find smoke. Smoke, that is what you get.")
    assert row.is_repeated
    assert "Said 2 times." in row.why


def test_the_same_word_of_two_drinks_is_two_rows():
    dawn = Drink("dawn", "Dawn", ingredients=(part("Fig leaf tea"),))
    passages = (Passage("a", "You get smoke.", "dusk"), Passage("b", "You get smoke.", "dawn"))
    found = [row for row in ledger(ScriptCase(passages, (DUSK, dawn))).rows if row.sayings]
    assert [(row.drink_id, row.state) for row in found] == [
        ("dusk", "backed"),
        ("dawn", "unbacked"),
    ]


@pytest.mark.parametrize(
    ("text", "labels"),
    [
        ("It is light-bodied. It is syrupy.", {"light-bodied", "syrupy"}),
        ("You get smoke. There is no smoke.", {"smoke", "no smoke"}),
        ("You get walnut. There is no nuttiness.", {"walnut", "no nut"}),
    ],
)
def test_claims_that_cannot_both_be_true_point_at_each_other(text, labels):
    found = {row.key: row for row in rows(text)}
    at_odds = {row.label: row.clashes_with for row in found.values() if row.clashes_with}
    assert set(at_odds) == labels
    assert {found[key].label for keys in at_odds.values() for key in keys} == labels


def test_opposites_of_two_drinks_are_no_quarrel():
    dawn = Drink("dawn", "Dawn")
    passages = (Passage("a", "It is silky.", "dusk"), Passage("b", "It is gritty.", "dawn"))
    assert not any(row.clashes_with for row in ledger(ScriptCase(passages, (DUSK, dawn))).rows)


@pytest.mark.parametrize(
    ("text", "drink_id"),
    [
        ("The second is cold.", "dawn"),
        ("Dawn has a note of clove.", "dawn"),
        ("On the second sip you get clove.", None),
        ("You get clove.", None),
    ],
)
def test_a_sentence_may_tell_its_drink_by_number_or_name(text, drink_id):
    dawn = Drink("dawn", "Dawn")
    made = ScriptCase((Passage("a", text),), (DUSK, dawn))
    assert next(row for row in ledger(made).rows if row.sayings).drink_id == drink_id


def test_a_claim_is_placed_in_the_slot_as_far_as_its_text_is():
    text = "We wait here a little while. You will find smoke."
    said = only(text, segments={"s0": (100.0, 160.0)}).sayings[0]
    assert said.at_s == pytest.approx(100 + 60 * said.start / len(text))
    assert said.sentence == "You will find smoke."


@pytest.mark.parametrize(
    ("tasting", "told"),
    [
        (Tasting("dusk", 200.0), "before the judges can taste at 3:20"),
        (Tasting("dusk", 0.0, 90.0), "after the judges have drunk at 1:30"),
        (Tasting("dusk", 0.0, 300.0), ""),
    ],
)
def test_what_is_said_too_early_or_too_late_is_pointed_out(tasting, told):
    times = {"s0": (100.0, 160.0)}
    row = only("You will find smoke.", segments=times, tastings=(tasting,))
    assert told in row.sayings[0].timing
    assert bool(told) == any("Said at" in why for why in row.why)


def test_ingredients_that_are_never_mentioned_are_listed():
    made = ledger(case("I pour cane spirit and 60 ml of the orange syrup.", declare_all=True))
    assert [one.name for one in made.unnamed] == [
        "Barley tea", "Clove tincture", "Citrus shrub", "Lump sugar",
    ]  # fmt: skip


def test_marks_stand_in_the_text_in_order_with_the_state_of_their_row():
    text = "40 ml of cane spirit. You will find smoke and jasmine."
    marks = ledger(case(text)).marks("s0")
    assert [(text[m.start : m.end], m.state) for m in marks] == [
        ("40 ml", "contradicted"),
        ("smoke", "backed"),
        ("jasmine", "unbacked"),
    ]


def test_breaking_and_mending_a_recipe_shows_and_clears_the_contradiction():
    text = "45 ml of cane spirit"
    broken = replace(DUSK, ingredients=(part("Cane spirit, 40 % vol", "200 ml"),))
    assert only(text).state == "backed"
    assert only(text, drinks=(broken,)).state == "contradicted"
    assert only(text).state == "backed"


def test_a_correction_takes_its_claim_off_the_ledger():
    text = "You will find jasmine."
    find = find_claims([Passage("s0", text, "dusk")], (DUSK,))[0]
    corrected = ledger(case(text, corrections=(correction_of(find, "c", "no claim"),)))
    assert [row for row in corrected.rows if row.sayings] == []
    assert corrected.dismissed == (find,)


def test_a_corrected_amount_is_held_against_the_ingredient_it_was_given():
    text = "I take 75 ml of this."
    find = find_claims([Passage("s0", text, "dusk")], (DUSK,))[0]
    to_syrup = correction_of(find, "c", "ingredient", ingredient_id="orange syrup")
    assert only(text, corrections=(to_syrup,)).state == "contradicted"


def test_a_word_of_the_routine_is_backed_by_its_kind():
    own = (OwnWord("ember", kind_of="smoke"),)
    assert only("You will find ember.", own_words=own).state == "weakly backed"


def test_a_german_compound_gives_what_it_is_made_of():
    parts = tuple(
        Ingredient(str(n), name, Amount(40, "ml"))
        for n, name in enumerate(("Birnensaft", "Kirschwasser", "Rosmarin", "Apfelsine"))
    )
    words = ("Birne", "Kirsche", "Rose", "Apfel")
    drink = Drink("dusk", "Dusk", 1, parts, words)
    found = ledger(
        replace(case("Sie finden Birne, Kirsche, Rose und Apfel.", drinks=(drink,)), language="de")
    )
    states = {row.word: row.state for row in found.rows}
    assert states == dict(zip(words, ("backed", "backed", "unbacked", "unbacked"), strict=True))


def test_an_empty_script_leaves_only_what_was_planned():
    assert {row.state for row in ledger(case("", "  ")).rows} == {"unsaid"}
    assert ledger(ScriptCase((), ())).rows == ()


def test_a_descriptor_of_only_small_words_says_that_it_cannot_be_found():
    drink = replace(DUSK, descriptors=("…",))
    (row,) = ledger(case("You get plum.", drinks=(drink,))).rows[1:]
    assert "no words to look for" in row.why[0]


def test_a_language_without_words_says_what_it_cannot_do():
    made = ledger(case("45 ml cane spirit", language="other"))
    assert "only digits" in made.note
    assert made.rows[0].state == "backed"


def test_a_case_is_made_from_a_plan():
    plan = plan_of("You will find smoke.", "45 ml of cane spirit")
    made = case_of(plan, tastings=(Tasting("dusk", 30.0),), declare_all=True)
    assert made.segments == {"s0": (0.0, 60.0), "s1": (60.0, 120.0)}
    assert [passage.segment_id for passage in made.passages] == ["s0", "s1"]
    assert ledger(made).count("backed") == 2


def test_counts_and_keys_tell_rows_apart():
    made = ledger(case("You find smoke, jasmine and no smoke. 45 ml of cane spirit."))
    assert len({row.key for row in made.rows}) == len(made.rows)
    assert sum(made.count(state) for state in {row.state for row in made.rows}) == len(made.rows)


def test_a_planned_descriptor_is_called_as_its_list_calls_it():
    dusk = replace(DUSK, descriptors=("toasted bread",))
    found = {row.label: row for row in rows("You will find toast.", drinks=(dusk,))}
    assert found["toasted bread"].is_planned
    assert found["toasted bread"].word == "toast"
