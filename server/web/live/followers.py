"""Those who follow the runs of this app, for whoever has something to tell them.

Apart from the routes of the stream: the stage tells, and opens sooner without them.
"""

from typing import Annotated

from fastapi import Depends, Request
from sqlmodel import Session

from server.store.runs import Appended
from server.web.live.bus import LiveBus


async def live_bus(request: Request) -> LiveBus:
    """The followers of this app."""
    held: LiveBus = request.app.state.live
    return held


HeldBus = Annotated[LiveBus, Depends(live_bus)]


def tell_followers(session: Session, bus: LiveBus, run_id: str, appended: Appended) -> None:
    """Tell those who follow a run what came new to its log, as soon as that is durable."""
    if appended.arrived:
        bus.tell(session, {run_id: appended.arrived})
