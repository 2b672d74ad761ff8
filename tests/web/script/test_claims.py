"""The claims ledger: rows, filters, corrections that hold, claims that were missed."""

from dataclasses import replace

import pytest

from server.domain.base.amounts import Amount
from server.domain.glass.figures import Content, Figure
from server.domain.glass.steps import Agitate
from server.domain.glass.substance import Substance
from server.domain.routine.drink import Drink, Ingredient, Service
from tests.factories import RULES, make_event, make_events, make_routine, make_segment
from tests.web.html import Page, text_of
from tests.web.shelf import keep, keep_run, kept

CLAIMS = "/routines/r1/claims"
SCRIPT = "/routines/r1/script"
RUM = Ingredient("rum", "Plum rum, 40 % vol", Amount(45, "ml"), ("plum",))
SYRUP = Ingredient("syrup", "Fig syrup", Amount(15, "ml"), ("fig",))
DUSK = Drink(
    "d1", "Dusk", ingredients=(RUM, SYRUP), descriptors=("plum", "almond"),
    service=Service(poured_segment_id="s1", drunk_segment_id="s2"),
)  # fmt: skip
FIRST = "Forty millilitres of plum rum. My uncle sold plums. It rests for 18 hours."
SECOND = "On the nose you will find plum. Then smoke, and once more plum."


@pytest.fixture
def path(client):
    segments = (
        make_segment("s1", said=FIRST, drink_id="d1", name="Pour"),
        make_segment("s2", said=SECOND, drink_id="d1", name="Serve"),
    )
    return keep(client, make_routine(segments=segments, drinks=(DUSK,)))


def rows(page, selector=".claim"):
    """Label -> its stub, in the order of the page."""
    return {
        label_of(each): each.cssselect(".stub")[0].get("class").split("stub-")[1]
        for each in page.all(selector)
    }


def label_of(line):
    text = text_of(line.cssselect(".line-main b")[0])
    return text[0].lower() + text[1:]


def row(page, label):
    (found,) = [each for each in page.all(".claim") if label_of(each) == label]
    return found


def claims(client, query=""):
    return Page(client.get(f"{CLAIMS}{query}"))


def opened(client, label):
    """The page with a claim open beside the list."""
    return claims(client, f"?open={row(claims(client), label).get('id')}")


def beside(client, label):
    return opened(client, label).text(".panel")


def correct(client, label, **typed):
    return client.post(
        f"{CLAIMS}/rows/{row(claims(client), label).get('id')}", data={"where": "all", **typed}
    )


def test_a_contradicted_amount_is_cured_in_the_script_at_one_touch(client, path):
    address = f"{CLAIMS}/rows/{row(claims(client), '40 ml of Plum rum, 40 % vol').get('id')}/cure"
    assert client.post(address, data={"cure": "say"}).status_code == 303
    assert kept(client).segments[0].said.startswith("45 ml of plum rum. My uncle")
    assert rows(claims(client))["45 ml of Plum rum, 40 % vol"] == "holds"
    assert "say 45 ml for" in claims(client).text(".history")


def test_a_contradicted_amount_is_cured_in_the_recipe_at_one_touch(client, path):
    address = f"{CLAIMS}/rows/{row(claims(client), '40 ml of Plum rum, 40 % vol').get('id')}/cure"
    assert client.post(address, data={"cure": "make"}).status_code == 303
    assert kept(client).drinks[0].ingredients[0].amount == Amount(40, "ml")
    assert rows(claims(client))["40 ml of Plum rum, 40 % vol"] == "holds"
    assert client.post(address, data={"cure": "make"}).status_code == 404


def test_a_contradicted_strength_is_cured_at_one_touch_and_undone(client, path):
    said = "The plum rum has 43 % vol."
    client.post(SCRIPT, data={"said-s1": said})
    wrong = row(claims(client), "43 % of Plum rum, 40 % vol")
    assert [text_of(each) for each in wrong.cssselect("button")] == ["Say 40 %", "Make it 43 %"]
    cure = wrong.cssselect("form")[-1].get("action")
    answer = client.post(cure, data={"cure": "make"})
    assert answer.status_code == 303
    assert kept(client).drinks[0].ingredients[0].name == "Plum rum, 43 % vol"
    client.post(f"{path}/undo", data={"back": "claims"})
    assert kept(client).drinks[0].ingredients[0] == RUM
    assert kept(client).segments[0].said == said


