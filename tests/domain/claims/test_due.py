"""Descriptors due in a run: which, where, and that their keys outlive edits of the script."""

from dataclasses import replace

from server.domain.claims.cases import case_of
from server.domain.claims.due import due_claims
from server.domain.claims.ledger import ledger
from server.domain.routine.drink import Drink
from server.domain.routine.plan import Plan
from server.domain.routine.routine import Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet

DRINK = Drink("d1", "Harbour Light", descriptors=("pear", "black tea"))


def due(*said, drinks=(DRINK,)):
    segments = tuple(
        Segment(f"s{n}", f"Part {n}", Spread(60), said=text, drink_id="d1")
        for n, text in enumerate(said, 1)
    )
    routine = Routine("r", "Evening", "house", drinks=drinks, segments=segments)
    return due_claims(routine, ledger(case_of(Plan(routine, RuleSheet("house", "House")))))


def test_a_planned_descriptor_is_due_where_the_script_says_it():
    first, second = due("Welcome.", "You will find pear in it.", "On the finish, black tea.")
    assert (first.label, first.segment_ids) == ("pear", ("s2",))
    assert (second.label, second.segment_ids) == ("black tea", ("s3",))


def test_one_that_the_script_forgets_is_due_in_every_segment_about_its_drink():
    pear = due("Welcome.", "On the finish, black tea.")[0]
    assert (pear.is_scripted, pear.segment_ids) == (False, ("s1", "s2"))


def test_its_key_stays_when_the_script_begins_to_say_it():
    assert due("Welcome.")[0].key == due("It tastes of pears.")[0].key


def test_a_descriptor_that_is_only_in_the_script_is_due_too():
    labels = [each.label for each in due("It tastes of pear and cinnamon.")]
    assert labels == ["pear", "black tea", "cinnamon"]


def test_what_is_denied_is_not_due():
    assert "bitterness" not in " ".join(each.label for each in due("There is no bitterness."))


def test_the_same_word_of_two_drinks_is_due_once_for_each():
    other = replace(DRINK, id="d2", name="Low Tide", descriptors=("pear",))
    keys = [each.key for each in due("Pear.", drinks=(DRINK, other)) if each.label == "pear"]
    assert len(keys) == len(set(keys)) == 2
