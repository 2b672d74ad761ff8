"""A blind list from both sides: the host's page, and nine phones."""

import csv
import io
import re
from dataclasses import replace

from server.store.lost.deleted import KEPT_MS
from server.store.lost.forgetting import forget_old
from server.store.routines import edit_routine
from server.store.uploads.media import MediaFolder
from server.web.tasters import told
from server.web.tasters.results import result_of
from tests.factories import NOW_MS
from tests.web.html import Page
from tests.web.tasters.phones import (
    LAMP,
    LIST,
    TASTINGS,
    WORDS,
    Phone,
    decoys_of,
    keep_drinks,
    seat,
    set_up,
)


def nine_taste(client, here, code):
    """Seven find apricot, two walnut, nobody black tea; two decoys are ticked once."""
    decoys = decoys_of(client, here)
    for number in range(9):
        found = ["apricot"] if number < 7 else []
        found += ["walnut"] if number in (0, 8) else []
        found += [decoys[0]] if number == 8 else [decoys[1]] if number == 7 else []
        seat(client, here, code, f"Taster {number}").hand_in(*found, when="sip", strength="2")


def rows(client, here):
    page = Page(client.get(here))
    names = page.texts("ol.found-words .line-main b")
    counts, stubs = (
        page.texts("ol.found-words .found-count"),
        page.texts("ol.found-words .stub-word"),
    )
    return dict(zip(names, zip(counts, stubs, strict=True), strict=True))


def test_of_few_tasters_it_is_told_who_found_a_word(client):
    keep_drinks(client)
    here, code = set_up(client)
    seat(client, here, code, "Ann").hand_in("apricot", "walnut")
    seat(client, here, code, "Bo").hand_in("walnut")

    def told():
        page = Page(client.get(here))
        names = page.texts("ol.found-words .line-main b")
        return dict(zip(names, page.texts("ol.found-words .detail"), strict=True))

    details = told()
    assert details["apricot"].endswith("; found by Ann")
    assert "found by" not in details["walnut"] + details["black tea"]
    # Two of one name are told apart by their number.
    seat(client, here, code, "bo").hand_in("apricot")
    assert told()["apricot"].endswith("; found by Ann, bo (3)")
    for number in range(2):
        seat(client, here, code, f"Taster {number}").hand_in("apricot")
    assert told()["apricot"].endswith("; not by Bo (2)")


def test_nine_tasters_find_what_is_there_and_miss_what_is_not(client):
    keep_drinks(client)
    here, code = set_up(client)
    nine_taste(client, here, code)
    assert rows(client, here) == {
        "apricot": ("7 of 9", "Found"),
        "walnut": ("2 of 9", "Not sure"),
        "black tea": ("0 of 9", "By nobody"),
    }
    page = Page(client.get(here))
    assert page.text("h1") == "1 of 3 words found, 1 by nobody"
    assert "2 of 27 times" in page.text("main")
    # Wilson's interval of 7 in 9 is 0.453 to 0.937.
    assert "45 to 94 of 100 people, mostly at the first sip, clear" in page.text("main")
    # What is not sure is told with its chance, and is not called a decoy's equal.
    assert re.search(r"6 to 55 of 100 people.*, by chance \d+ times in 100", page.text("main"))


def test_what_is_found_stands_in_the_ledger_and_the_missed_word_on_today(client):
    keep_drinks(client)
    here, code = set_up(client)
    nine_taste(client, here, code)
    ledger = Page(client.get("/routines/r1/claims"))
    (told,) = [line for line in ledger.texts(".claim .detail") if "found by 7 of 9" in line]
    assert "Lamp" in told
    today = Page(client.get("/routines/r1"))
    assert "Nobody finds black tea" in today.text("main")


def test_what_one_taster_found_is_no_result_in_the_ledger(client):
    keep_drinks(client)
    here, code = set_up(client)
    seat(client, here, code, "Ada").hand_in("apricot", when="sip", strength="2")
    assert "One taster is no result yet" in Page(client.get(here)).text("h1")
    assert "found by" not in Page(client.get("/routines/r1/claims")).text("main")


def test_an_earlier_tasting_of_the_same_words_is_not_worked_out_again(client, monkeypatch):
    keep_drinks(client)
    for _ in range(2):
        here, code = set_up(client)
        for name in ("Ada", "Ben"):
            seat(client, here, code, name).hand_in("walnut")
    worked_out = []
    monkeypatch.setattr(told, "result_of", lambda *of: worked_out.append(of) or result_of(*of))
    assert "found by 2 of 2" in Page(client.get("/routines/r1/claims")).text("main")
    assert len(worked_out) == 1


