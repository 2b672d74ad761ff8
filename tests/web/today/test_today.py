"""Today: where the presenter stands, and what to do next, each with its cure."""

from dataclasses import replace

from server.demo import demo_file
from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.preparing import Journey, Preparation, Task
from server.store.rule_sheets import save_rule_sheet
from server.store.runs import list_runs, load_run
from server.store.settled import settled_remarks
from server.web.today.gather import is_invented
from tests.factories import (
    NOW_MS,
    RULES,
    make_event,
    make_events,
    make_process,
    make_routine,
    make_segment,
)
from tests.web.html import Page, text_of
from tests.web.practice import PLAN, practise
from tests.web.shelf import keep, keep_run, kept

DEMO = "/routines/routine-demo"
EGG = Ingredient("i1", "Egg white, raw", Amount(1, "piece"), ("egg",))


def today(client, path="/routines/r1"):
    return Page(client.get(path))


def act(client, path, **fields):
    return client.post(f"{path}/today", data=fields)


def test_a_new_routine_says_how_to_begin(client):
    keep(client, make_routine(segments=()))
    page = today(client)
    assert page.text("h1") == "Two steps to the clock"
    assert page.texts(".first-steps h2") == [
        "1. Name the first segment and how long it takes",
        "Or start from what you have",
        "2. Rehearse",
    ]
    assert page.form("/routines/r1/segments/new") is not None


def test_a_pattern_fills_the_slot_up_to_the_target(client):
    keep(client, make_routine(segments=()))
    client.post("/routines/r1/pattern", data={"drinks": "2"})
    page = today(client)
    assert page.text("h1") == "No run yet"
    assert page.text(".tape-totals dd") == "9:50"


def test_words_about_drinks_that_no_segment_names_ask_for_their_drink(client):
    talk = make_segment("s1", said="It is smoky and sweet.")
    routine = make_routine(segments=(talk,), drinks=(Drink("d1", "One"), Drink("d2", "Two")))
    keep(client, routine)
    line = today(client).one("#no-drink")
    assert "No segment says which drink it is about." in line.text_content()
    (link,) = [each.get("href") for each in line.iter("a")]
    assert f"/script?open=segment-{talk.id}" in link
    assert Page(client.get(link)).all("#drink-s1") != []


def test_a_plan_beyond_the_slot_leads_to_the_plan_and_is_worded_once(client):
    keep(client, make_routine(segments=(make_segment("s1", 700.0),)))
    page = today(client)
    line = page.one("#too-long")
    assert "The plan is 1:40 longer than the slot." in line.text_content()
    assert [each.get("href") for each in line.iter("a")] == ["/routines/r1/plan"]
    assert "The plan is 1:40 longer than the slot" in page.text(".ready")


def test_only_what_is_to_be_cut_is_asked_after(client):
    keep(client, make_routine(segments=(make_segment("s1", 30),)))
    sure = today(client).text(".standing")
    assert "Sure 95 times in 100, with 9:" in sure
    assert "Where?" not in sure
    client.post(
        "/routines/r1/segments/new", data={"name": "Pour", "likely": "9:30", "lane": "both"}
    )
    assert "to be sure 95 times in 100. Where?" in today(client).text(".standing")


def test_before_there_is_a_recipe_no_word_is_told_as_given_by_nothing(client):
    talk = make_segment("s1", name="Dusk, serve", said="You will find smoke and honey.")
    keep(client, make_routine(segments=(talk,), drinks=(Drink("d1", "Dusk", 2),)))
    page = today(client)
    assert "Nothing gives it" not in page.texts(".steps .stub-word")
    assert any("No ingredients yet" in each for each in page.texts(".ready li"))
    client.post("/routines/r1/drinks/d1/ingredients/new", data={"name": "Gin", "amount": "40 ml"})
    assert "Nothing gives it" in today(client).texts(".steps .stub-word")