def test_for_a_contradiction_cures_stand_on_its_line_and_nothing_is_preset(client, path):
    wrong = row(claims(client), "40 ml of Plum rum, 40 % vol")
    assert [text_of(each) for each in wrong.cssselect("button")] == ["Say 45 ml", "Make it 40 ml"]
    form = opened(client, "40 ml of Plum rum, 40 % vol").all("form.inline input[name=verdict]")
    assert len(form) == 3
    assert not any("checked" in each.attrib for each in form)
    assert correct(client, "40 ml of Plum rum, 40 % vol").status_code == 422


def test_each_claim_is_one_line_the_pressing_ones_first_and_the_others_folded(client, path):
    page = claims(client)
    assert list(rows(page, ".ledger > .claims > .claim").items()) == [
        ("40 ml of Plum rum, 40 % vol", "wrong"), ("smoke", "needs"), ("almond", "needs"),
    ]  # fmt: skip
    assert rows(page, "#hold-d1 .claim") == {"plum": "holds"}
    assert page.text("h1") == "3 claims to settle, one is wrong"


def test_an_open_claim_says_why_where_and_when(client, path):
    found = beside(client, "40 ml of Plum rum, 40 % vol")
    assert "You say 40 ml, the recipe has 45 ml of Plum rum" in found
    assert "0:00 1 Pour" in found


def test_an_amount_that_is_wrong_is_drawn_beside_the_recipes(client, path):
    page = opened(client, "40 ml of Plum rum, 40 % vol")
    assert page.texts(".measures .amount") == ["40 ml", "45 ml"]
    assert "a few words change, the time stays" in page.texts(".way span")


def test_an_amount_for_each_is_set_against_the_recipes_for_each(client):
    four = replace(DUSK, ingredients=(replace(RUM, amount=Amount(180, "ml")),), serves=4)
    keep(
        client,
        make_routine(
            segments=(make_segment("s1", said=FIRST, drink_id="d1"), "s2"), drinks=(four,)
        ),
    )
    line = row(claims(client), "40 ml of Plum rum, 40 % vol")
    assert "The recipe has 45 ml each" in text_of(line)
    page = opened(client, "40 ml of Plum rum, 40 % vol")
    assert page.texts(".measures .amount") == ["40 ml", "45 ml"]
    assert page.texts(".measures .whose") == ["you say", "recipe, each"]


def test_another_amount_in_the_recipe_says_what_it_makes_of_the_glass(client):
    spirit = Substance(kind="spirit", abv=Figure(40.0), sugar=Content(0.0))
    water = Ingredient("w", "Soda", Amount(45, "ml"), (), Substance(kind="water", abv=Figure(0.0)))
    drink = replace(DUSK, ingredients=(replace(RUM, substance=spirit), water), descriptors=())
    segments = (make_segment("s1", said=FIRST, drink_id="d1"), "s2")
    keep(client, make_routine(segments=segments, drinks=(drink,)))
    told = opened(client, "40 ml of Plum rum, 40 % vol").texts(".way span")
    assert any("85 ml a serve, now 90 ml" in each for each in told)


def test_the_moment_at_which_judges_notice_it_is_named(client, path):
    assert "on the nose" in beside(client, "plum")


def test_what_cannot_be_checked_stands_apart_from_what_nothing_gives(client, path):
    assert rows(claims(client), "#unchecked .claim") == {"18 h": "open"}


def test_a_flavour_that_is_never_said_is_taken_off_the_card_at_one_touch(client, path):
    address = f"{CLAIMS}/rows/{row(claims(client), 'almond').get('id')}/unlist"
    assert client.post(address).status_code == 303
    assert kept(client).drinks[0].descriptors == ("plum",)
    assert client.post(address).status_code == 404


def test_all_flavours_in_the_glass_go_on_the_card_in_one_edit(client, path):
    said = "You will find plum. Then fig, and cane."
    client.post(SCRIPT, data={"said-s1": "You will find fig. It is sweet.", "said-s2": said})
    (button,) = claims(client).all(f"form[action='{CLAIMS}/list-all'] button")
    wanted = int(text_of(button).split()[2])
    client.post(f"{CLAIMS}/list-all")
    assert len(kept(client).drinks[0].descriptors) == 2 + wanted
    assert "extra" not in rows(claims(client)).values()
    client.post("/routines/r1/undo", data={"back": "claims"})
    assert kept(client).drinks[0].descriptors == ("plum", "almond")