def test_a_taster_is_asked_of_age_and_allergens_before_any_word_is_shown(client):
    keep_drinks(client)
    here, code = set_up(client)
    phone = Phone(client, here)
    phone.join(code)
    page = phone.page()
    assert "nuts" in page.text(".taste-holds")
    # 20 ml of 20 % vol are 3.16 g, of 10 g a standard drink: what is "at most" is rounded up.
    assert "Alcohol: at most 3.2 g for you in all, 0.4 of a standard drink." in page.text("main")
    assert page.all(".taste-word") == []
    refused = Page(phone.begin(of_age=""))
    assert refused.status == 422
    assert "legal age" in refused.fault("of_age")
    assert phone.hand_in("apricot").status_code == 409


def test_each_taster_has_all_words_in_an_order_of_their_own(client):
    keep_drinks(client)
    here, code = set_up(client, LIST | {"decoys": "9"})
    cards = [seat(client, here, code).page().texts(".taste-tick label") for _ in range(4)]
    assert len({tuple(card) for card in cards}) == 4
    assert len({tuple(sorted(card)) for card in cards}) == 1
    assert set(WORDS) < set(cards[0])
    assert len(cards[0]) == 12


def test_an_answer_sent_twice_or_late_changes_nothing(client):
    keep_drinks(client)
    here, code = set_up(client)
    phone = seat(client, here, code)
    at = next(n for n, each in enumerate(phone.sitting.words) if each.word == "walnut")
    late = {f"word-{at}": "yes"}
    phone.count = 4
    for _ in range(2):
        phone.count = 4
        assert phone.hand_in("apricot").status_code == 204
    assert phone.send(count=3, **late).status_code == 204
    assert rows(client, here)["apricot"][0] == "1 of 1"
    assert rows(client, here)["walnut"][0] == "0 of 1"


def test_the_same_phone_twice_is_one_taster_and_told_so(client):
    keep_drinks(client)
    here, code = set_up(client)
    phone = seat(client, here, code, "Ada")
    phone.hand_in("apricot")
    phone.join(code, "Bea")
    assert "stays taster 1" in phone.page().text("main")
    page = Page(client.get(here))
    assert "1 phone joined more than once" in page.text("main")
    assert "Bea" in page.text("main")
    assert rows(client, here)["apricot"][0] == "1 of 1"


def test_one_taster_is_no_result(client):
    keep_drinks(client)
    here, code = set_up(client)
    seat(client, here, code).hand_in("apricot")
    assert Page(client.get(here)).text("h1") == "One taster is no result yet"


def test_a_card_with_everything_or_nothing_ticked_is_told_and_can_be_kept_apart(client):
    keep_drinks(client)
    here, code = set_up(client)
    everything = [each.word for each in Phone(client, here).sitting.words]
    seat(client, here, code, "Ada").hand_in(*everything)
    seat(client, here, code, "Bea").hand_in()
    seat(client, here, code, "Cleo").hand_in("apricot")
    page = Page(client.get(here))
    assert "2 tasters ticked everything or nothing" in page.text("main")
    action = next(f.get("action") for f in page.all("form") if "/tasters/" in f.get("action"))
    client.post(action, data={"apart": "yes"})
    assert rows(client, here)["apricot"][0] == "1 of 2"
    client.post(action, data={})
    assert rows(client, here)["apricot"][0] == "2 of 3"


def test_a_recipe_that_changes_meanwhile_leaves_the_result_with_what_was_tasted(client):
    keep_drinks(client)
    here, code = set_up(client)
    phone = seat(client, here, code)
    changed = {"name": "Pear brandy", "amount": "90 ml"}
    edit = Page(client.get("/routines/r1/drinks?edit=ingredient-i1"))
    action = "/routines/r1/drinks/d1/ingredients/i1"
    assert client.post(action, data=edit.sent_by(action) | changed).status_code == 303
    assert phone.hand_in("apricot").status_code == 204
    seat(client, here, code, "Bea").hand_in("apricot")
    page = Page(client.get(here))
    assert "“Lamp” was changed since" in page.text("main")
    assert "in an earlier version" in Page(client.get("/routines/r1/claims")).text("main")


def test_more_decoys_than_there_are_is_told(client):
    keep_drinks(client, language="other")
    here, _ = set_up(client, LIST | {"decoys": "5", "own": "Kirsche, Heu"})
    assert "Only 2 decoys of 5 wanted" in Page(client.get(here)).text("main")


def test_a_drink_without_words_or_a_language_without_decoys_is_refused(client):
    keep_drinks(client, language="other")
    refused = Page(client.post(f"{TASTINGS}/list", data=LIST | {"own": ""}))
    assert refused.status == 422
    assert "Add one of your own" in refused.fault("decoys")
    with client.app.state.database.writing() as session:
        wordless = replace(LAMP, descriptors=())
        edit_routine(session, "r1", lambda r: replace(r, drinks=(wordless,)), "x", NOW_MS)
    refused = Page(client.post(f"{TASTINGS}/list", data=LIST | {"own": "Heu"}))
    assert "Write words on the card" in refused.fault("drink")


