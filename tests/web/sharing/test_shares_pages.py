"""The pages of a routine's people, of teams and of the house, and what following a run comes to."""

import logging
from contextlib import ExitStack
from dataclasses import replace
from types import SimpleNamespace

import pytest

from server.keeping.nightly import LastCopy
from server.store.people.invitations import accept_invitation
from server.store.people.persons import end_person, make_person, set_admin
from server.store.sharing.passes import key_of_person
from server.store.sharing.shares import give_share, grants_on, has_owner
from server.store.sharing.teams import put_member
from server.store.watchers import open_to_watchers
from server.web.script import declaration
from server.web.sharing import house
from tests.bucket_server import ADDRESS
from tests.factories import (
    NOW_MS,
    RULES,
    make_event,
    make_events,
    make_routine,
    make_segment,
)
from tests.web.html import Page
from tests.web.sharing.world import READ, SHOWN
from tests.web.shelf import keep, keep_run
from tests.web.watching.test_passes import remark, send, why_not

HERE = "/routines/r1/people"


@pytest.fixture
def owner(own_world):
    return own_world.browsers["owner"]


@pytest.fixture
def may(own_app, own_world):
    """What somebody may do with the routine, as it stands in the database."""

    def asks(name):
        with own_app.app.state.database.reading() as session:
            return grants_on(session, own_world.persons[name], "r1")

    return asks


def test_an_owner_adds_somebody_by_the_name_they_sign_in_by(owner, may):
    added = owner.post(HERE, data={"sign_in": "Stranger", "standing": "coach"})
    assert (added.status_code, "study" in may("stranger")) == (303, True)
    assert "Stranger" in owner.get(HERE).text


@pytest.mark.parametrize(
    ("typed", "field"),
    [
        ({"sign_in": "nobody", "standing": "coach"}, "sign_in"),
        ({"sign_in": "coach", "standing": "viewer"}, "sign_in"),
        ({"sign_in": "stranger", "standing": "king"}, "standing"),
    ],
)
def test_what_is_wrong_with_an_addition_is_said_beside_the_field(owner, typed, field):
    refused = owner.post(HERE, data=typed)
    assert refused.status_code == 422
    assert typed["sign_in"] in refused.text
    assert f"add-{field}" in refused.text


def test_who_was_taken_away_comes_back_by_undo(owner, own_world, may):
    coach = own_world.persons["coach"]
    taken = owner.post(f"{HERE}/{coach}/take")
    assert may("coach") == set()
    undo = Page(owner.get(taken.headers["location"])).sent_by(f"{HERE}/{coach}")
    owner.post(f"{HERE}/{coach}", data=undo)
    assert "study" in may("coach")


def test_the_only_owner_cannot_leave_and_is_told_so(owner):
    assert "Only you own it" in owner.get(HERE).text
    assert owner.post(f"{HERE}/leave").status_code == 409


def test_who_has_no_account_is_shown_the_way_that_there_is_on_that_page(owner):
    made = owner.post("/teams", data={"name": "Tide"}).headers["location"]
    told = {
        url: Page(owner.post(url, data={"sign_in": "nobody", "standing": "coach"})).fault("sign_in")
        for url in (HERE, f"{made}/members")
    }
    assert "the button below" in told[HERE]
    assert "by an admin" in told[f"{made}/members"]


def test_an_invitation_shares_the_routine_with_the_account_it_makes(own_app, owner, own_world):
    shown = owner.post(f"{HERE}/invite", data={"standing": "viewer"})
    secret = Page(shown).one("#secret-link").value.split("#")[1]
    with own_app.app.state.database.writing() as session:
        new = make_person(session, "Cleo", "cleo", NOW_MS)
        accept_invitation(session, secret, new, NOW_MS)
        assert "read" in grants_on(session, new.id, "r1")


def secret_for(owner, standing):
    shown = owner.post(f"{HERE}/invite", data={"standing": standing})
    return Page(shown).one("#secret-link").value.split("#")[1]


def test_who_has_an_account_takes_an_invitation_with_it(own_world, owner, may):
    stranger, secret = own_world.browsers["stranger"], secret_for(owner, "viewer")
    page = Page(stranger.post("/invited", data={"secret": secret}))
    assert page.text("form.actions button") == "Take it with this account"
    taken = stranger.post("/invited/account", data={"secret": secret, "take": "yes"})
    assert (taken.headers["location"], "read" in may("stranger")) == ("/", True)
    assert stranger.get("/account").status_code == 200
    assert stranger.post("/invited", data={"secret": secret}).status_code == 410


