"""When a run was made, as far as clocks can be believed: every page and forecast goes by this."""

from server.domain.base.durations import DAY_MS

AHEAD_MS = 2 * DAY_MS
"""No run is made later than this after the server first heard of it: the device's clock is off."""

LATE_MS = 31 * DAY_MS
"""A run on stage reaches the server within this, for a device may be away that long; what says it
is older comes from a clock that is off."""


def moment_ms(source: str, started_ms: int | None, created_ms: int) -> int:
    """When a run was made, ms.

    `started_ms` is what the device's clock said, None before the start; `created_ms` when the
    server first heard of the run, which is right where the clock cannot be. What is entered from
    paper or from a recording was made when the person says, though not in the future.
    """
    if started_ms is None or started_ms > created_ms + AHEAD_MS:
        return created_ms
    is_late = source == "stage" and started_ms < created_ms - LATE_MS
    return created_ms if is_late else started_ms
