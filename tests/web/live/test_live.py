"""The live stream over real connections: what follows, resumes, is refused and ends."""

import json
import threading
import time
from contextlib import ExitStack, contextmanager

import httpx
import pytest

from server.domain.runs.events import event_document
from server.domain.runs.joining import MOST_WATCHING
from tests import asking
from tests.asking import PATIENCE_S
from tests.browser.desk import Desk
from tests.factories import make_events
from tests.real_server import RealServer

LOG = [event_document(event) for event in make_events({"s1": 61, "s2": 120}, total_s=300)]


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    with RealServer(tmp_path_factory.mktemp("live") / "data", demo=False) as running:
        yield running


@pytest.fixture(scope="module")
def desk(server):
    with Desk(server.url) as at_the_desk:
        yield at_the_desk


@pytest.fixture
def run_id(desk):
    routine_id = desk.routine("Evening set", {"Greet": "0:20"})
    return desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]


class Coach:
    """One who watches: a client that was let in."""

    def __init__(self, server, desk, run_id):
        page = desk.post(f"/runs/{run_id}/watchers").text
        code = page.split('id="code">', 1)[1].split("<", 1)[0]
        self.client = asking.Client(
            base_url=server.url, headers={"Origin": server.url}, verify=False
        )
        self.client.post("/join", data={"code": code, "name": "Ada"})
        self.path = f"/api/runs/{run_id}/live"

    def __enter__(self):
        return self

    def __exit__(self, *_):
        self.client.close()

    @contextmanager
    def live(self, device="one", **headers):
        with self.client.stream(
            "GET", self.path, params={"device": device}, headers=headers
        ) as answer:
            yield Stream(answer)


class Stream:
    """An open stream, read event by event."""

    def __init__(self, answer):
        self.answer = answer
        self.status = answer.status_code
        self._lines = answer.iter_lines()

    def next(self, kind=None):
        """The next event, or the next of a kind: (kind, id, data). None at the end."""
        fields = {}
        for line in self._lines:
            if line:
                name, _, value = line.partition(": ")
                fields[name] = value
            elif fields.get("event") and kind in (None, fields["event"]):
                return fields["event"], fields.get("id"), json.loads(fields["data"])
            else:
                fields = {}
        return None

    def marks(self, number):
        return [self.next("mark") for _ in range(number)]


def ids(marks):
    return [data["event"]["id"] for _, _, data in marks]


def sent_ids(run_id, events):
    return [f"{run_id}-{event['id']}" for event in events]


def send(desk, run_id, events):
    """Send the events of the log, their ids made this run's own."""
    made = [{**event, "id": f"{run_id}-{event['id']}"} for event in events]
    answer = desk.post(f"/api/runs/{run_id}/events", json={"events": made})
    assert answer.status_code == 200


def wait_until(what):
    give_up = time.monotonic() + PATIENCE_S
    while not what():
        assert time.monotonic() < give_up
        time.sleep(0.02)


@pytest.fixture
def coach(server, desk, run_id):
    with Coach(server, desk, run_id) as admitted:
        yield admitted


def test_one_sees_what_was_marked_before_and_then_what_is_marked(desk, coach, run_id):
    send(desk, run_id, LOG[:2])
    with coach.live() as stream:
        assert ids(stream.marks(2)) == sent_ids(run_id, LOG[:2])
        assert stream.next()[0] == "ping"
        send(desk, run_id, LOG[2:])
        assert ids(stream.marks(2)) == sent_ids(run_id, LOG[2:])


def test_a_mark_carries_when_the_server_had_it(desk, coach, run_id):
    before_ms = time.time() * 1000
    with coach.live() as stream:
        stream.next("ping")
        send(desk, run_id, LOG[:1])
        _, _, data = stream.next("mark")
    assert before_ms - 1 <= data["received_ms"] <= time.time() * 1000
    assert data["event"]["kind"] == "start"


def test_one_goes_on_after_what_one_had_seen(desk, coach, run_id):
    send(desk, run_id, LOG)
    with coach.live() as stream:
        _, last_id, _ = stream.marks(2)[-1]
    with coach.live(**{"Last-Event-ID": last_id}) as stream:
        assert ids(stream.marks(2)) == sent_ids(run_id, LOG[2:])