def test_more_alcohol_than_the_limit_is_refused_unless_it_is_spat_out(client):
    keep_drinks(client)
    much = LIST | {"glass_ml": "100"}
    refused = Page(client.post(f"{TASTINGS}/list", data=much))
    assert "Pour at most 63 ml" in refused.fault("glass_ml")
    assert client.post(f"{TASTINGS}/list", data=much | {"spat": "yes"}).status_code == 303


def test_the_answers_leave_without_names(client):
    keep_drinks(client)
    here, code = set_up(client)
    seat(client, here, code, "Ada").hand_in("apricot", when="nose", strength="3")
    text = client.get(f"{here}/answers.csv").text.removeprefix("\ufeff")
    table = list(csv.DictReader(io.StringIO(text)))
    (row,) = [each for each in table if each["ticked"] == "1"]
    assert (row["taster"], row["word"], row["when"], row["strength"]) == (
        "1", "apricot", "nose", "3",
    )  # fmt: skip
    document = client.get(f"{here}/tasting.json").json()
    found = {each["word"]: (each["found"], each["tasters"]) for each in document["words"]}
    assert (found["apricot"], found["walnut"]) == ((1, 1), (0, 1))
    assert "Ada" not in text + str(document)


def test_two_versions_are_held_beside_each_other(client):
    keep_drinks(client)
    first, code = set_up(client)
    nine_taste(client, first, code)
    second, code = set_up(client, LIST | {"drink": "d2"})
    for _ in range(9):
        seat(client, second, code).hand_in("walnut")
    page = Page(client.get(f"{second}?against={first.split('/')[-1]}"))
    cells = page.texts("details tbody :is(th, td)")
    lines = {cells[at]: cells[at + 1 : at + 4] for at in range(0, len(cells), 4)}
    assert lines["walnut"][:2] == ["9 of 9", "2 of 9"]
    assert "differs" in lines["walnut"][2]
    assert lines["black tea"] == ["0 of 9", "0 of 9", "no difference shown"]


def test_a_deleted_tasting_is_brought_back_with_its_answers(client):
    keep_drinks(client)
    here, code = set_up(client)
    phone = seat(client, here, code)
    phone.hand_in("apricot")
    gone = client.post(f"{here}/delete").headers["location"]
    assert client.get(here).status_code == 410
    assert phone.hand_in("walnut").status_code == 410
    assert "is deleted" in Page(client.get(gone)).text("main")
    listed = Page(client.get("/deleted"))
    back = listed.one(".row form").get("action")
    assert (listed.text(".row h2"), back) == ("Lamp", f"{here}/restore")
    client.post(back)
    assert rows(client, here)["apricot"][0] == "1 of 1"


def test_a_routine_gone_for_good_takes_its_tastings_with_it(client, tmp_path):
    keep_drinks(client)
    here, code = set_up(client)
    phone = seat(client, here, code)
    phone.hand_in("apricot")
    client.post("/routines/r1/delete")
    folders = [MediaFolder(tmp_path / name) for name in ("recordings", "music")]
    forget_old(client.app.state.database, *folders, NOW_MS + KEPT_MS + 1)
    assert client.get(here).status_code == 404
    assert phone.hand_in("apricot").status_code in (403, 404)


def test_a_tasting_deleted_long_ago_is_gone_for_good(client, tmp_path):
    keep_drinks(client)
    here, code = set_up(client)
    seat(client, here, code)
    client.post(f"{here}/delete")
    folders = [MediaFolder(tmp_path / name) for name in ("recordings", "music")]
    forget_old(client.app.state.database, *folders, NOW_MS + KEPT_MS)
    assert client.get(here).status_code == 410
    forget_old(client.app.state.database, *folders, NOW_MS + KEPT_MS + 1)
    assert client.get(here).status_code == 404


def test_who_joins_without_a_name_is_asked_for_one(client):
    keep_drinks(client)
    here, code = set_up(client)
    refused = Page(Phone(client, here).join(code, ""))
    assert (refused.status, refused.fault("name")[:14]) == (422, "Give your name")
    wrong = Page(Phone(client, here).join("AAAAAA"))
    assert "No tasting opens to this code" in wrong.fault("code")
    client.post(f"{here}/close")
    assert Page(Phone(client, here).join(code)).status == 422


def test_a_word_has_no_result_before_a_card_is_handed_in(client):
    keep_drinks(client)
    here, code = set_up(client)
    seat(client, here, code)
    page = Page(client.get(here))
    assert page.text("h1") == "Nobody has tasted yet"
    assert page.all(".found-words li") == []
    assert "1 taster joined, and no card is handed in yet" in page.text(".empty")