def test_a_pattern_for_no_drink_at_all_is_refused_beside_its_field(client):
    keep(client, make_routine(segments=()))
    answer = client.post("/routines/r1/pattern", data={"drinks": "0"})
    assert answer.status_code == 422
    assert "1" in Page(answer).fault("drinks")


def test_a_refused_pattern_is_no_fault_of_the_first_segment(client):
    # A form that holds a fault counts as typed in: leaving it would be asked about.
    keep(client, make_routine(segments=()))
    answer = Page(client.post("/routines/r1/pattern", data={"drinks": "some"}))
    assert answer.form("/routines/r1/segments/new").cssselect(".fault") == []


def test_a_pattern_with_no_number_is_for_the_drinks_that_the_empty_field_shows(client):
    keep(client, make_routine(segments=(), drinks=tuple(Drink(f"d{n}", "Ebb") for n in range(3))))
    client.post("/routines/r1/pattern", data={"drinks": ""})
    assert [each.drink_id for each in kept(client).segments[1:10:3]] == ["d0", "d1", "d2"]


def test_the_last_run_that_counts_stands_first(client):
    practise(client, (180, 200, 205), (180, 200, 215))
    assert today(client).text("h1").startswith("9:55 last time")


def test_a_run_beyond_the_slot_says_by_how_much(client):
    practise(client, (180, 200, 230.2))
    assert today(client).text("h1") == "10:10 last time, 10.2 s over the slot"


def test_today_counts_the_claims_that_the_ledger_counts(client):
    # Of no drink in particular: it cannot be put on a card at a touch.
    drinks = (Drink("d1", "Low Tide", 1, (EGG,), ("foam",)), Drink("d2", "Ebb"))
    segments = (make_segment("s1", said="It is egg. You find foam."),)
    keep(client, make_routine(drinks=drinks, segments=segments))
    told = Page(client.get("/routines/r1/claims")).text("h1")
    assert told.endswith("to settle")
    assert told in today(client).texts(".ready a")


def test_a_slot_and_a_number_of_judges_that_changed_are_told_beside_the_list(client):
    drinks = (Drink("d1", "Low Tide", 4, (EGG,)), Drink("d2", "Ebb", 1))
    routine = make_routine(drinks=drinks, segments=(make_segment("s1", 540),))
    at = keep(client, routine)
    assert "Low Tide" not in " ".join(today(client).texts(".ready li"))
    with client.app.state.database.writing() as session:
        save_rule_sheet(session, replace(RULES, slot_s=480, target_s=470, serves_per_drink=3))
    links = {each.text_content(): each.get("href") for each in today(client).all(".ready a")}
    assert links["The plan is 1:00 longer than the slot"] == f"{at}/plan"
    assert links["Low Tide is for 4 serves, your rules say 3"] == f"{at}/drinks"


def test_the_line_of_the_slot_crosses_no_words_about_the_longest_segment(client):
    practise(client, (180, 200, 225))
    for slot_s, target_s in ((600, 590), (500, 490), (640, 590)):
        with client.app.state.database.writing() as session:
            save_rule_sheet(session, replace(RULES, slot_s=slot_s, target_s=target_s))
        page = today(client)
        words, line = page.one(".notch-words"), page.one(".slot-end")
        at, line_at = (float(each.get(name).rstrip("%")) for each, name in
                       ((words, "x"), (line, "x1")))  # fmt: skip
        assert words.get("text-anchor") == "end"
        if at == line_at:
            assert int(words.get("dx")) < 0
        else:
            assert at < line_at - 2


