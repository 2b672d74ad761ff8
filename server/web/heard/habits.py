"""What is left out again and again: sentences that were missing in several takes."""

from dataclasses import dataclass
from functools import partial

from sqlmodel import Session

from server.domain.heard.manner import most_left_out
from server.store.heard.takes import list_takes
from server.store.uploads.media_place import MediaPlace
from server.web.frame.telling import told
from server.web.heard.reading import read_take

LOOKED_AT = 5
"""Takes: laying one against its script takes a part of a second, the first time."""

MOST = 5
LEAST_TIMES = 2


@dataclass(frozen=True)
class OftenLeftOut:
    """A sentence that was missing in `times` of `of` takes."""

    text: str
    times: int
    of: int


def often_left_out(session: Session, routine_id: str, folder: MediaPlace) -> list[OftenLeftOut]:
    """The sentences left out most often over the latest takes whose words tell; at most MOST."""
    takes = [each for each in list_takes(session, routine_id) if each.words_from][:LOOKED_AT]
    if len(takes) < LEAST_TIMES:
        return []
    runs = []
    for take in reversed(takes):
        reading, _ = told("A take", partial(read_take, session, take.id, folder))
        if reading is not None and reading.now.quality.tells:
            runs.append(reading.heard.matched)
    rows = most_left_out(runs)
    return [OftenLeftOut(each.text, times, of) for each, times, of in rows if times > 1][:MOST]
