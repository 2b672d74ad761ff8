"""Lays out what a test needs by posting the app's own forms, faster than by hand."""

from urllib.parse import urlsplit

import httpx

RULES = "rules-house"
"""The rule sheet that every new database holds: a slot of 10:00, a target of 9:50."""


class Desk(httpx.Client):
    """A client that posts forms as a page of the app would."""

    def __init__(self, url: str) -> None:
        super().__init__(base_url=url, headers={"Origin": url}, follow_redirects=True)

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
        """Post a form; returns the path it led to."""
        answer = self.post(path, data=fields)
        assert answer.status_code == 200, f"{path} answered {answer.status_code}: {answer.text}"
        return urlsplit(str(answer.url)).path
