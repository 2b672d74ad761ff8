"""Lays out what a test needs by posting the app's own forms, faster than by hand."""

import io
import wave
from urllib.parse import urlsplit

import httpx

from tests.asking import PATIENCE_S

RULES = "rules-house"
"""The rule sheet that every new database holds: a slot of 10:00, a target of 9:50."""


class Desk(httpx.Client):
    """A client that posts forms as a page of the app would."""

    def __init__(self, url: str) -> None:
        # Without certificates: nothing here is encrypted, and loading them takes its time.
        headers = {"Origin": url}
        super().__init__(
            base_url=url,
            headers=headers,
            follow_redirects=True,
            verify=False,
            timeout=PATIENCE_S,
        )

    def routine(self, name: str, segments: dict[str, str] | None = None) -> str:
        """A new routine with segments (name -> duration); returns its id."""
        path = self.send_form("/routines", name=name, rules=RULES)
        routine_id = path.split("/")[2]
        for segment, likely in (segments or {}).items():
            self.send_form(
                f"/routines/{routine_id}/segments/new", name=segment, likely=likely, lane="both"
            )
        return routine_id

    def send_form(self, path: str, **fields: str) -> str:
        """Post a form; returns the path it leads to, without drawing that page."""
        answer = self.post(path, data=fields, follow_redirects=False)
        assert answer.is_redirect, f"{path} answered {answer.status_code}: {answer.text}"
        return urlsplit(answer.headers["location"]).path

    def ids(self, routine_id: str, kind: str = "segments") -> dict[str, str]:
        """Name -> id of the routine's segments, drinks or processes."""
        routine = self.get(f"/routines/{routine_id}/export.json").json()["routine"]
        return {part["name"]: part["id"] for part in routine[kind]}

    def paper_run(self, routine_id: str, *splits: str, **fields: str) -> str:
        """A run of the routine entered by hand, a split for each segment; returns its id."""
        times = zip(self.ids(routine_id).values(), splits, strict=True)
        noted = {f"time-{segment_id}": split for segment_id, split in times}
        given = {"when": "2026-03-01T12:00", "noted": "durations"} | noted | fields
        path = self.send_form(f"/routines/{routine_id}/runs/by-hand", **given)
        return path.split("/")[2]

    def recording(self, run_id: str, lasts_s: int = 3) -> str:
        """A recording of a run, silent; returns its id."""
        content = silence(lasts_s)
        told = {
            "id": f"take-{run_id}",
            "kind": "sound",
            "started_ms": 0,
            "lasts_ms": lasts_s * 1000,
            "size_bytes": len(content),
        }
        self.post(f"/api/runs/{run_id}/recordings", json=told).raise_for_status()
        path = f"/api/recordings/{told['id']}/parts/0"
        assert self.put(path, content=content).json()["done"]
        return told["id"]


def silence(lasts_s: int) -> bytes:
    """A WAV file with nothing to hear."""
    held = io.BytesIO()
    with wave.open(held, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(1)
        file.setframerate(8000)
        file.writeframes(b"\x80" * 8000 * lasts_s)
    return held.getvalue()
