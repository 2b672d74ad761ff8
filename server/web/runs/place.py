"""Addresses of the list of runs: how it is shown, and which run is open beside it."""

from urllib.parse import urlencode

SHOWS = ("all", "sessions", "all-sessions", "figures", "all-figures")
"""Ways of showing the runs beside the first, which is the latest ones."""

OPEN = "run-"


def runs_url(routine_id: str, show: str = "", run_id: str = "", **more: str) -> str:
    """The list of a routine, with a run open where one is named."""
    asked = {
        "show": show if show in SHOWS else "",
        "open": f"{OPEN}{run_id}" if run_id else "",
        **more,
    }
    query = urlencode({name: text for name, text in asked.items() if text})
    return f"/routines/{routine_id}/runs{'?' if query else ''}{query}"
