"""Settings that do not go together, or need what is not installed, stop the start in a sentence."""

from importlib.util import find_spec

import pytest

from server import demands
from server.demands import ORGANISATION_NEEDS, PEOPLE_NEED, misspelt, require_together
from server.settings import Settings

ISSUER = "https://sign-in.example"


@pytest.mark.parametrize(
    ("settings", "why"),
    [
        (Settings(people=True, open=True), "choose one"),
        (Settings(oidc_issuer=ISSUER, oidc_client_id="bar"), "needs NINEFIFTY_PEOPLE=yes"),
        (Settings(people=True, oidc_issuer=ISSUER), "one of them is missing"),
        (Settings(people=True, oidc_client_id="bar"), "one of them is missing"),
    ],
)
def test_what_does_not_go_together_is_refused(settings, why):
    with pytest.raises(SystemExit, match=why):
        require_together(settings)


def test_what_goes_together_passes():
    require_together(Settings())
    require_together(Settings(people=True, oidc_issuer=ISSUER, oidc_client_id="bar"))


def test_packages_that_people_need_and_that_are_missing_are_named_at_the_start(monkeypatch):
    monkeypatch.setattr(demands, "find_spec", lambda name: None if name == "zxcvbn" else name)
    with pytest.raises(SystemExit, match=r"not installed: zxcvbn\..*\[school\]"):
        require_together(Settings(people=True))
    require_together(Settings())  # A bar alone does without.


def test_what_is_asked_for_are_modules_that_the_school_has():
    assert all(find_spec(name) for name in (*PEOPLE_NEED, *ORGANISATION_NEEDS))


@pytest.mark.parametrize(
    ("name", "meant"),
    [
        ("NINEFIFTY_PROT", "NINEFIFTY_PORT"),
        ("NINEFIFTY_BACKUP", "NINEFIFTY_BACKUPS"),
        ("ninefifty_people", "NINEFIFTY_PEOPLE"),
    ],
)
def test_a_variable_that_nearly_is_a_setting_is_told(name, meant):
    (said,) = misspelt({name: "x", "PATH": "/bin"})
    assert said == f"{name} is no setting, so it changes nothing. {meant} is one."


def test_what_a_keeper_of_containers_sets_is_not_taken_for_a_slip():
    # What Kubernetes hands to every container beside a service called "ninefifty".
    ours = ("NINEFIFTY_PORT", "NINEFIFTY_SERVICE_HOST", "NINEFIFTY_PORT_8000_TCP")
    assert [*misspelt(dict.fromkeys(ours, "x"))] == []
