"""Plays schedules: one server, one network, one device, a run for each schedule."""

import json
import time
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserType

from server.domain.runs.run import Outline, ProcessLink, RunState, fold
from server.domain.whole.exchange import parse_events
from tests import asking
from tests.browser.chromium import HOST
from tests.browser.desk import Desk
from tests.browser.stage_page import new_run
from tests.domain.run_logs import state_document
from tests.real_server import RealServer
from tests.soak.device import Device
from tests.soak.harm import Harm
from tests.soak.proxy import FaultProxy
from tests.soak.schedule import Step
from tests.soak.truth import Truth, Verdict, judge, press_durations

# The process hangs between the first and the last of these.
SEGMENTS = (
    {"Grind": "0:01"} | {f"Part {number}": "0:01" for number in range(2, 6)} | {"Serve": "0:01"}
)
LINK = ("id", "after_segment_id", "before_segment_id")
ARRIVES_WITHIN_S = 90
# A soak runs beside other work, at low priority.
PATIENCE_S = 120
FOLD = """async ([events, outline]) => {
  const { fold } = await import("/static/js/run/fold.js");
  return fold(events, outline);
}"""
# What the person reads, and only while it is to be seen.
SEEN = """() => {
  const sign = document.querySelector("[data-part=closed-sync]");
  return sign.checkVisibility() && sign.textContent.includes("all marks on the server");
}"""
TIDIED_WITHIN_S = 10


@dataclass
class Playground:
    """Everything a soak needs; schedules are played in it one after the other."""

    browser_type: BrowserType
    folder: Path

    def __enter__(self) -> "Playground":
        self.did: Counter[str] = Counter()
        self._server = RealServer(self.folder / "data", demo=False, patience_s=PATIENCE_S)
        self._server.start()
        self._is_up = True
        self._harms = Harm()
        self._second_starts: list[str] = []
        self._proxy = FaultProxy(self._server.port)
        self._proxy.start()
        self._device = Device(self.browser_type, self.folder / "profile", self._reach)
        self._device.switch_on()
        return self

    def __exit__(self, *_error: object) -> None:
        self._device.switch_off()
        self._harms.end()
        self._proxy.stop()
        self._server.stop()

    @property
    def network_faults(self) -> Counter[str]:
        """What the network did to requests so far."""
        return self._proxy.done

    def play(self, steps: list[Step]) -> Verdict:
        """Play a schedule to the end of its run and judge what the server then holds."""
        self._reach()
        with Desk(self._server.url) as desk:
            desk.timeout = PATIENCE_S
            run_id = new_run(desk, SEGMENTS, process=True)
        self._device.open(f"http://{HOST}:{self._proxy.port}/runs/{run_id}/stage")
        data = json.loads(self._device.page.locator("#run-data").text_content() or "")
        link = {key: data["processes"][0][key] for key in LINK}
        truth = Truth([segment["id"] for segment in data["segments"]], link)
        for step in steps:
            self._take(step, run_id, truth)
        while not truth.is_finished:
            truth.take(self._device.press("next"))
        self._reach()
        self._proxy.settle()
        return self._judge(run_id, truth)

    def _take(self, step: Step, run_id: str, truth: Truth) -> None:
        time.sleep(step.wait_s)
        self.did[step.what] += 1
        match step.what:
            case "press":
                self._press(str(step.detail), truth)
            case "network":
                self._proxy.become(step.detail)  # type: ignore[arg-type]
            case "kill server":
                self._server.kill()
                self._is_up = False
            case "start server":
                self._start_server()
            case "reload":
                self._device.open(self._device.page.url)
            case "close tab":
                self._device.close_tab_and_open_again()
            case "kill browser":
                self._device.kill_and_switch_on(run_id, len(truth.log))
            case "set clock":
                self._device.set_clock(int(step.detail))
            case _ if self._is_up:
                self._harm(step.what)

    def _harm(self, what: str) -> None:
        match what:
            case "stalled body":
                self._harms.stall_a_body(self._server.port)
            case "slow upload":
                self._harms.upload_slowly(self._server.port)
            case "full disk":
                self._harms.fill_the_disk(self._server)
            case "two servers":
                self._second_starts.append(self._server.start_beside())

    def _press(self, what: str, truth: Truth) -> None:
        # The run is finished by the driver, at the end; a press before that marks something else.
        if not truth.means(what) or (what == "next" and truth.log and truth.at_last_segment):
            what = "incident-4"
        truth.take(self._device.press(what))

    def _reach(self) -> None:
        self._proxy.become("fine")
        self._start_server()
        self._harms.make_room(self._server)

    def _start_server(self) -> None:
        if not self._is_up:
            self._server.start()
            self._is_up = True

    def _judge(self, run_id: str, truth: Truth) -> Verdict:
        page = self._device.page
        give_up = time.monotonic() + ARRIVES_WITHIN_S
        while not page.evaluate(SEEN):
            if time.monotonic() > give_up:
                return Verdict(("the marks do not arrive",), 0.0, press_durations(truth))
            time.sleep(0.05)
        documents = asking.get(f"{self._server.url}/api/runs/{run_id}/events").json()["events"]
        events = parse_events(json.dumps({"events": documents}).encode())
        outline = Outline(tuple(truth.segment_ids), (ProcessLink(**truth.process),))
        state = fold(events, outline)
        verdict = judge(truth, events, state)
        on_page = self._faults_on_page(run_id, documents, state, truth)
        on_page += [f"a second server said: {said}" for said in self._second_starts_let_in()]
        return Verdict((*verdict.faults, *on_page), verdict.worst_ms, verdict.press_ms)

    def _second_starts_let_in(self) -> list[str]:
        """What second servers on the same data said that were not refused with the address."""
        said, self._second_starts = self._second_starts, []
        return [each for each in said if f"open http://localhost:{self._server.port}" not in each]

    def _faults_on_page(
        self, run_id: str, documents: list[dict[str, Any]], state: RunState, truth: Truth
    ) -> list[str]:
        """Where the browser sees another run than the server, or keeps what it should not."""
        page = self._device.page
        faults = []
        outline = {"segment_ids": list(truth.segment_ids), "processes": [truth.process]}
        seen = page.evaluate(FOLD, [documents, outline])
        if seen != state_document(state):
            faults.append(f"the browser folds to {seen}, the server to {state_document(state)}")
        shown = page.evaluate("document.querySelector('[data-part=closed-total]').textContent")
        if shown != exact(state.total_ms or 0):
            faults.append(f"the page shows {shown}, the server has {state.total_ms} ms")
        kept = self._kept_at_last(run_id)
        if kept != (0, 0):
            faults.append(f"what is on the server still lies on the device: {kept}")
        return faults

    def _kept_at_last(self, run_id: str) -> tuple[int, int]:
        # The copies go after the sign is there, as fast as the device's disk is.
        give_up = time.monotonic() + TIDIED_WITHIN_S
        while (kept := self._device.kept(run_id)) != (0, 0) and time.monotonic() < give_up:
            time.sleep(0.05)
        return kept


def exact(total_ms: int) -> str:
    """A total as the stage writes it: m:ss.t."""
    tenths = (total_ms + 50) // 100
    return f"{tenths // 600}:{tenths // 10 % 60:02d}.{tenths % 10}"
