"""What a second listening is asked of a take: the claims that the first did not hear."""

from server.domain.base.languages import supported
from server.domain.heard.probe import Probe
from server.domain.routine.plan import Plan


def asked_of(plan: Plan, words: str, onsets_s: tuple[float, ...] = ()) -> tuple[Probe, ...]:
    """What is to be laid over the sound of a take with these words, as they are kept."""
    # Loaded with the first take: the start of the app does without.
    import json

    from server.domain.claims.cases import case_of
    from server.domain.claims.ledger import ledger
    from server.domain.heard.again import probes
    from server.domain.heard.aligning import align
    from server.domain.heard.alignment import spoken_segments
    from server.domain.heard.claims import hear_claims
    from server.domain.heard.phrases import Talk
    from server.domain.heard.words import transcript_from

    routine, transcript = plan.routine, transcript_from(json.loads(words))
    language = supported(routine.language).code
    alignment = align(transcript, spoken_segments(routine), onsets_s, language)
    case = case_of(plan, own_words=routine.own_words, corrections=routine.corrections)
    found = ledger(case)
    claims = hear_claims(routine, case, found, transcript, alignment)
    return probes(claims, found, Talk(transcript, alignment, language))
