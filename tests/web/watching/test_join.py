"""Opening a run to watchers, and joining it: from both sides, as two browsers."""

import asyncio
import re
import time
from contextlib import closing
from hashlib import sha256

import pytest
from fastapi import Request

from server.domain.base.errors import TooMany
from server.domain.runs.events import event_document
from server.domain.runs.joining import CODE_LASTS_MS, PASS_LASTS_MS
from server.store.watchers import who_joined
from server.web.frame.dependencies import handed_now_ms
from server.web.frame.throttle import TRIES, Throttle
from server.web.live.bus import HEARD_WITHIN_S, LiveBus
from server.web.watching.watchers import join_url
from tests.factories import make_events, make_routine
from tests.web.conftest import ORIGIN, beside, later
from tests.web.html import Page
from tests.web.shelf import all_that_is_kept, keep, keep_run, open_run


@pytest.fixture
def run_id(client):
    keep(client)
    return keep_run(client, make_routine(), events=())


@pytest.fixture
def coach(client):
    """Another browser on the same app, without the cookies of the first."""
    return beside(client)


def join(browser, code, name="Ada"):
    return browser.post("/join", data={"code": code, "name": name})


def refusal(answer, field="code"):
    page = Page(answer)
    return page.status, page.fault(field, "/join")


# Opening


def test_a_run_is_open_to_nobody_until_it_is_opened(client, run_id):
    page = Page(client.get(f"/runs/{run_id}/watchers"))
    assert page.all("#code") == []
    assert "not open to anybody" in page.text(".sheet p")


def test_an_open_run_shows_its_code_and_where_to_type_it(client, run_id):
    code = open_run(client, run_id)
    page = Page(client.get(f"/runs/{run_id}/watchers"))
    assert re.fullmatch("[A-Z0-9]{6}", code)
    assert page.text("section strong") == f"{ORIGIN}/join"
    image = client.get(page.one("img.code-image").get("src"))
    assert image.headers["content-type"] == "image/svg+xml"
    assert image.content.startswith(b"<?xml")


def test_the_run_can_be_opened_right_where_it_is_made(client, run_id):
    answer = client.post("/routines/r1/rehearse", data={"watchers": "yes"})
    assert answer.headers["location"].endswith("/watchers")
    assert len(Page(client.get(answer.headers["location"])).text("#code")) == 6


def test_a_run_that_is_gone_can_neither_be_opened_nor_scanned(client, run_id):
    code = open_run(client, run_id)
    client.post(f"/runs/{run_id}/delete")
    assert client.get(f"/runs/{run_id}/watchers").status_code == 410
    assert client.post(f"/runs/{run_id}/watchers").status_code == 410
    assert refusal(join(client, code))[0] == 422


# Joining


def test_with_the_code_and_a_name_one_may_watch(client, coach, run_id):
    answer = join(coach, open_run(client, run_id).lower())
    assert (answer.status_code, answer.headers["location"]) == (303, f"/runs/{run_id}/watch")
    assert coach.get(f"/runs/{run_id}/watch").status_code == 200
    assert "Ada" in Page(client.get(f"/runs/{run_id}/watchers")).text("#watching-now")


def test_without_a_code_one_is_sent_to_where_it_is_typed(coach, run_id):
    answer = coach.get(f"/runs/{run_id}/watch")
    assert (answer.status_code, answer.headers["location"]) == (303, "/join")
    assert coach.get(f"/api/runs/{run_id}/live").status_code == 403


def test_the_pass_is_out_of_reach_of_scripts_and_is_stored_nowhere(client, coach, run_id):
    answer = join(coach, open_run(client, run_id))
    (cookie,) = [c for c in answer.headers.get_list("set-cookie") if f"watch-{run_id}" in c]
    token = cookie.split("=", 1)[1].split(";")[0]
    assert {"HttpOnly", "SameSite=lax", "Path=/"} <= set(cookie.split("; "))
    kept = all_that_is_kept(client)
    assert sha256(token.encode()).hexdigest().encode() in kept
    assert token.encode() not in kept


def test_over_https_a_pass_is_bound_to_the_host(client, coach, run_id):
    code, coach.base_url = open_run(client, run_id), "https://tablet.lan"
    coach.headers["Origin"] = "https://tablet.lan"
    cookies = join(coach, code).headers.get_list("set-cookie")
    assert all(each.startswith("__Host-") and "Secure" in each.split("; ") for each in cookies)
    assert coach.get(f"/runs/{run_id}/watch").status_code == 200


def test_a_pass_admits_to_its_own_run_only(client, coach, run_id):
    other_id = keep_run(client, make_routine(), events=())
    join(coach, open_run(client, run_id))
    token = coach.cookies[f"ninefifty-watch-{run_id}"]
    coach.cookies.set(f"ninefifty-watch-{other_id}", token)
    assert coach.get(f"/runs/{other_id}/watch").status_code == 303


def test_a_pass_ends_after_a_week(client, coach, run_id):
    join(coach, open_run(client, run_id))
    later(client, PASS_LASTS_MS)
    assert coach.get(f"/runs/{run_id}/watch").status_code == 303