def test_a_contradiction_leads_to_the_recipe_and_goes_when_it_is_mended(client, path):
    (mend,) = opened(client, "40 ml of Plum rum, 40 % vol").all(".claim-ways a[href*=drinks]")
    assert client.get(mend.get("href")).status_code == 200
    client.post(
        "/routines/r1/drinks/d1/ingredients/rum",
        data={"name": RUM.name, "amount": "40 ml", "descriptors": "plum"},
    )
    assert rows(claims(client))["40 ml of Plum rum, 40 % vol"] == "holds"


@pytest.mark.parametrize(
    ("query", "labels"),
    [
        ("?show=settle", {"40 ml of Plum rum, 40 % vol", "smoke", "almond"}),
        ("?show=unchecked", {"18 h"}),
        ("?kind=time", {"18 h"}),
        ("?note=again", {"plum"}),
        ("?drink=none", set()),
        ("?show=hold&kind=descriptor&drink=d1", {"plum"}),
        ("?show=nonsense", set()),
    ],
)
def test_the_list_can_be_narrowed(client, path, query, labels):
    assert set(rows(claims(client, query))) == labels


def test_a_tally_narrows_the_list_and_keeps_what_else_is_narrowed(client, path):
    page = claims(client, "?drink=d1&show=hold")
    assert page.texts(".tallies a") == ["3 to settle", "1 hold", "1 can’t check"]
    links = {each.get("href") for each in page.all(".tallies a")}
    assert f"{CLAIMS}?show=settle&drink=d1" in links
    assert f"{CLAIMS}?drink=d1" in links


def test_ingredients_never_named_are_listed_where_the_rules_demand_them(client):
    routine = make_routine(segments=(make_segment("s1", said=FIRST), "s2"), drinks=(DUSK,))
    keep(client, routine, replace(RULES, declare_all=True))
    assert "wants every ingredient named · Dusk" in text_of(row(claims(client), "fig syrup"))


def test_ingredients_need_not_be_named_where_no_rule_demands_it(client, path):
    assert "fig syrup" not in rows(claims(client))


def test_what_is_said_before_the_judges_can_taste_is_pointed_out(client):
    segments = (
        make_segment("s1", said="You will find plum.", drink_id="d1"),
        make_segment("s2", drink_id="d1"),
    )
    keep(client, make_routine(segments=segments, drinks=(DUSK,)))
    page = claims(client, "?note=timing")
    assert list(rows(page)) == ["plum"]
    assert "before the judges can taste at 1:00" in beside(client, "plum")


def test_words_that_exclude_each_other_are_set_against_each_other(client):
    said = "You will find it light-bodied, and then syrupy."
    keep(client, make_routine(segments=(make_segment("s1", said=said), "s2"), drinks=(DUSK,)))
    page = claims(client, "?note=odds")
    assert set(rows(page)) == {"light-bodied", "syrupy"}
    assert "At odds with “syrupy”" in beside(client, "light-bodied")


def test_a_line_that_is_at_odds_says_with_what_and_not_what_backs_it(client):
    stirred = replace(DUSK, steps=(Agitate("st1", "stir"),))
    said = "It tastes cold. It is hot in the mouth."
    keep(client, make_routine(segments=(make_segment("s1", said=said), "s2"), drinks=(stirred,)))
    line = text_of(row(claims(client), "cold"))
    assert "At odds with “hot”" in line
    assert "tirred" not in line


def test_the_same_word_of_two_drinks_is_two_claims(client):
    dawn = Drink("d2", "Dawn", ingredients=(replace(SYRUP, id="syrup2"),))
    segments = (
        make_segment("s1", said="You will find plum.", drink_id="d1"),
        make_segment("s2", said="You will find plum.", drink_id="d2"),
    )
    keep(client, make_routine(segments=segments, drinks=(DUSK, dawn)))
    states = {
        text_of(each.cssselect(".detail bdi")[1]): each.cssselect(".stub")[0].get("class")
        for each in claims(client).all(".claim")
        if label_of(each) == "plum"
    }
    states = {drink: stub.split("stub-")[1] for drink, stub in states.items()}
    assert states == {"Dusk": "holds", "Dawn": "needs"}


def test_a_planned_descriptor_of_stop_words_says_that_it_cannot_be_looked_for(client):
    odd = replace(DUSK, descriptors=("!!", "of the"))
    keep(client, make_routine(segments=(make_segment("s1", said=FIRST), "s2"), drinks=(odd,)))
    page = claims(client)
    assert "no words to look for" in beside(client, "!!")
    assert rows(page)["of the"] in ("needs", "unsaid")