@pytest.mark.parametrize("nonsense", ["-5", "x", "9" * 5000, "²", "٣"])
def test_a_place_that_makes_no_sense_harms_nothing(desk, coach, run_id, nonsense):
    with coach.live(**{"Last-Event-ID": nonsense.encode()}) as stream:
        assert (stream.status, stream.next()[0]) == (200, "ping")


@pytest.mark.parametrize("after", ["-1", "9" * 40, "9" * 5000, "²", "x"])
def test_an_address_with_no_place_in_a_log_is_refused(coach, after):
    answer = coach.client.get(coach.path, params={"after": after})
    assert (answer.status_code, answer.json()["error"]["code"]) == (422, "invalid")


def test_what_was_sent_twice_is_told_once(desk, coach, run_id):
    with coach.live() as stream:
        stream.next("ping")
        send(desk, run_id, LOG[:2])
        send(desk, run_id, LOG[:3])
        assert ids(stream.marks(3)) == sent_ids(run_id, LOG[:3])


def test_nothing_is_lost_or_doubled_while_one_connects_in_the_midst_of_marks(desk, coach, run_id):
    marks = [
        {**LOG[0], "id": f"m{number:03}", "seq": number, "kind": "incident", "what": "other"}
        for number in range(60)
    ]

    def mark_all():
        for mark in marks:
            send(desk, run_id, [mark])

    marking = threading.Thread(target=mark_all)
    marking.start()
    last_id, seen = "0", []
    while len(seen) < len(marks):
        with coach.live(**{"Last-Event-ID": last_id}) as stream:
            found = stream.marks(min(7, len(marks) - len(seen)))
            last_id = found[-1][1]
            seen += ids(found)
    marking.join()
    assert seen == sent_ids(run_id, marks)


def test_the_pulse_of_the_clock_is_passed_on_and_kept_nowhere(desk, coach, run_id):
    send(desk, run_id, LOG[:1])
    with coach.live() as stream:
        stream.next("ping")
        answer = desk.post(f"/api/runs/{run_id}/pulse", json={"elapsed_ms": 61_500.5})
        assert answer.json() == {"watching": 1}
        _, _, data = stream.next("pulse")
    assert data["elapsed_ms"] == 61_500.5
    assert abs(data["server_ms"] - time.time() * 1000) < 2000
    assert len(desk.get(f"/api/runs/{run_id}/events").json()["events"]) == 1


def test_a_device_that_has_marked_nothing_of_a_run_tells_nobody_its_clock(desk, coach, run_id):
    with coach.live() as stream:
        stream.next("ping")
        answer = desk.post(f"/api/runs/{run_id}/pulse", json={"elapsed_ms": 61_500.5})
        assert answer.json() == {"watching": 1}
        send(desk, run_id, LOG[:1])
        assert stream.next()[0] == "mark"


def test_before_the_start_the_pulse_only_asks_who_watches(desk, run_id):
    answer = desk.post(f"/api/runs/{run_id}/pulse", json={"elapsed_ms": None})
    assert answer.json() == {"watching": 0}


@pytest.mark.parametrize("elapsed", ["soon", -1, True, 1e300])
def test_a_pulse_that_makes_no_sense_is_refused(desk, run_id, elapsed):
    assert desk.post(f"/api/runs/{run_id}/pulse", json={"elapsed_ms": elapsed}).status_code == 422


def test_who_goes_is_no_longer_counted(desk, coach, run_id):
    with coach.live() as stream:
        stream.next("ping")
        assert watching(desk, run_id) == 1
    coach.client.close()
    wait_until(lambda: watching(desk, run_id) == 0)


def watching(desk, run_id):
    return desk.post(f"/api/runs/{run_id}/pulse", json={"elapsed_ms": None}).json()["watching"]


def test_a_page_says_that_it_is_there_and_hears_how_many_are(desk, coach):
    with coach.live("phone") as stream:
        stream.next("ping")
        answer = coach.client.post(coach.path.replace("/live", "/watching?device=phone"))
        assert answer.json() == {"watching": 1}
    refused = desk.post(coach.path.replace("/live", "/watching?device=phone"))
    assert refused.status_code == 403


def crowd_of(server, desk, coach):
    """As many who joined, each on a pass of their own, as can watch; their streams are open."""
    code = code_of(desk, coach.path.split("/")[3])
    limits = httpx.Limits(max_connections=MOST_WATCHING + 5)
    crowd = asking.Client(
        base_url=server.url, headers={"Origin": server.url}, limits=limits, verify=False
    )
    opened = []
    for number in range(MOST_WATCHING):
        crowd.cookies.clear()
        crowd.post("/join", data={"code": code, "name": f"Watcher {number}"})
        opened.append(crowd.send(crowd.build_request("GET", coach.path), stream=True))
    return crowd, opened