def test_the_name_is_kept_on_the_device(client, coach, run_id):
    join(coach, open_run(client, run_id), name="Zoë “the ear”")
    assert Page(coach.get("/join")).typed("name", "/join") == "Zoë “the ear”"


def test_a_browser_that_kept_the_page_does_not_show_it_to_one_who_joins_anew(client, coach, run_id):
    code = open_run(client, run_id)
    join(coach, code)
    assert coach.get(f"/runs/{run_id}/watch").headers["vary"] == "Cookie"
    join(coach, code, name="Ben")
    assert '"who": "Ben"' in coach.get(f"/runs/{run_id}/watch").text


def test_the_code_to_scan_stands_where_no_server_or_log_hears_it(coach):
    request = coach.build_request("GET", "/")
    scope = {"type": "http", "scheme": "http", "server": ("tablet.lan", 80), "path": "/"}
    asked = Request(scope | {"headers": request.headers.raw, "app": coach.app})
    assert join_url(asked, "A3C4E6") == f"{ORIGIN}/join#A3C4E6"


# What is refused


def test_a_wrong_code_is_told_beside_its_field_and_loses_nothing(client, coach, run_id):
    open_run(client, run_id)
    answer = join(coach, "AAAAAA")
    assert refusal(answer) == (
        422, "No run opens to this code. Compare it with the presenter’s.",
    )  # fmt: skip
    assert Page(answer).typed("name", "/join") == "Ada"


def test_code_and_name_left_empty_are_both_told(coach):
    answer = join(coach, " ", " ")
    assert "Type the code" in refusal(answer)[1]
    assert "Give the name" in refusal(answer, "name")[1]


def test_an_expired_code_says_so_and_who_had_joined_stays(client, coach, run_id):
    code = open_run(client, run_id)
    join(coach, code)
    later(client, CODE_LASTS_MS)
    assert refusal(join(coach, code))[1].startswith("This code has expired.")
    assert coach.get(f"/runs/{run_id}/watch").status_code == 200
    assert Page(client.get(f"/runs/{run_id}/watchers")).all("#code") == []


def test_a_new_code_takes_the_place_of_the_old_and_who_had_joined_stays(client, coach, run_id):
    old = open_run(client, run_id)
    join(coach, old)
    new = open_run(client, run_id)
    assert new != old
    assert refusal(join(coach, old))[0] == 422
    assert coach.get(f"/runs/{run_id}/watch").status_code == 200


def test_a_closed_run_lets_nobody_in_and_shuts_out_who_was(client, coach, run_id):
    code = open_run(client, run_id)
    join(coach, code)
    client.post(f"/runs/{run_id}/watchers/close")
    assert coach.get(f"/runs/{run_id}/watch").status_code == 303
    assert refusal(join(coach, code))[0] == 422


def test_a_right_code_opens_though_many_wrong_ones_came_from_the_same_address(
    client, coach, run_id
):
    code = open_run(client, run_id)
    for _ in range(TRIES):
        join(coach, "AAAAAA")
    assert join(coach, code).status_code == 303


def test_where_too_many_wait_to_try_a_code_one_is_told_to_come_again(client, coach, run_id):
    code = open_run(client, run_id)
    throttle = Throttle(tries=0, clock=lambda: 0.0)
    client.app.state.wrong_codes = throttle
    while True:
        try:
            throttle.turn("testclient")
        except TooMany:
            break
    status, message = refusal(join(coach, code))
    assert (status, message[:14]) == (429, "Too many try c")


def test_marks_are_taken_from_an_address_that_guessed(client, coach, run_id):
    for _ in range(TRIES):
        join(coach, "AAAAAA")
    body = {"events": [event_document(event) for event in make_events({"s1": 61})]}
    assert client.post(f"/api/runs/{run_id}/events", json=body).status_code == 200


@pytest.fixture
def even(client):
    """The even clock by which the app tells who was heard lately; a test moves it."""
    clock = {"s": 0.0}
    with closing(asyncio.new_event_loop()) as loop:
        client.app.state.live = LiveBus(loop, now_s=lambda: clock["s"])
        yield clock


def test_a_device_that_is_lost_no_longer_counts_and_one_that_speaks_does(
    client, coach, run_id, even
):
    # What is live goes by the server's own wall clock.
    client.app.dependency_overrides[handed_now_ms] = lambda: time.time_ns() // 1_000_000
    join(coach, open_run(client, run_id))
    with client.app.state.database.reading() as session:
        (ada,) = who_joined(session, run_id)
    bus = client.app.state.live
    with bus.following(run_id, "Ada", f"{ada.key}.phone"), bus.following(run_id, "Ada", "lost"):
        even["s"] = HEARD_WITHIN_S + 1
        told = coach.post(f"/api/runs/{run_id}/watching?device=phone")
        pulse = client.post(f"/api/runs/{run_id}/pulse", json={"elapsed_ms": None})
    assert told.json() == pulse.json() == {"watching": 1}