def test_an_empty_ledger_says_where_claims_come_from(client):
    keep(client)
    page = claims(client)
    assert page.text("h1") == "Nothing is claimed yet"
    assert "Claims are found in what you write" in page.text(".empty")
    assert "no sentence in the script" in claims(client, "?open=missed").text(".panel")


def test_claims_of_no_drink_on_record_are_listed_without_one(client):
    said = "You will find plum. I take 40 ml at 60 degrees for two guests."
    keep(client, make_routine(segments=(make_segment("s1", said=said),)))
    page = claims(client)
    assert rows(page)["plum"] == "open"
    assert page.text("h1") == "No recipe yet to hold the claims against"
    assert page.one(".ledger > .actions a").get("href") == "/routines/r1/drinks"
    assert "no drink in particular" in text_of(row(page, "plum"))
    assert page.all(".claim form") == []


def test_of_a_word_said_all_the_time_the_first_places_are_listed(client):
    sentence = "You will find plum and a little smoke in this cup today. "
    segments = tuple(make_segment(f"s{n}", said=sentence * 80, drink_id="d1") for n in range(1, 7))
    keep(client, make_routine(segments=segments, drinks=(DUSK,)))
    found = opened(client, "plum")
    assert len(found.all(".places > li")) == 13
    assert "Said 480 times." in found.text(".panel")


# Corrections


def test_a_find_that_is_no_claim_is_gone_and_can_be_taken_back(client, path):
    assert correct(client, "smoke", verdict="no claim").status_code == 303
    page = claims(client)
    assert "smoke" not in rows(page)
    page = claims(client, "?open=corrections")
    (button,) = page.all(".corrected form")
    told = page.texts(".corrected li p")
    assert told == ["“smoke” is no claim", "in the script"]
    client.post(button.get("action"))
    assert "smoke" in rows(claims(client))


def test_a_find_can_mean_another_descriptor_or_name_an_ingredient(client, path):
    correct(client, "smoke", verdict="word", word="fig")
    assert rows(claims(client))["fig"] == "extra"
    correct(client, "fig", verdict="ingredient", ingredient="syrup")
    assert "fig" not in rows(claims(client))
    assert len(kept(client).corrections) == 1


def test_a_find_can_be_said_of_another_drink(client):
    dawn = Drink("d2", "Dawn", ingredients=(replace(SYRUP, id="s-dawn"),))
    segment = make_segment("s1", said="You will find fig. Then smoke.", drink_id="d2")
    keep(client, make_routine(segments=(segment,), drinks=(replace(DUSK, service=Service()), dawn)))
    assert len(opened(client, "smoke").all(".misread input[name=verdict]")) == 4
    correct(client, "smoke", verdict="word", word="tar")
    correct(client, "tar", verdict="drink", drink="d1")
    assert "Dusk" in text_of(row(claims(client), "tar"))
    assert "Dawn" in text_of(row(claims(client), "fig"))
    assert "“smoke” is said of Dusk" in claims(client, "?open=corrections").text(".panel")
    page = Page(correct(client, "tar", verdict="drink"))
    assert (page.status, "Choose the drink" in page.text(".panel")) == (422, True)


def test_one_of_several_places_can_be_corrected_alone(client, path):
    form = opened(client, "plum")
    places = [each.get("value") for each in form.all("#f-where option")]
    assert len(places) == 3
    correct(client, "plum", verdict="no claim", where=places[1])
    assert len(opened(client, "plum").all(".places > li")) == 1
    correct(client, "plum", verdict="no claim")
    assert rows(claims(client))["plum"] == "unsaid"


def test_the_same_sentence_said_twice_is_corrected_in_both_places(client, path):
    client.post(SCRIPT, data={"said-s2": "You will find smoke. Sip. You will find smoke."})
    correct(client, "smoke", verdict="no claim")
    assert "smoke" not in rows(claims(client))
    assert len(kept(client).corrections) == 2


def test_a_correction_holds_when_the_text_around_it_changes(client, path):
    correct(client, "smoke", verdict="no claim")
    client.post(SCRIPT, data={"said-s2": f"Judges, please. {SECOND} Thank you."})
    assert "smoke" not in rows(claims(client))