def test_an_invitation_lowers_nobody_who_stands_to_the_routine(own_world, owner, may):
    secret, before = secret_for(owner, "viewer"), may("owner")
    refused = owner.post("/invited/account", data={"secret": secret, "take": "yes"})
    assert (refused.status_code, may("owner")) == (409, before)
    # It was not used up.
    assert owner.post("/invited", data={"secret": secret}).status_code == 200


def test_what_nobody_owns_when_an_account_is_ended_is_the_admins(own_world, owner, may):
    admin = own_world.browsers["admin"]
    team = owner.post("/teams", data={"name": "Tide"}).headers["location"]
    admin.post(f"/people/{own_world.persons['owner']}/end")
    assert "own" in may("admin")
    assert admin.get(team).status_code == 200
    assert came_to(admin) == {SHOWN["name"], RULES.name, "Tide", "Zqteam"}
    admin.post(f"/people/{own_world.persons['owner']}/back")
    # A rule sheet has one holder: it went back.
    assert came_to(admin) == {SHOWN["name"], "Tide", "Zqteam"}


def came_to(browser):
    """What the page of people says came to somebody from accounts that were ended."""
    return set(Page(browser.get("/people")).texts("[id^=inherited-] .row-title"))


def test_only_the_heir_is_told_the_names_of_what_they_inherited(own_app, own_world):
    admin, coach = own_world.persons["admin"], own_world.browsers["coach"]
    with own_app.app.state.database.writing() as session:
        set_admin(session, own_world.persons["coach"], True)
        set_admin(session, admin, True)
    ended = own_world.persons["owner"]
    own_world.browsers["admin"].post(f"/people/{ended}/end")
    assert came_to(coach) == set()
    assert "went to Admin" in Page(coach.get("/people")).text(f"#person-{ended} .about")


def test_a_team_that_only_an_ended_account_would_lead_cannot_be_left(own_app, own_world, owner):
    team_id, other = own_world.ids["team_id"], own_world.persons["coach"]
    with own_app.app.state.database.writing() as session:
        put_member(session, team_id, other, leads=True)
        end_person(session, other, NOW_MS)
    assert "Only you lead it" in owner.get(f"/teams/{team_id}").text
    assert owner.post(f"/teams/{team_id}/leave").status_code == 409


def test_what_another_owns_still_is_no_admins_when_an_account_is_ended(own_world, owner, may):
    owner.post(HERE, data={"sign_in": "stranger", "standing": "owner"})
    own_world.browsers["admin"].post(f"/people/{own_world.persons['owner']}/end")
    assert may("admin") == set()


def test_a_team_whose_leader_is_no_more_owns_nothing_alone(own_app, own_world, owner, may):
    team = owner.post("/teams", data={"name": "Tide"}).headers["location"]
    owner.post(f"{HERE}/team", data={"team": team.removeprefix("/teams/"), "standing": "viewer"})
    with own_app.app.state.database.writing() as session:
        end_person(session, own_world.persons["owner"], NOW_MS)
        assert not has_owner(session, "r1")


@pytest.mark.parametrize("where", ["/sign-out", "/account/devices/others/end"])
def test_what_a_person_follows_closes_when_they_sign_out(own_app, own_world, where):
    coach, bus = own_world.browsers["coach"], own_app.app.state.live
    keys = (key_of_person(own_world.persons[name]) for name in ("coach", "owner"))
    with ExitStack() as follows:
        own, others = (
            own_app.portal.call(follows.enter_context, bus.following("one", "", f"{key}.phone"))
            for key in keys
        )
        coach.post(where)
        assert own_app.portal.call(own.next, 20) is None
        assert others in bus._of("one")
        own_app.portal.call(follows.close)


@pytest.mark.parametrize(("who", "place"), [("viewer", "plan"), ("judge", "declaration")])
def test_a_routine_opens_where_whoever_opens_it_may_look(own_world, who, place):
    browser = own_world.browsers[who]
    assert browser.get("/routines/r1").headers["location"] == f"/routines/r1/{place}"
    page = browser.get(f"/routines/r1/{place}")
    assert page.status_code == 200
    assert "/rehearse" not in page.text


