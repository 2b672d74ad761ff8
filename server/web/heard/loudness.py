"""How loud a compressed sound is, as the browser that draws it found: onsets of speech."""

from fastapi import APIRouter, Response
from fastapi.responses import JSONResponse

from server.domain.base.errors import InvalidInput, TooLarge
from server.domain.heard.loudness import FRAME_S
from server.store.heard.onsets import set_onsets
from server.store.heard.takes import Take
from server.web.frame.dependencies import Body, HeldDatabase
from server.web.heard.reading import WAV

router = APIRouter()

LONGEST_S = 2 * 3600
"""Two hours of it are less than a form may have."""


@router.put("/api/takes/{take_id}/loudness")
def put_loudness(held: HeldDatabase, take_id: str, body: Body) -> Response:
    """Take a byte for each frame; answers whether starts snap to what was found in them."""
    if not body:
        raise InvalidInput.of("loudness", "There is no sound in it.")
    if len(body) * FRAME_S > LONGEST_S:
        raise TooLarge("This sound is longer than two hours.")
    # Loaded where a sound was decoded: the start does without.
    from server.domain.heard.sound import onsets_in

    onsets_ms = tuple(round(each * 1000) for each in onsets_in(body))
    with held.writing() as session:
        is_kept = set_onsets(session, take_id, onsets_ms)
    return JSONResponse({"kept": is_kept and bool(onsets_ms)})


def wants_loudness(take: Take) -> bool:
    """Whether a browser is to say how loud the sound of a take is."""
    sound = take.sound
    is_compressed = sound is not None and sound.done and sound.media_type != WAV
    return is_compressed and not take.is_decided_on and not take.has_onsets
