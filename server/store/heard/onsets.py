"""Onsets of speech that a browser found in a compressed sound, which nobody else decodes."""

import json

from sqlmodel import Session

from server.store.heard.takes import live_take, load_take, save_take


def set_onsets(session: Session, take_id: str, onsets_ms: tuple[int, ...]) -> bool:
    """Keep the onsets of speech in a take; whether that was done.

    Not where there are some already, nor once anything was decided: no boundary that a person saw
    moves by itself. Raises NotFound and Gone.
    """
    take = load_take(session, take_id)
    if take.has_onsets or take.is_decided_on:
        return False
    row = live_take(session, take_id)
    row.onsets = json.dumps(onsets_ms)
    save_take(session, row)
    return True
