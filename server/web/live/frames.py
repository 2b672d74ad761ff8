"""Pieces of a live stream, encoded once for all who follow."""

import json
from dataclasses import dataclass

from fastapi.sse import format_sse_event

from server.store.run_logs import Arrival


@dataclass(frozen=True)
class StreamFrame:
    """A piece of a live stream, encoded once for all.

    `rev` is that of the event it tells of, `document` that event as it is kept.
    """

    data: bytes
    rev: int | None = None
    document: str = ""


def mark_frame(arrival: Arrival) -> StreamFrame:
    """An event of a run's log; who was cut off asks on from its rev."""
    data = f'{{"received_ms":{arrival.received_ms},"event":{arrival.document}}}'
    encoded = format_sse_event(event="mark", id=str(arrival.rev), data_str=data)
    return StreamFrame(encoded, arrival.rev, arrival.document)


def frame_of(kind: str, data: dict[str, float]) -> StreamFrame:
    """What is true just now."""
    return StreamFrame(format_sse_event(event=kind, data_str=json.dumps(data)))
