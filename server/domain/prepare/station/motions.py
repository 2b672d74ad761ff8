"""How long a hand and a step take, by the published table MTM-1 (Methods-Time Measurement).

A reach of case B takes 12.9 TMU over 12 in and 25.8 TMU over 30 in, nearly straight between; a side
step of case 1 17.0 TMU up to 30 cm and 0.2 TMU for each further one; 1 TMU is 0.036 s (data card of
the MTM Association). Hand and foot move together: the longer of the two counts.

>>> round(motion_s(76.2, 0.0), 2), round(motion_s(0.0, 30.0), 2), motion_s(0.0, 0.0)
(0.93, 0.61, 0.0)
"""

TMU_S = 0.036
INCH_CM = 2.54
REACH_TMU_PER_CM = (25.8 - 12.9) / (18 * INCH_CM)
REACH_TMU = 12.9 - 12 * INCH_CM * REACH_TMU_PER_CM
STEP_TMU, STEP_CM, STEP_TMU_PER_CM = 17.0, 30.0, 0.2


def motion_s(hand_cm: float, step_cm: float) -> float:
    """How long a hand takes so far, while the feet step so far (s)."""
    hand = REACH_TMU + REACH_TMU_PER_CM * hand_cm if hand_cm > 0 else 0.0
    step = STEP_TMU + STEP_TMU_PER_CM * max(step_cm - STEP_CM, 0.0) if step_cm > 0 else 0.0
    return TMU_S * max(hand, step)
