"""A short routine and captions of takes of it, for tests of what becomes of a recording."""

from server.domain.base.amounts import Amount
from server.domain.routine.drink import Drink, Ingredient
from tests.factories import make_routine, make_segment

SAID = (
    "Good evening and welcome to my grandmother's kitchen by the river. "
    "Everything that you taste tonight grew behind that house.",
    "First I pour the honey over the warm pears and stir until the pan is quiet. "
    "In your cup you will find ripe pear and heather honey.",
    "Please take the first sip while the cup is still warm in your hands. "
    "Thank you for listening and enjoy the evening.",
)
STARTS_S = (10.0, 24.0, 41.0)
FINISH_S = 56.0

DRINK = Drink(
    "d1",
    "The Pear Lamp",
    4,
    ingredients=(
        Ingredient("i1", "Pear", Amount(60, "ml"), descriptors=("ripe pear",)),
        Ingredient("i2", "Honey", Amount(30, "ml"), descriptors=("heather honey",)),
    ),
    descriptors=("ripe pear", "heather honey"),
)


def spoken_routine(**changes):
    """Three segments of some fifteen seconds, all of them with words."""
    planned = zip(("s1", "s2", "s3"), SAID, (14.0, 17.0, 15.0), (None, "d1", "d1"), strict=True)
    segments = tuple(
        make_segment(key, likely_s, said=said, drink_id=drink_id)
        for key, said, likely_s, drink_id in planned
    )
    return make_routine(segments=segments, drinks=(DRINK,), **changes)


def captions(without=()):
    """A take as WebVTT, without the sentences that begin so."""
    cues = []
    ends = (*STARTS_S[1:], FINISH_S)
    for said, start_s, end_s in zip(SAID, STARTS_S, ends, strict=True):
        sentences = [f"{each}." for each in said.rstrip(".").split(". ")]
        each_s = (end_s - start_s - 0.6) / len(sentences)
        for number, sentence in enumerate(sentences):
            if not sentence.startswith(tuple(without)):
                at_s = start_s + number * each_s
                cues.append(f"{_time(at_s)} --> {_time(at_s + each_s)}\n{sentence}\n")
    return "WEBVTT\n\n" + "\n".join(cues)


def _time(seconds):
    return f"00:{int(seconds // 60):02}:{seconds % 60:06.3f}"
