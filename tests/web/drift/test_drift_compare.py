import pytest

from server.domain.runs.labels import Occasion
from tests.web.html import Page, text_of
from tests.web.practice import DAY_MS, FIRST_MS, PATH, PLAN, practise, practise_once
from tests.web.shelf import keep, kept

COMPARE = f"{PATH}/compare"
ALONE, COACHED = Occasion("Studio", ("alone",)), Occasion("Back bar", ("coach",))


def ask(client, **query):
    return Page(client.get(COMPARE, params=query))


def rows(page):
    return {
        cells[0]: cells[1:]
        for cells in (
            [" ".join(cell.text_content().split()) for cell in row]
            for row in page.all("table.differences tbody tr")
        )
    }


def chips(page, side="These runs"):
    """What can be put on a side: words -> the address that does it."""
    links = page.all(f"section[aria-label='{side}'] .chip")
    return {text_of(each): each.get("href") for each in links}


def chosen(page, side="These runs"):
    return set(page.texts(f"section[aria-label='{side}'] > nav .chip[aria-current]"))


def heading(page):
    return page.text("#result-title")


@pytest.fixture
def run_ids(client):
    """Six runs a day apart, alone and before the coach in turns; the coach costs ten seconds."""
    runs = [
        {"splits": [180 + n, 200 + 10 * (n % 2), 205], "occasion": (ALONE, COACHED)[n % 2]}
        for n in range(6)
    ]
    return practise(client, *runs)


def test_without_two_runs_there_is_nothing_to_compare(client):
    practise(client, [180, 200, 205])
    page = Page(client.get(COMPARE))
    assert "there is one" in page.text(".empty")
    assert page.all(".versus-side") == []


def test_at_first_the_last_run_stands_against_all_others(client, run_ids):
    page = ask(client)
    assert heading(page).startswith("run 6 (")
    assert heading(page).endswith("(1 run) against all others (5 runs)")


def test_two_picked_runs_are_compared_segment_by_segment(client, run_ids):
    page = ask(client, first=f"run:{run_ids[1]}", second=f"run:{run_ids[0]}")
    found = rows(page)
    # ISO 5725-6: 1.96 sqrt(2) sigma; the middle step of 10 s is 0.954 sigma of normal times.
    assert found["Segment s2"][:4] == [
        "1 / 1", "3:30.0", "3:20.0", "+10.0 stwo ordinary runs differ by up to 29.1 s",
    ]  # fmt: skip
    assert list(found) == ["The whole routine", "Segment s1", "Segment s2", "Segment s3"]


def test_groups_by_tag_differ_by_what_the_tag_costs(client, run_ids):
    page = ask(client, first="tag:coach", second="tag:alone")
    assert heading(page) == "coach (3 runs) against alone (3 runs)"
    assert rows(page)["Segment s2"][:3] == ["3 / 3", "3:30.0", "3:20.0"]
    assert rows(page)["Segment s2"][3].startswith("+10.0 s")


@pytest.mark.parametrize(
    ("first", "second", "sizes"),
    [
        ("venue:Studio", "rest", "3 / 3"),
        ("rest", "venue:Back bar", "3 / 3"),
        ("tag:coach", "tag:coach", None),
    ],
)
def test_a_run_stands_on_one_side_only(client, run_ids, first, second, sizes):
    page = ask(client, first=first, second=second)
    if sizes is None:
        assert "The second group holds no run that counts" in page.text("main > .notice")
    else:
        assert rows(page)["The whole routine"][0] == sizes


def test_several_runs_can_be_picked_for_one_side(client, run_ids):
    page = ask(client, first=[f"run:{run_ids[0]}", f"run:{run_ids[2]}"], second="rest")
    assert rows(page)["The whole routine"][0] == "2 / 4"
    assert len(chosen(page)) == 2


def test_runs_before_and_after_an_edit_of_the_routine_are_offered(client, run_ids):
    client.post("/routines/r1/segments/s2", data={"name": "Segment s2", "likely": "3:25"})
    plan = kept(client)
    for n in range(3):
        practise_once(client, [180, 205, 205], plan, FIRST_MS + (10 + n) * DAY_MS)
    offered = chips(Page(client.get(COMPARE)))
    (since,) = [url for words, url in offered.items() if words.startswith("from ")]
    page = Page(client.get(since))
    assert len(chosen(page)) == 2
    assert len([words for words in offered if words.startswith("as it was for")]) == 2


def test_a_chip_puts_a_group_on_its_side_and_takes_it_off_again(client, run_ids):
    page = ask(client, first="tag:coach", second="rest")
    assert chosen(page) == {"coach"}
    both = Page(client.get(chips(page)["alone"]))
    assert chosen(both) == {"coach", "alone"}
    assert chosen(Page(client.get(chips(both)["coach"]))) == {"alone"}
    assert chosen(both, "Against") == {"all others"}


def test_the_first_line_says_the_difference_only_where_it_is_more_than_chance(client, run_ids):
    page = ask(client, first="tag:coach", second="tag:alone")
    assert page.text("h1") == "Coach: 11 s longer than alone"
    one = ask(client, first=f"run:{run_ids[0]}", second="rest")
    assert one.text("h1").endswith("against all others: no difference beyond chance")
    assert page.texts(".run-bed .run-finish b") == ["9:58", "9:47"]


def test_dates_narrow_a_group_down(client, run_ids):
    page = ask(client, first="tag:coach", second="tag:alone", first_until="2026-07-27")
    sizes = rows(page)["The whole routine"][0]
    assert sizes.endswith(" / 3")
    assert int(sizes.split(" / ")[0]) < 3


def test_a_date_that_is_none_is_refused_and_the_choice_kept(client, run_ids):
    page = ask(client, first="tag:coach", second="tag:alone", second_since="whenever")
    assert page.status == 422
    assert page.fault("second_since") == "Give a day, for example 2026-11-20."
    assert chosen(page) == {"coach"}


@pytest.mark.parametrize("word", ["nonsense", "run:nobody", "before:nobody", "from:nobody", ":"])
def test_what_names_no_run_gives_an_empty_group(client, run_ids, word):
    page = ask(client, first=word, second="rest")
    assert page.status == 200
    assert "The first group holds no run" in page.text("main > .notice")


def test_a_routine_without_runs_is_answered(client):
    keep(client, PLAN)
    assert "there is none" in Page(client.get(COMPARE)).text(".empty")