def test_a_correction_whose_words_are_gone_rests(client, path):
    correct(client, "smoke", verdict="no claim")
    client.post(SCRIPT, data={"said-s2": "On the nose you will find plum."})
    assert "Rests" in claims(client, "?open=corrections").text(".corrected li .about")


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"verdict": "ingredient"}, "ingredient", "Choose the ingredient that is meant."),
        ({"verdict": "word", "word": "!!"}, "word", "Write the descriptor that is meant."),
        ({"verdict": "word", "word": "x" * 121}, "word", "Keep it to 120 characters"),
    ],
)
def test_a_correction_that_lacks_something_is_refused_with_the_form_open(
    client, path, typed, field, told
):
    page = Page(correct(client, "smoke", **typed))
    assert page.status == 422
    assert told in page.fault(field)
    assert kept(client).corrections == ()


def test_a_correction_of_a_claim_that_is_no_longer_made_is_answered_in_words(client, path):
    answer = client.post(f"{CLAIMS}/rows/claim-gone", data={"verdict": "no claim"})
    assert answer.status_code == 404
    assert "no longer in the script" in answer.text


def test_a_claim_that_was_missed_is_added_by_its_sentence_and_words(client, path):
    typed = {"sentence": "s1:1", "words": "Uncle sold", "word": "fig"}
    assert client.post(f"{CLAIMS}/missed", data=typed).status_code == 303
    found = beside(client, "fig")
    assert "My uncle sold plums." in found
    assert "as you corrected it" in found
    client.post(f"{CLAIMS}/missed", data={"sentence": "s1:2", "words": "rests", "word": ""})
    assert "It rests for 18 hours." in beside(client, "rests")


@pytest.mark.parametrize(
    ("typed", "field", "told"),
    [
        ({"sentence": "", "words": "uncle", "word": "fig"}, "sentence", "Choose the sentence"),
        ({"sentence": "s9:0", "words": "a", "word": "fig"}, "sentence", "Choose the sentence"),
        ({"sentence": "s1:1", "words": "aunt", "word": "fig"}, "words", "do not stand in that"),
        ({"sentence": "s1:1", "words": "", "word": "fig"}, "words", "Write the words"),
        ({"sentence": "s1:1", "words": ".", "word": "fig"}, "words", "Write the words"),
    ],
)
def test_a_missed_claim_that_cannot_be_placed_is_refused(client, path, typed, field, told):
    page = Page(client.post(f"{CLAIMS}/missed", data=typed))
    form = f"{CLAIMS}/missed"
    assert page.status == 422
    assert told in page.fault(field, form)
    assert page.typed("word", form) == typed["word"]


def test_an_unplanned_descriptor_goes_on_the_list_with_one_button(client, path):
    correct(client, "smoke", verdict="word", word="fig")
    (button,) = row(claims(client), "fig").cssselect("form")
    client.post(button.get("action"))
    assert kept(client).drinks[0].descriptors == ("plum", "almond", "fig")
    assert rows(claims(client))["fig"] == "holds"


def test_what_was_heard_on_stage_is_folded_beneath_the_claims(client, path):
    heard = [("c1", "claim", "d1:descriptor:plum", "heard"), ("c2", "claim", "x:y:almond", "wrong")]
    events = [
        make_event(key, kind, seq=20 + n, at_s=60 + n, claim=claim, verdict=verdict)
        for n, (key, kind, claim, verdict) in enumerate(heard)
    ]
    keep_run(client, kept(client), (*make_events({"s1": 50, "s2": 100}, total_s=120), *events))
    assert "1 heard, almond said wrong" in claims(client).text("#on-stage summary")


TOLERANCES = {
    "amount_percent": "15", "temp_c": "1", "strength_points": "1", "time_s": "10",
}  # fmt: skip


def test_a_wider_tolerance_of_the_routine_makes_a_claim_hold(client, path):
    label = "40 ml of Plum rum, 40 % vol"
    assert rows(claims(client))[label] == "wrong"
    client.post(f"{CLAIMS}/tolerance", data=TOLERANCES)
    assert rows(claims(client))[label] == "holds"
    assert kept(client, "r1").tolerance.amount_percent == 15


def test_a_tolerance_beyond_its_limits_is_refused_and_stays_typed(client, path):
    answer = client.post(f"{CLAIMS}/tolerance", data=TOLERANCES | {"temp_c": "99"})
    assert answer.status_code == 422
    page = Page(answer)
    assert page.one("#tolerance-temp_c").get("value") == "99"
    assert page.one("#tolerance-temp_c-fault1") is not None
