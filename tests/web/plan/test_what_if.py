"""What if: nothing is saved until it is taken over, and then it holds what was shown."""

import pytest

from server.domain.base.durations import parse_duration
from tests.factories import make_process, make_routine, make_segment
from tests.web.html import Page
from tests.web.shelf import keep, keep_run, kept

TALK = make_segment("s1", 120, lane="voice", said="Good evening. " + "Please settle in now. " * 20)
ROUTINE = make_routine(
    segments=(TALK, make_segment("s2", 200, lane="hands"), make_segment("s3", 280)),
    processes=(make_process(after="s1", before="s3", fallback="The reserve."),),
)


@pytest.fixture
def path(client):
    return keep(client, ROUTINE)


def try_out(client, path, **changes):
    return Page(client.get(f"{path}/plan/what-if", params=changes))


def column(page, number):
    """Figure -> its text now (2) or then (3)."""
    pairs = [each.split(" → ") for each in page.texts(".before-after dd")]
    names = page.texts(".before-after dt")
    return dict(zip(names, (pair[number - 2] for pair in pairs), strict=True))


CHANGES = {
    "sentence": {"sentence": "s1:1"},
    "shorter": {"longer": "s3", "seconds": "−40"},
    "swap": {"swap": "s1", "with": "s2"},
    "helper": {"help": "s2", "until": "s3"},
    "fallback": {"late": "p1", "how": "fall", "patience": "0:10", "cost": "0:20"},
    "wait": {"late": "p1", "how": "wait"},
}


@pytest.mark.parametrize("changes", CHANGES.values(), ids=CHANGES)
def test_a_change_is_shown_before_and_after_and_saves_nothing(client, path, changes):
    page = try_out(client, path, **changes)
    assert "→" in page.text("h1")
    assert len(page.all("svg.band")) == 2
    assert kept(client) == ROUTINE


def test_a_shorter_segment_finishes_earlier(client, path):
    page = try_out(client, path, longer="s3", seconds="-40")
    before, after = column(page, 2), column(page, 3)
    finish = "Typical finish"
    assert parse_duration(before[finish]) - parse_duration(after[finish]) == pytest.approx(
        41, abs=2
    )
    assert page.text(".headline .about").endswith("with “Segment s3” 0:40 shorter")


def test_several_changes_are_tried_together_and_taken_over_as_one_edit(client, path):
    changes = {"longer": "s3", "seconds": "-40", "sentence": "s1:0", "help": "s2", "until": "s3"}
    page = try_out(client, path, **changes)
    assert len(page.text(".headline .about").split("; ")) == 3
    assert client.post(f"{path}/plan/what-if", data=changes).status_code == 303
    taken = kept(client)
    assert taken.segments[2].duration.likely_s == 240
    assert not taken.segments[0].said.startswith("Good evening")
    assert taken.segments[1].helper
    client.post(f"{path}/undo")
    assert kept(client) == ROUTINE


def test_the_take_over_button_carries_every_change(client, path):
    page = try_out(client, path, longer="s3", seconds="-40")
    (form,) = [each for each in page.all("form") if each.get("method") == "post"
               and each.get("action").endswith("what-if")]  # fmt: skip
    sent = {each.get("name"): each.get("value") for each in form.cssselect("input")}
    assert sent == {"longer": "s3", "seconds": "-40"}


def test_what_was_shown_is_what_is_forecast_once_it_is_saved(client):
    routine = make_routine(segments=(make_segment("s1", 300), make_segment("s2", 290)))
    path = keep(client, routine)
    for _ in range(3):
        keep_run(client, routine)
    changes = {"longer": "s1", "seconds": "-30"}
    shown = column(try_out(client, path, **changes), 3)
    client.post(f"{path}/plan/what-if", data=changes)
    now = Page(client.get(f"{path}/plan/risk"))
    figures = dict(
        zip(now.texts(".chance-figures dt"), now.texts(".chance-figures dd"), strict=True)
    )
    assert figures.items() <= shown.items()
    assert now.text("h1").startswith(shown["Finish within 10:00"])


@pytest.mark.parametrize(
    ("changes", "field", "told"),
    [
        ({"sentence": "s1:99"}, "sentence", "no such sentence"),
        ({"sentence": "nonsense"}, "sentence", "from the list"),
        ({"longer": "gone", "seconds": "1"}, "longer", "no longer in the plan"),
        ({"longer": "s3", "seconds": "soon"}, "seconds", "Give a number."),
        ({"longer": "s3"}, "seconds", "Give a number."),
        ({"help": "s1"}, "help", "nothing to do"),
        ({"late": "p1", "how": "fall", "by": "x"}, "by", "no duration"),
        ({"start": "p1", "after": "gone"}, "start", "no longer in the plan"),
        ({"swap": "s1"}, "swap", "no longer in the plan"),
    ],
)
def test_a_change_that_cannot_be_is_told_beside_its_field(client, path, changes, field, told):
    page = try_out(client, path, **changes)
    assert page.status == 422
    assert told in page.fault(field)
    assert not page.all(".tried")


def test_a_start_that_closes_a_circle_is_told_with_its_members(client, path):
    page = try_out(client, path, start="p1", after="s3")
    assert page.status == 422
    assert "“Drip” would have to be ready before it starts" in page.text(".fault")


def test_taking_over_nothing_is_told(client, path):
    page = Page(client.post(f"{path}/plan/what-if", data={}))
    assert page.status == 422
    assert "nothing to use" in page.text(".fault")


def test_every_sentence_stands_with_what_it_costs(client, path):
    page = try_out(client, path)
    options = page.texts("#f-sentence option")
    assert options[1].startswith("Segment s1: Good evening. (")
    assert len(options) == 22


@pytest.mark.parametrize("index", ["²", "٣", "-1", "9" * 5000, "9" * 18, "", "1.0"])
def test_a_sentence_that_is_none_of_the_list_is_refused_beside_its_field(client, path, index):
    page = try_out(client, path, sentence=f"s1:{index}")
    assert page.status == 422
    assert page.fault("sentence")


def test_a_line_with_something_chosen_stands_open_and_no_other(client, path):
    page = try_out(client, path, longer="s3", seconds="soon")
    assert page.texts(".change-line[open] summary") == ["Make a segment longer or shorter"]
    assert not try_out(client, path).all(".change-line[open]")


def test_an_empty_form_says_what_to_choose_and_a_bare_page_does_not(client, path):
    page = try_out(client, path, sentence="", longer="", seconds="")
    assert page.status == 422
    assert any("Nothing is chosen yet" in told for told in page.texts(".fault"))
    page = try_out(client, path)
    assert (page.status, page.texts(".fault")) == (200, [])


@pytest.mark.parametrize(
    ("lead", "typed"),
    [
        ("longer", {"seconds": "-5"}),
        ("swap", {"with": "s2"}),
        ("help", {"until": "s3"}),
        ("start", {"after": "s2"}),
        ("late", {"how": "fall", "patience": "0:10"}),
    ],
)
def test_half_a_change_says_what_it_lacks(client, path, lead, typed):
    page = try_out(client, path, **{lead: ""}, **typed)
    assert page.status == 422
    assert "Choose" in page.fault(lead)