def test_segments_of_a_drink_are_told_apart_on_the_tape_by_what_fits_of_their_names(client):
    names = {"Hay Loft, introduction": 40, "Hay Loft: making it cold": 95, "Hay Lofty serve": 100}
    segments = [
        make_segment(f"s{n}", lasts_s, name=name, drink_id="d1")
        for n, (name, lasts_s) in enumerate(names.items())
    ]
    segments.append(make_segment("s9", 140, name="Thank the judges and go"))
    keep(client, make_routine(segments=tuple(segments), drinks=(Drink("d1", "Hay Loft", 2),)))
    told = today(client).texts(".today-tape .first-word")
    # The drink stands above its segments; a word that would be cut is left out.
    assert told == ["making it", "Hay Lofty", "Thank the judges"]


def test_the_name_of_a_drink_is_left_out_where_its_blocks_have_no_room_for_it(client):
    drinks = (Drink("d1", "Harbour Light", 2), Drink("d2", "Hedge at Noon", 2))
    segments = (make_segment("s1", 300, drink_id="d1"), make_segment("s2", 20, drink_id="d2"))
    keep(client, make_routine(segments=segments, drinks=drinks))
    names = {each.text_content(): each.get("class") for each in today(client).all(".drink-name")}
    rooms = {name: found.split()[-1] for name, found in names.items()}
    assert rooms == {"Harbour Light": "from-small", "Hedge at Noon": "never"}


def test_no_article_stands_alone_on_the_tape(client):
    names = {"The coffee": 40, "The mise en place": 20, "The coffee again": 300, "A": 240}
    segments = tuple(
        make_segment(f"s{n}", lasts_s, name=name) for n, (name, lasts_s) in enumerate(names.items())
    )
    keep(client, make_routine(segments=segments))
    assert today(client).texts(".today-tape .first-word") == ["coffee", "The coffee again", "A"]


def test_the_name_of_a_process_lies_over_no_strip(client):
    # The first segment ends where no name has room to its left; the other begins half way.
    segments = (make_segment("s1", 30), make_segment("s2", 270), make_segment("s3", 240))
    early, late = make_process(), make_process(process_id="p2", after="s2", name="Chill")
    keep(client, make_routine(segments=segments, processes=(early, late)))
    tape = today(client)
    assert tape.texts(".today-tape .process-name") == ["Chill"]
    first, second = tape.texts(".today-tape .needed")
    assert first.startswith("Drip: needed 5:00")
    assert second.startswith("needed 5:00")


def test_a_word_of_the_card_alone_is_not_told_as_said(client):
    drinks = (Drink("d1", "Low Tide", 1, (EGG,), ("violet",)),)
    keep(client, make_routine(drinks=drinks, segments=(make_segment("s1", said="Hello."),)))
    told = today(client).texts(".steps .line-main b")
    assert "Violet is on the card and never said, nothing gives it." in told


def test_the_demo_lists_five_things_each_with_a_cure(demo):
    page = today(demo, DEMO)
    steps = page.all(".steps > li")
    assert len(steps) == 5
    assert all(step.cssselect(".cures button, .cures a") for step in steps)


def test_the_contradiction_of_the_demo_is_listed_first(demo):
    assert today(demo, DEMO).texts(".steps .stub-word")[0] == "Wrong"


def test_a_cure_settles_its_line_and_can_be_undone(own_demo):
    before = today(own_demo, DEMO)
    cure = before.all(".steps li:first-child form")[0]
    answer = own_demo.post(cure.get("action"), data=dict(cure.form_values()))
    assert answer.headers["location"] == DEMO
    after = today(own_demo, DEMO)
    assert "Wrong" not in after.texts(".steps .stub-word")
    own_demo.post(f"{DEMO}/undo", data={"back": "today"})
    assert today(own_demo, DEMO).texts(".steps .stub-word")[0] == "Wrong"


def test_a_segment_that_has_grown_is_planned_as_it_is_run(client):
    practise(client, *[(180, 200, 225)] * 4)
    page = today(client)
    (form,) = [
        each for each in page.all(".steps form") if "plan segment" in str(each.form_values())
    ]
    client.post(form.get("action"), data=dict(form.form_values()))
    assert "Longer" not in today(client).texts(".steps .stub-word")