def code_of(desk, run_id):
    page = desk.get(f"/runs/{run_id}/watchers").text
    return page.split('id="code">', 1)[1].split("<", 1)[0]


def test_one_pass_holds_three_streams_and_the_oldest_makes_room(coach):
    with ExitStack() as held:
        streams = [held.enter_context(coach.live(f"page{n}")) for n in range(4)]
        assert streams[0].next("mark") is None
        assert [stream.next()[0] for stream in streams[1:]] == ["ping"] * 3


def test_joining_again_ends_the_stream_of_the_pass_before(desk, coach, run_id):
    with coach.live() as stream:
        stream.next("ping")
        coach.client.post("/join", data={"code": code_of(desk, run_id), "name": "Ada"})
        assert stream.next("mark") is None


def test_a_device_too_many_is_refused_in_words_and_gets_in_when_another_goes(
    server, desk, coach, run_id
):
    crowd, opened = crowd_of(server, desk, coach)
    assert {answer.status_code for answer in opened} == {200}
    refused = coach.client.get(coach.path, params={"device": "late"})
    assert refused.status_code == 429
    assert refused.json()["error"]["message"].startswith("50 devices watch this run already")
    assert coach.client.get(f"/api/runs/{run_id}/watching").status_code == 429
    opened.pop().close()
    wait_until(lambda: watching(desk, run_id) == MOST_WATCHING - 1)
    with coach.live("late") as stream:
        assert stream.status == 200
    crowd.close()
    for answer in opened:
        answer.close()


def test_joining_is_refused_too_while_the_run_is_full(server, desk, coach, run_id):
    crowd, opened = crowd_of(server, desk, coach)
    answer = desk.post("/join", data={"code": code_of(desk, run_id), "name": "Ben"})
    assert answer.status_code == 429
    assert "50 devices watch this run already" in answer.text
    for each in opened:
        each.close()
    crowd.close()


def test_one_who_does_not_read_holds_up_neither_marks_nor_others(desk, server, coach, run_id):
    with Coach(server, desk, run_id) as idle, idle.live(), coach.live() as stream:
        stream.next("ping")
        long_note = {**LOG[0], "kind": "note", "text": "x" * 2000}
        for batch in range(40):
            notes = [
                {**long_note, "id": f"b{batch}n{number}", "seq": 100 * batch + number}
                for number in range(50)
            ]
            send(desk, run_id, notes)
            assert ids(stream.marks(50)) == sent_ids(run_id, notes)


def test_closing_the_run_to_watchers_ends_their_streams(desk, coach, run_id):
    with coach.live() as stream:
        stream.next("ping")
        desk.post(f"/runs/{run_id}/watchers/close", data={"sure": "yes"})
        assert stream.next("mark") is None
    with coach.live() as stream:
        assert stream.status == 403


def test_closing_the_run_while_somebody_watches_asks_first(desk, coach, run_id):
    with coach.live() as stream:
        stream.next("ping")
        asked = desk.post(f"/runs/{run_id}/watchers/close").text
        assert "Ada</bdi> watches just now" in asked
        assert "Close all the same" in asked
        send(desk, run_id, LOG[:1])
        assert ids(stream.marks(1)) == sent_ids(run_id, LOG[:1])


def test_the_stream_of_a_deleted_run_is_refused(desk, coach, run_id):
    desk.post(f"/runs/{run_id}/delete")
    with coach.live() as stream:
        assert stream.status == 410


def test_the_app_stops_at_once_though_somebody_watches(tmp_path):
    server = RealServer(tmp_path / "data", demo=False)
    server.start()
    with Desk(server.url) as desk:
        routine_id = desk.routine("Evening set", {"Greet": "0:20"})
        run_id = desk.send_form(f"/routines/{routine_id}/rehearse").split("/")[2]
        with Coach(server, desk, run_id) as coach, coach.live() as stream:
            stream.next("ping")
            server.stop()
            assert stream.next() is None
    # What the server says of streams that it had to cut off.
    assert "timeout graceful shutdown" not in server.log()
    assert "Traceback" not in server.log()
