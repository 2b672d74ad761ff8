"""What tests ask in one step and the app in several: made of the app's own functions."""

import numpy as np
from scipy.optimize import brentq

from server.domain.base.tokens import count_spoken, tokens_of
from server.domain.belief.believe import belief_of, state_after
from server.domain.belief.scores import grid_probabilities
from server.domain.claims.glass_facts import facts_of_glass
from server.domain.drift.learning_curve import learning_curves
from server.domain.drift.pairs import Pair
from server.domain.glass import sugar
from server.domain.glass.figures import Estimate
from server.domain.glass.liquid import EMPTY
from server.domain.glass.mixing_heat import between, excesses_j_per_g
from server.domain.glass.unit import composition_of, measured, poured
from server.domain.risk.draws import Draws, Rows
from server.domain.risk.simulate import SEED, run_through
from server.domain.routine.own_words import Correction


def exactly(value):
    """An estimate without any spread."""
    return Estimate(value, value, value)


def excess_j_per_g(fraction, at_c):
    """Excess enthalpy of ethanol and water, by mass fraction of ethanol."""
    return between(excesses_j_per_g(fraction), at_c)


def excess_j_per_mol(mole_fraction, at_c):
    """The same for a mole, by the share of ethanol among the molecules."""
    ethanol_g, water_g = 46.069 * mole_fraction, 18.015 * (1 - mole_fraction)
    return excess_j_per_g(ethanol_g / (ethanol_g + water_g), at_c) * (ethanol_g + water_g)


def spoken_words(text, language="en"):
    """How many words a text has when said."""
    return count_spoken(tokens_of(text), language)


def believe(history, plan, known=None, now_ms=None):
    """What is believed of a plan after these runs."""
    return belief_of(state_after(history, plan, known), plan, now_ms)


def correction_of(find, correction_id, verdict, *, ingredient_id=None, word=None):
    """The correction of a find."""
    return Correction(
        id=correction_id,
        segment_id=find.segment_id,
        sentence=find.sentence_words,
        phrase=find.words,
        verdict=verdict,
        occurrence=find.occurrence,
        ingredient_id=ingredient_id,
        word=word,
    )


def glass_facts(routine):
    """What is known of each drink of the routine that has ingredients."""
    return tuple(
        facts_of_glass(drink, routine.segments, routine.standard_drink, routine.processes)
        for drink in routine.drinks
        if drink.ingredients
    )


def learning_curve(times_s, numbers):
    """The learning curve of one series of times."""
    return learning_curves(times_s[None, :], numbers)[0]


def before_and_after(table, run_id):
    """A run and all later ones against those before it."""
    later = np.arange(table.runs) >= table.run_ids.index(run_id)
    return Pair(f"from-{run_id}", "runs since then", "runs before", later, ~later)


def liquid_of(substance, amount, part_ml=None):
    """So much of a substance; empty where the amount cannot be told."""
    measure = measured(amount, substance, part_ml)
    if isinstance(measure, str):
        return EMPTY
    return poured(substance, composition_of(substance), measure.units)


def independent(table):
    """Rows that share nothing, from their values over the grid."""
    return Rows(np.ascontiguousarray(table, dtype=float), np.zeros(len(table)), len(table))


def drawn_from(*distributions):
    """Rows of parts that are drawn from these laws of SciPy, each by itself."""
    return independent(np.array([each.ppf(grid_probabilities()) for each in distributions]))


def simulate_rows(network, rows, slots, seed=SEED):
    """Simulated slots of any network, whose activities draw from `rows` in their order."""
    numbers = {activity.id: row for row, activity in enumerate(network.activities)}
    return run_through(network, numbers, Draws(rows, slots, seed))


def additive_abv_percent(pours):
    """Strength by the additive rule, contraction neglected: what a card usually claims."""
    known = list(pours)
    whole_ml = sum(pour.volume_ml for pour in known)
    return sum(pour.volume_ml * pour.abv_percent for pour in known) / whole_ml


def g_per_litre(brix):
    """Grams of sugar in a litre of solution of that Brix."""
    return brix / 100 * sugar.density_g_per_l(brix)


def brix_of_g_per_litre(grams):
    """Brix of a solution with that many grams of sugar in a litre."""
    return brentq(lambda brix: g_per_litre(brix) - grams, 0, 100)