def test_a_page_offers_a_coach_nothing_that_would_be_refused(own_world):
    coach = own_world.browsers["coach"]
    page = coach.get("/routines/r1/plan?edit=segment-s1")
    assert page.status_code == 200
    forms = Page(page).all('form[method="post"]')
    assert forms
    assert [form for form in forms if "data-shut" not in form.attrib] == []


def test_a_coach_is_not_offered_to_name_or_delete_a_run(own_world):
    here = f"/runs/{own_world.ids['run_id']}"
    shown = {who: own_world.browsers[who].get(here).text for who in ("owner", "coach")}
    assert {who: "Name, notes, delete" in text for who, text in shown.items()} == {
        "owner": True,
        "coach": False,
    }


def test_who_may_not_see_runs_is_told_nothing_that_runs_taught(own_app, own_world):
    said = " ".join(["plum"] * 60) + "."
    talk = make_routine(
        routine_id="r2", segments=(make_segment("s1", said=said, lane="voice"), "s2")
    )
    keep(own_app, talk)
    keep_run(own_app, talk, make_events({"s1": 45}, total_s=120))
    with own_app.app.state.database.writing() as session:
        for name in ("owner", "viewer"):
            give_share(session, "r2", own_world.persons[name], name, NOW_MS)
    own_world.browsers["owner"].get("/routines/r2/plan/chance")  # From here on it is known.
    taught = {
        "plan?open=segment-s1": ("in 100", "as you run it", "You take", ">You<", "has measured"),
        "script": ("Learnt from", "has measured"),
    }
    told = {
        who: [
            each
            for place, words in taught.items()
            for each in words
            if each in own_world.browsers[who].get(f"/routines/r2/{place}").text
        ]
        for who in ("owner", "viewer")
    }
    assert told["owner"] == ["in 100", "as you run it", "You take", ">You<", "Learnt from"]
    assert told["viewer"] == []


def test_who_only_reads_a_script_is_not_told_to_write_in_it(own_world):
    told = {
        who: Page(own_world.browsers[who].get("/routines/r1/script")).text(".script-side")
        for who in ("owner", "coach")
    }
    assert "Touch the text to write" in told["owner"]
    assert "Write in it" in told["owner"]
    assert "Touch a word that stands out" in told["coach"]
    assert "write" not in told["coach"].casefold()


def test_a_judge_follows_an_open_run_and_reads_no_word_of_the_script(own_app, own_world):
    judge, run_id = own_world.browsers["judge"], own_world.ids["run_id"]
    watch = f"/runs/{run_id}/watch"
    assert judge.get(watch).headers["location"] == "/join"
    with own_app.app.state.database.writing() as session:
        open_to_watchers(session, run_id, NOW_MS)
    let_in = judge.get(watch)
    assert let_in.headers["location"] == watch
    shown = judge.get(watch).text
    assert SHOWN["segment"] in shown
    assert [word for word in READ.values() if word in shown] == []
    coach = own_world.browsers["coach"]
    coach.get(watch)
    assert READ["said"] in coach.get(watch).text


@pytest.fixture
def open_run(own_app, own_world):
    """The id of a run that is open to watchers, and its code."""
    run_id = own_world.ids["run_id"]
    with own_app.app.state.database.writing() as session:
        return run_id, open_to_watchers(session, run_id, NOW_MS).code


def remarks_seen(browser, run_id):
    """The ids of remarks that somebody is told, on the page and by asking for the log."""
    page = browser.get(f"/runs/{run_id}/watch").text
    log = browser.get(f"/api/runs/{run_id}/events").json()["events"]
    told = {each["id"] for each in log if "who" in each}
    assert all(f'"{each}"' in page for each in told)
    return told | {each for each in ("n1", "n2") if f'"{each}"' in page}


@pytest.mark.parametrize("by_code", [False, True])
def test_a_judge_is_told_no_remarks_but_their_own(own_world, open_run, by_code):
    (run_id, code), coach, judge = open_run, *map(own_world.browsers.get, ("coach", "judge"))
    if by_code:
        judge.post("/join", data={"code": code, "name": "Judge"})
    for browser in (coach, judge):
        browser.get(f"/runs/{run_id}/watch")
    send(coach, run_id, remark("n1", who="Coach", device="phone"))
    sent = send(judge, run_id, remark("n2", who="Judge", device="pad"))
    assert sent.status_code == 200
    assert remarks_seen(coach, run_id) == {"n1", "n2"}
    assert remarks_seen(judge, run_id) == {"n2"}
    assert READ["said"] not in judge.get(f"/runs/{run_id}/watch").text


