"""When each device with an open stage was last heard from, whether it marked something or not."""

from collections.abc import Mapping, Sequence
from threading import Lock

from server.store.between.notices import Notice, Notices

ASKED = "asked"
MOST_REMEMBERED = 1000


class DevicesHeard:
    """Remembers the latest devices that asked after a run; gone with a restart, as it may be."""

    def __init__(self, notices: Notices) -> None:
        self._at_ms: dict[tuple[str, str], int] = {}
        self._lock = Lock()
        self._notices = notices
        notices.hear(ASKED, self._hear)

    def note(self, run_id: str, device_id: str, now_ms: int) -> None:
        """The device asked after the run just now; all processes get to know."""
        self._note(run_id, device_id, now_ms)
        self._notices.say(ASKED, run_id, device=device_id, at_ms=now_ms)

    def _hear(self, notices: Sequence[Notice]) -> None:
        for each in notices:
            if each.sender != self._notices.own:
                self._note(each.about, each.more["device"], each.more["at_ms"])

    def _note(self, run_id: str, device_id: str, now_ms: int) -> None:
        with self._lock:
            self._at_ms.pop((run_id, device_id), None)
            self._at_ms[(run_id, device_id)] = now_ms
            if len(self._at_ms) > MOST_REMEMBERED:
                del self._at_ms[next(iter(self._at_ms))]

    def latest(self, run_id: str, marked_ms: Mapping[str, int]) -> dict[str, int]:
        """Device -> when it was last heard from, with when its marks arrived already known."""
        return {
            device_id: max(at_ms, self._at_ms.get((run_id, device_id), 0))
            for device_id, at_ms in marked_ms.items()
        }
