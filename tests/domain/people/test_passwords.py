"""What a password must be: length and what is tried first, and nothing else."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from zxcvbn.frequency_lists import FREQUENCY_LISTS

from server.domain.people.passwords import LEAST, MOST, is_common, password_faults, settled
from server.domain.people.person import LONGEST_SIGN_IN, person_faults, sign_in_key


def test_a_password_has_twelve_characters_at_least_and_128_at_most():
    good = "kx" + "vm 7q!ö" * 20
    assert password_faults(good[: LEAST - 1])[0].message.startswith("Give at least 12")
    assert [password_faults(good[:length]) for length in (LEAST, MOST)] == [[], []]
    assert password_faults(good[: MOST + 1])[0].message == "Keep it to 128 characters."
    assert password_faults("")[0].message == "Give a password."


@pytest.mark.parametrize(
    "password",
    [
        "password1234",
        "Password!2024",
        "p4ssw0rd p4ssw0rd",
        "qwertyuiop12",
        "QWERTYUIOPASDFGHJKL",
        "123456789012",
        "098765432109",
        "aaaaaaaaaaaa",
        "abcabcabcabc",
        "1q2w3e4r5t6z",
        "iloveyou1234",
        "espresso-espresso",
        "ninefifty2026!",
        "adalove ada 1990",
        "bar.example.99",
    ],
)
def test_what_is_tried_first_is_refused(password):
    assert is_common(password, about=["Adalove Ada", "ada@bar.example"])


def test_the_three_thousand_commonest_are_refused_however_they_are_lengthened():
    listed = FREQUENCY_LISTS["passwords"]
    assert [each for each in listed if len(each) >= LEAST and not is_common(each.title())] == []
    letters = [each for each in listed[:3000] if each.isalpha() and len(each) >= 4]
    made = [each + "!2024567"[: max(2, LEAST - len(each))] for each in letters]
    made += [each.capitalize() * 3 for each in letters]
    assert len(made) > 4000
    assert [each for each in made if not password_faults(each)] == []


def test_a_name_made_for_it_makes_no_judgement_long():
    # By trying one way after the other to part it into words this takes years.
    assert not is_common("a" * 120 + "x9 kettle", about=["aaa aaaa aaaaa", "me"])
    assert is_common("a" * 100 + "12", about=["aaa aaaa aaaaa", "me"])


def test_many_digits_beside_a_common_word_are_not_common():
    assert (is_common("fish 84719503"), is_common("fish 8471950361472")) == (True, False)


@pytest.mark.parametrize(
    "password",
    [
        "three warm oranges",
        "            .... .... x9",
        "горшок на третьей полке",
        "朝の珈琲は苦くて甘い夢の味がする",
        "correct horse battery staple",
        "onlysmallletters",
        "8471950263471",
    ],
)
def test_any_signs_will_do_blanks_and_scripts_included(password):
    assert password_faults(password, about=["Ada", "ada@bar.example"]) == []


@given(st.text(max_size=200), st.text(max_size=40))
def test_whatever_is_typed_is_judged_and_hashed(password, name):
    assert len(password_faults(password, (name,))) <= 1
    assert settled(password) == settled(password)
    person_faults(name, password)


def test_a_letter_is_the_same_however_it_is_composed():
    assert settled("cafe" + chr(0x301)) == settled("caf" + chr(0xE9))
    assert sign_in_key("CAFE" + chr(0x301)) == sign_in_key("caf" + chr(0xE9))


def test_a_sign_in_name_is_there_short_and_can_be_seen():
    faults = [person_faults("Ada", name) for name in ("", "  ", "a" * 101, "a\nb", "a" * 100)]
    assert [bool(each) for each in faults] == [True, True, True, True, False]
    assert LONGEST_SIGN_IN == 100