def test_a_pass_by_standing_ends_with_it_and_is_no_other_persons(own_app, own_world, owner):
    coach, run_id = own_world.browsers["coach"], own_world.ids["run_id"]
    coach.get(f"/runs/{run_id}/watch")
    watching = f"/api/runs/{run_id}/watching"
    assert coach.get(watching).status_code == 200
    viewer = own_world.browsers["viewer"]
    viewer.cookies.update({name: value for name, value in coach.cookies.items() if "watch" in name})
    assert viewer.get(watching).status_code == 403
    owner.post(f"{HERE}/{own_world.persons['coach']}/take")
    assert coach.get(watching).status_code == 403


def test_a_coach_marks_nothing_and_remarks_under_their_own_name(own_world):
    coach, run_id = own_world.browsers["coach"], own_world.ids["run_id"]
    coach.get(f"/runs/{run_id}/watch")
    mark = replace(make_event("m1", "done", segment_id="s2"), device_id="phone")
    refused = send(coach, run_id, mark)
    assert why_not(refused) == (422, "Who watches cannot mark “done”.")
    assert send(coach, run_id, remark("n1", who="Coach", device="phone")).status_code == 200


def test_a_team_is_made_given_the_routine_and_dissolved(owner, own_world, may):
    made = owner.post("/teams", data={"name": "Tide"}).headers["location"]
    owner.post(f"{made}/members", data={"sign_in": "stranger"})
    team_id = made.removeprefix("/teams/")
    owner.post(f"{HERE}/team", data={"team": team_id, "standing": "viewer"})
    assert "read" in may("stranger")
    assert "1 other member stands as viewer" in Page(owner.get(HERE)).text("#team .about")
    assert SHOWN["name"] in own_world.browsers["stranger"].get(made).text
    owner.post(f"{made}/dissolve")
    assert (may("stranger"), owner.get(made).status_code) == (set(), 404)


def test_whose_account_is_ended_is_told_so_and_nothing_is_handed_on_to_them(
    own_app, own_world, owner
):
    made = owner.post("/teams", data={"name": "Tide"}).headers["location"]
    owner.post(f"{made}/members", data={"sign_in": "coach"})
    coach = own_world.persons["coach"]
    offered = f"#hand-on-to option[value='{coach}']"
    assert Page(owner.get(HERE)).all(offered) != []
    with own_app.app.state.database.writing() as session:
        end_person(session, coach, NOW_MS)
    shown = Page(owner.get(HERE))
    assert "Account ended · was Coach" in shown.text(f"#person-{coach} .about")
    assert "Account ended" in Page(owner.get(made)).text(f"#member-{coach} .about")
    assert shown.all(offered) == []
    assert owner.post(f"{HERE}/hand-on", data={"to": coach}).status_code == 422


def test_the_house_tells_an_admin_sizes_and_no_names_of_routines(own_world):
    shown = own_world.browsers["admin"].get("/house")
    assert shown.status_code == 200
    assert "Owner" in shown.text
    assert SHOWN["name"] not in shown.text
    # What may need the admin stands before a list of everybody.
    assert Page(shown).texts("section h2")[:2] == ["Disk and jobs", "Errors"]


def test_the_house_says_first_that_the_disk_is_nearly_full(own_world, monkeypatch):
    admin = own_world.browsers["admin"]
    assert Page(admin.get("/house")).all(".notice") == []
    monkeypatch.setattr(house, "free_bytes", lambda _: 2_100_000)
    assert "has 2.1 MB left. Make room there" in Page(admin.get("/house")).text(".notice")


def test_the_house_says_what_the_last_nightly_copy_leaves_out(own_app, own_world, monkeypatch):
    admin, nightly = own_world.browsers["admin"], own_app.app.state.nightly
    assert "none here yet" in Page(admin.get("/house")).text("section:has(#disk-title) dl")
    left = "2 files in s3://bar/files: have that store keep copies too"
    monkeypatch.setattr(nightly, "last", lambda: LastCopy(NOW_MS, left))
    assert f", without {left}" in Page(admin.get("/house")).text("section:has(#disk-title) dl")
    assert f"nightly copy is without {left}." in Page(admin.get("/recordings")).text(".lead")
    # Where things lie is the house's, not everybody's who records.
    assert left not in own_world.browsers["owner"].get("/recordings").text


