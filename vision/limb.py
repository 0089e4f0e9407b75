"""How far an elbow is bent, told in two ways that err differently.

Seen from the side, the turn of the forearm against the upper arm is exact while both lie in the picture plane; an elbow
that flares toward the lens makes it too small, in proportion to the bend. The span from shoulder to wrist does not care
about flare: with the lengths a and b of the two segments it is c^2 = a^2 + b^2 + 2 a b cos(bend) (law of cosines). But
near lockout it hardly changes. So each is weighted by how sure it is at that bend. The length a + b is the athlete's
own, taken where the arm is nearly straight; its parts by Drillis & Contini 1966 (Winter 2009, figure 4.1). A knee stays
in the picture plane, and its turn alone is as good.
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

UPPER_ARM: Final = 0.186 / (0.186 + 0.146)
FOREARM: Final = 1 - UPPER_ARM
"""Shares of the arm's length, shoulder to wrist."""
STRAIGHT_SHARE: Final = 0.2
"""The straightest fifth of the frames tells the arm's length."""
STRAIGHT: Final = 60.0
"""Degrees; an arm that is never straighter than this does not tell its length."""
SPAN_SD: Final = 0.035
"""Standard deviation of a span, as a share of the arm's length: landmarks against joints."""
TURN_SD: Final = 3.0
FLARE_SD: Final = 0.25
"""The turn in the picture errs by 3 degrees, and by this share of the bend for elbows out of the picture plane."""


def bend(shoulder: Array, wrist: Array, turn: Array, busy: NDArray[np.bool_]) -> Array:
    """Flexion (frames,) in degrees from the turn seen in the picture and from the arm's span.

    Args:
        shoulder: (frames, 2).
        wrist: (frames, 2).
        turn: (frames,) signed flexion seen in the picture.
        busy: (frames,) frames that may tell the arm's length.
    """
    span = np.linalg.norm(wrist - shoulder, axis=1)
    length = _length(span, turn, busy)
    if length is None:
        return turn
    cosine = ((span / length) ** 2 - UPPER_ARM**2 - FOREARM**2) / (2 * UPPER_ARM * FOREARM)
    by_span = np.degrees(np.arccos(np.clip(cosine, -1, 1)))
    return _weighted(turn, by_span, span / length)


def _length(span: Array, turn: Array, busy: NDArray[np.bool_]) -> float | None:
    """The arm's length in the unit of its span, or None where it is never near straight."""
    limit = np.quantile(np.abs(turn[busy]), STRAIGHT_SHARE)
    if limit > STRAIGHT:
        return None
    straight = busy & (np.abs(turn) <= limit)
    cosine = np.cos(np.radians(turn[straight]))
    shares = np.sqrt(UPPER_ARM**2 + FOREARM**2 + 2 * UPPER_ARM * FOREARM * cosine)
    return float(np.median(span[straight] / shares))


def _weighted(turn: Array, by_span: Array, span: Array) -> Array:
    """Mean of the two, each weighted by its variance at the bend that the turn shows.

    An arm that reaches away from the lens looks short, and so bent: its turn says that it is not, and rules.
    """
    bent = np.abs(turn)
    turn_sd = TURN_SD + FLARE_SD * bent
    sine = np.maximum(np.sin(np.radians(np.clip(bent, 0, 179))), 1e-3)
    span_sd = np.degrees(SPAN_SD * span / (UPPER_ARM * FOREARM * sine))
    weight = turn_sd**2 / (turn_sd**2 + span_sd**2)
    return np.asarray(turn + weight * (by_span - turn))
