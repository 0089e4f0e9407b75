"""How far an elbow or a knee is bent, told in two ways that err differently.

Seen from the side, the turn of the forearm against the upper arm is exact while both lie in the picture plane; an elbow
that flares toward the lens makes it too small, in proportion to the bend. The span from shoulder to wrist does not care
about flare: with the lengths a and b of the two segments it is c^2 = a^2 + b^2 + 2 a b cos(bend) (law of cosines). But
near lockout it hardly changes. So each is weighted by how sure it is at that bend. The length a + b is the athlete's
own, taken where the limb is nearly straight; its parts by Drillis & Contini 1966 (Winter 2009, figure 4.1).
"""

from typing import Final

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]

UPPER_ARM: Final = 0.186 / (0.186 + 0.146)
THIGH: Final = 0.245 / (0.245 + 0.246)
"""The proximal segment's share of the limb's length."""
STRAIGHT_SHARE: Final = 0.2
"""The straightest fifth of the frames tells the limb's length."""
STRAIGHT: Final = 60.0
"""Degrees; a limb that is never straighter than this does not tell its length."""
SPAN_SD: Final = 0.035
"""Standard deviation of a span, as a share of the limb's length: landmarks against joints."""
TURN_SD: Final = 3.0
FLARE_SD: Final = 0.25
"""The turn in the picture errs by 3 degrees, and by this share of the bend for limbs out of the picture plane."""


def bend(proximal: Array, distal: Array, turn: Array, upper_share: float, busy: NDArray[np.bool_]) -> Array:
    """Flexion (frames,) in degrees from the turn seen in the picture and from the limb's span.

    Args:
        proximal: (frames, 2) shoulder or hip.
        distal: (frames, 2) wrist or ankle.
        turn: (frames,) signed flexion seen in the picture.
        upper_share: the proximal segment's share of the limb's length.
        busy: (frames,) frames that may tell the limb's length.
    """
    span = np.linalg.norm(distal - proximal, axis=1)
    length = _length(span, turn, upper_share, busy)
    if length is None:
        return turn
    a, b = upper_share, 1 - upper_share
    cosine = ((span / length) ** 2 - a**2 - b**2) / (2 * a * b)
    by_span = np.degrees(np.arccos(np.clip(cosine, -1, 1)))
    return _weighted(turn, by_span, a * b, span / length)


def _length(span: Array, turn: Array, upper_share: float, busy: NDArray[np.bool_]) -> float | None:
    """The limb's length in the unit of its span, or None where it is never near straight."""
    limit = np.quantile(np.abs(turn[busy]), STRAIGHT_SHARE)
    if limit > STRAIGHT:
        return None
    straight = busy & (np.abs(turn) <= limit)
    a, b = upper_share, 1 - upper_share
    shares = np.sqrt(a**2 + b**2 + 2 * a * b * np.cos(np.radians(turn[straight])))
    return float(np.median(span[straight] / shares))


def _weighted(turn: Array, by_span: Array, ab: float, span: Array) -> Array:
    """Mean of the two, each weighted by its variance at the larger bend: flare makes the turn too small, never the span."""
    bent = np.maximum(np.abs(turn), by_span)
    turn_sd = TURN_SD + FLARE_SD * np.abs(bent)
    sine = np.maximum(np.sin(np.radians(np.clip(bent, 0, 179))), 1e-3)
    span_sd = np.degrees(SPAN_SD * span / (ab * sine))
    weight = turn_sd**2 / (turn_sd**2 + span_sd**2)
    return np.asarray(turn + weight * (by_span - turn))