def test_the_house_tells_what_failed_without_what_was_in_it(own_app, own_world):
    record = logging.makeLogRecord({"msg": "It failed: %s, %d %% of %r", "args": ("Zqname", 1, 2)})
    own_app.app.state.faults.emit(record)
    shown = Page(own_world.browsers["admin"].get("/house"))
    assert "It failed: …, … % of …" in shown.texts("h3")


def test_the_house_asks_the_database_how_large_it_is(own_app, own_world, monkeypatch):
    engine = own_app.app.state.database.engine
    monkeypatch.setattr(type(engine), "size_bytes", lambda _: 7_300_000)
    shown = own_world.browsers["admin"].get("/house")
    assert "7.3 MB" in Page(shown).text("dl.figures")


def test_the_house_tells_where_files_lie_and_that_their_store_is_away(
    own_app, own_world, bucket, monkeypatch
):
    lent = own_app.app.state.settings
    monkeypatch.setattr(lent, "now", replace(lent.now, files=ADDRESS))
    bucket.objects["ninefifty/music/1f/000000000000000"] = bytes(7_300_000)
    admin = own_world.browsers["admin"]
    assert f"7.3 MB, in {ADDRESS}" in Page(admin.get("/house")).text("dl.figures")
    left = lent.recordings_folder / "2e"
    left.parent.mkdir(exist_ok=True)
    left.write_bytes(b"sound")
    assert "1 file lies in the data folder" in Page(admin.get("/house")).text(".notice")
    left.unlink()
    bucket.is_away = True
    shown = Page(admin.get("/house"))
    assert "store of files cannot be reached" in shown.text(".notice")
    assert f"cannot be told just now, in {ADDRESS}" in shown.text("dl.figures")


def test_a_page_that_is_not_open_says_so_and_not_that_nothing_was_changed(own_world):
    shown = own_world.browsers["judge"].get("/routines/r1/script")
    assert (shown.status_code, "is not open to you" in shown.text) == (403, True)
    assert "Nothing was changed" not in shown.text


def test_a_judge_is_not_told_what_is_to_settle_where_they_cannot(own_world, monkeypatch):
    monkeypatch.setattr(
        declaration, "checked", lambda *_: SimpleNamespace(open_points=7, untold=())
    )
    declared = {
        name: own_world.browsers[name].get("/routines/r1/declaration").text
        for name in ("coach", "judge")
    }
    assert {name: "still to settle" in text for name, text in declared.items()} == {
        "coach": True,
        "judge": False,
    }


def test_without_accounts_there_are_no_people_of_a_routine(client):
    assert client.get("/teams").status_code == 404
    assert client.get("/house").status_code == 404


@pytest.mark.parametrize("who", ["coach", "judge"])
def test_who_follows_runs_is_led_to_the_one_that_is_open(own_app, own_world, who):
    browser, run_id = own_world.browsers[who], own_world.ids["run_id"]
    way = f"a[href='/runs/{run_id}/watch']"
    # A judge is led on from a routine to its declaration.
    places = ("/", "/routines/r1", "/routines/r1/declaration")
    browser.follow_redirects = True
    assert [Page(browser.get(place)).all(way) for place in places] == [[], [], []]
    with own_app.app.state.database.writing() as session:
        open_to_watchers(session, run_id, NOW_MS)
    for place in places:
        assert Page(browser.get(place)).one(way).text == "Follow the run"
    assert "needs no code" in own_world.browsers["owner"].get(f"/runs/{run_id}/watchers").text
    led = browser.get(f"/runs/{run_id}/watch")
    assert (led.status_code, led.url.path) == (200, f"/runs/{run_id}/watch")


def test_a_viewer_is_led_to_no_run_that_is_open(own_app, own_world):
    with own_app.app.state.database.writing() as session:
        open_to_watchers(session, own_world.ids["run_id"], NOW_MS)
    for place in ("/", "/routines/r1/declaration"):
        page = Page(own_world.browsers["viewer"].get(place))
        assert page.all("a[href$='/watch']") == []


@pytest.mark.parametrize(("who", "is_said"), [("owner", True), ("coach", True), ("judge", False)])
def test_nobody_is_told_that_no_other_sees_it_who_is_not_shown_all(own_world, who, is_said):
    shown = own_world.browsers[who].get(HERE).text
    assert ("Nobody else sees it" in shown, "Viewer" in shown) == (is_said, is_said)
