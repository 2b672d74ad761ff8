"""Hypothesis strategies for the values of the domain: small, valid, and free to vary."""

from hypothesis import strategies as st

from server.domain.base.amounts import UNITS, Amount
from server.domain.routine.drink import Drink, Ingredient
from server.domain.routine.own_words import Correction, OwnWord
from server.domain.routine.routine import LANES, LANGUAGES, Process, Routine, Segment, Spread
from server.domain.routine.rules import RuleSheet, TimeCall

# Control characters and lone surrogates cannot be typed into a form or kept in JSON.
_letters = st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp"))
names = st.text(_letters, min_size=1, max_size=20).filter(lambda text: bool(text.strip()))
texts = st.text(_letters, max_size=60)

whole_ms = st.integers(0, 900_000)
seconds = whole_ms.map(lambda ms: ms / 1000)

amounts = st.builds(Amount, st.integers(0, 100_000).map(lambda n: n / 8), st.sampled_from(UNITS))


@st.composite
def spreads(draw):
    low_s, likely_s, high_s = sorted(draw(st.tuples(seconds, seconds, seconds)))
    keep_low, keep_high = draw(st.tuples(st.booleans(), st.booleans()))
    return Spread(likely_s, low_s if keep_low else None, high_s if keep_high else None)


@st.composite
def drinks(draw, drink_id):
    count = draw(st.integers(0, 3))
    return Drink(
        id=drink_id,
        name=draw(names),
        serves=draw(st.integers(1, 100)),
        ingredients=tuple(
            Ingredient(
                f"{drink_id}-i{number}",
                draw(names),
                draw(amounts),
                tuple(draw(st.lists(names, max_size=3))),
            )
            for number in range(count)
        ),
        descriptors=tuple(draw(st.lists(names, max_size=3))),
    )


@st.composite
def processes(draw, process_id, segment_ids):
    """A process that can be performed: it is needed later than it starts, or is not linked."""
    after = draw(st.none() | st.integers(0, len(segment_ids) - 1)) if segment_ids else None
    later = segment_ids[(0 if after is None else after + 1) :]
    return Process(
        id=process_id,
        name=draw(names),
        duration=draw(spreads()),
        after_segment_id=None if after is None else segment_ids[after],
        before_segment_id=draw(st.none() | st.sampled_from(later)) if later else None,
        fallback=draw(texts),
    )


own_words = st.sampled_from(
    ((), (OwnWord("quince paste", "fruit", ("membrillo",)), OwnWord("tar", opposite_of="sweet")))
)


@st.composite
def corrections(draw, segment_ids, ingredient_ids):
    """What was corrected, in segments that may be gone, meaning ingredients that are not."""
    segment_id = draw(st.sampled_from([*segment_ids, "gone"]))
    ingredient_id = draw(st.sampled_from([None, *ingredient_ids]))
    verdict = "ingredient" if ingredient_id else "no claim"
    found = Correction("c", segment_id, "a plum", "plum", verdict, ingredient_id=ingredient_id)
    return draw(st.sampled_from(((), (found,))))


@st.composite
def routines(draw, min_segments=0, max_segments=6):
    drink_ids = [f"d{number}" for number in range(draw(st.integers(0, 2)))]
    count = draw(st.integers(min_segments, max_segments))
    segment_ids = [f"s{number}" for number in range(count)]
    its_drinks = tuple(draw(drinks(drink_id)) for drink_id in drink_ids)
    parts = [part.id for drink in its_drinks for part in drink.ingredients]
    return Routine(
        id="r",
        name=draw(names),
        rule_sheet_id="rules",
        presenter=draw(texts),
        language=draw(st.sampled_from(sorted(LANGUAGES))),
        drinks=its_drinks,
        own_words=draw(own_words),
        corrections=draw(corrections(segment_ids, parts)),
        segments=tuple(
            Segment(
                id=segment_id,
                name=draw(names),
                duration=draw(spreads()),
                lane=draw(st.sampled_from(sorted(LANES))),
                hands=draw(texts),
                said=draw(texts),
                drink_id=draw(st.none() | st.sampled_from(drink_ids)) if drink_ids else None,
            )
            for segment_id in segment_ids
        ),
        processes=tuple(
            draw(processes(f"p{number}", segment_ids)) for number in range(draw(st.integers(0, 2)))
        ),
        notes=draw(texts),
    )


@st.composite
def rule_sheets(draw):
    target_s, slot_s, cutoff_s = sorted(draw(st.tuples(seconds, seconds, seconds)))
    return RuleSheet(
        id="rules",
        name=draw(names),
        slot_s=slot_s + 1,
        target_s=target_s,
        time_calls=tuple(draw(st.lists(st.builds(TimeCall, seconds, names), max_size=3))),
        grace_s=float(draw(st.integers(0, 30))),
        penalty_per_s=draw(st.integers(0, 20)) / 2,
        penalty_every_s=draw(st.sampled_from([0.5, 1.0, 5.0, 15.0])),
        penalty_cap=draw(st.none() | st.integers(0, 100).map(float)),
        cutoff_s=draw(st.sampled_from([None, cutoff_s + 1])),
        serves_per_drink=draw(st.integers(1, 8)),
        notes=draw(texts),
    )