def test_a_remark_is_called_one_whoever_made_it(client):
    keep(client)
    note = make_event("n1", "note", seq=99, text="Slower.", who="Judge two", at_ms=70_000)
    log = (*make_events({"s1": 60, "s2": 120, "s3": 180}, total_s=180), note)
    keep_run(client, make_routine(), log)
    stubs = today(client).texts(".steps .stub-word")
    assert "Remark" in stubs
    assert "Coach" not in stubs


def test_a_sheet_whose_notes_alone_were_changed_is_still_the_invented_one():
    rules = demo_file().rules
    assert is_invented(replace(rules, notes="Mine."))
    assert not is_invented(replace(rules, slot_s=630.0))


def test_more_time_is_offered_last_and_with_its_price_once_the_slot_is_cut(client):
    last = replace(PLAN.segments[-1], said="Please taste.")
    routine = replace(PLAN, segments=(*PLAN.segments[:-1], last))
    practise(client, *[(180, 200, 225)] * 4, routine=routine)
    with client.app.state.database.writing() as session:
        save_rule_sheet(session, replace(RULES, slot_s=480, target_s=470))
    (step,) = [each for each in today(client).all(".steps > li") if "Longer" in text_of(each)]
    assert "planned so, the plan is 2:08 longer than the slot" in text_of(step)
    cures = [text_of(each) for each in step.cssselect(".cures button, .cures a")]
    assert cures[0] == "Cut words"
    assert cures[1].startswith("Plan 3:4")


def test_a_remark_that_is_done_leaves_the_list_and_comes_back(own_demo):
    run_id, remark_id = remark_of(own_demo)
    settled = own_demo.post(
        f"{DEMO}/remarks/settle", data={"run": run_id, "remark": remark_id}
    ).headers["location"]
    assert "Called done" in today(own_demo, settled).text(".notice")
    own_demo.post(f"{DEMO}/remarks/unsettle", data={"run": run_id, "remark": remark_id})
    with own_demo.app.state.database.reading() as session:
        assert settled_remarks(session, [run_id]) == set()


def test_an_unknown_action_is_refused_with_a_reason(client):
    keep(client, make_routine(segments=(make_segment("s1", 20),)))
    assert act(client, "/routines/r1", action="fly").status_code == 422


def test_a_claim_that_is_gone_is_not_found(client):
    keep(client, make_routine(segments=(make_segment("s1", 20),)))
    answer = act(client, "/routines/r1", action="put on card", claim="claim-nowhere")
    assert answer.status_code == 404


def remark_of(client):
    """A watcher's note in the demo's runs."""
    with client.app.state.database.reading() as session:
        for line in reversed(list_runs(session, "routine-demo")):
            for note in load_run(session, line.id).state.notes:
                if note.who:
                    return line.id, note.id
    raise AssertionError("the demo has no remark")


def test_what_comes_before_the_stage_is_told_in_one_line(client):
    def told(routine_id, **prepared):
        routine = make_routine(
            routine_id=routine_id,
            segments=(make_segment("s1", hands="Kettle."),),
            preparation=Preparation(**prepared),
        )
        ready = f'.ready a[href^="{keep(client, routine)}/prep"]'
        ticked = {"packed": "yes", "at": "made", "key": "t1"}
        before = Page(client.get(f"/routines/{routine_id}")).texts(ready)
        client.post(f"/routines/{routine_id}/prepare/ticks", data=ticked)
        return before, Page(client.get(f"/routines/{routine_id}")).texts(ready)

    tasks, journey = (Task("t1", "Syrup", 60.0),), Journey(NOW_MS + 90_000_000)
    assert told("r1") == ([], [])
    assert told("r2", tasks=tasks)[0] == ["Say when you are on stage"]
    before, after = told("r3", tasks=tasks, journey=journey)
    assert (before, after) == (["1 thing to make ahead"], ["1 thing to pack for the event"])
