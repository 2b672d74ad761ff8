"""Fresh takes of routines and kinds on which no rule was tuned; half of them are put away.

What is open was looked at to find kinds of error. Of what is put away only totals are looked at,
and one of its routines is in no other take.
"""

from tests.domain.heard.recogniser import recognised
from tests.domain.heard.routines import FRESH_ROUTINES, ROUTINES
from tests.domain.heard.takes import CHANGES, Noise, make_take

OPEN_SEED, PUT_AWAY_SEED = 61_000, 72_000

PUT_AWAY_ROUTINE = "kiln"

WRONG = (None, 0.2, 0.3)
"""Words misheard of all: as the take draws it, and in two halls that are noisy and very noisy."""


def fresh_takes(*, put_away, every=1):
    """(take, transcript, onsets in s) of each take of one half, or of every so-manieth."""
    names = [*ROUTINES, *FRESH_ROUTINES]
    wanted = [
        (name, kind, wrong)
        for name in names
        if put_away or name != PUT_AWAY_ROUTINE
        for kind in CHANGES
        for wrong in WRONG
    ]
    chosen = []
    for number, (name, kind, wrong) in list(enumerate(wanted))[::every]:
        first = PUT_AWAY_SEED if put_away else OPEN_SEED
        take = make_take(name, kind, seed=first + number, is_locked=put_away)
        if wrong is not None:
            take.noise = Noise(wrong, wrong / 3, wrong / 5, early=0.1)
        chosen.append((take, recognised(take), ()))
    return chosen
