"""The case of a whole routine: what its script is checked against, from its plan."""

from collections.abc import Sequence

from server.domain.claims.facts import GlassFacts, Tasting, plan_times, strengths_in_names
from server.domain.claims.finds import Passage
from server.domain.claims.rows import ScriptCase
from server.domain.routine.own_words import Correction, OwnWord
from server.domain.routine.plan import Plan, place_segments


def case_of(
    plan: Plan,
    *,
    facts: Sequence[GlassFacts] = (),
    tastings: Sequence[Tasting] = (),
    declare_all: bool = False,
    own_words: Sequence[OwnWord] = (),
    corrections: Sequence[Correction] = (),
) -> ScriptCase:
    """The case of a plan. Strengths written in ingredients' names are known besides `facts`."""
    routine = plan.routine
    named = tuple(GlassFacts(drink.id, strengths_in_names(drink)) for drink in routine.drinks)
    placed = place_segments(routine.segments)
    return ScriptCase(
        passages=tuple(passages_of(plan)),
        drinks=routine.drinks,
        language=routine.language,
        facts=(*facts, *named),
        times=plan_times(plan),
        segments={piece.segment.id: (piece.start_s, piece.end_s) for piece in placed},
        tastings=tuple(tastings),
        declare_all=declare_all,
        own_words=tuple(own_words),
        corrections=tuple(corrections),
        tolerance=routine.tolerance,
        hands=tuple(
            Passage(segment.id, segment.hands, segment.drink_id)
            for segment in routine.segments
            if segment.hands
        ),
    )


def passages_of(plan: Plan) -> list[Passage]:
    """What is said in each segment, in order."""
    return [
        Passage(segment.id, segment.said, segment.drink_id) for segment in plan.routine.segments
    ]
