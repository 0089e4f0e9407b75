"""When an athlete cannot be measured, and what to do about it."""

from typing import TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

from models.errors import AthleteError, UnseenError
from vision.pose import extent
from vision.skeleton import INDEX, SIDES

if TYPE_CHECKING:
    from vision.track import Tracks

Array = NDArray[np.float64]

SMALLEST: Final = 0.12
"""A body shorter than this share of the picture's longer side is too small to measure."""
NEEDED: Final = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")
"""Without one of these on one side at least, a body is cut off."""
BEYOND_EDGE: Final = 0.04
"""How far outside the picture, as a share of the body's extent, a joint is surely out of view."""
FEWEST_LOOKS: Final = 3
"""A body seen in fewer looks is a mistake of the landmarker: even at 4 frames/s an athlete is seen more often."""
CUT_OFF: Final = 0.5
"""Refuse the clip when a joint is out of view in more than this share of looks."""
CROWDED: Final = 0.5
"""Refuse the clip when more than this share of looks found somebody else who trains."""
TORN: Final = 0.12
"""Refuse the clip when single looks lie further than this share of the extent from the smooth track: the landmarks jump
between the athlete and something else, and no uncertainty covers that."""


def refuse_torn(scatter: Array, size: float) -> None:
    """Raise an UnseenError where looks at the joints scatter (joints,) too far, RMS in pixels, for a body of that size."""
    joints = [INDEX[f"{side}_{name}"] for side in SIDES for name in NEEDED]
    if np.mean(scatter[joints]) > TORN * size:
        raise UnseenError(
            "the athlete is lost from sight again and again; film from nearer, in good light, with nobody and nothing in front"
        )


def refuse_unmeasurable(tracks: "Tracks") -> None:
    """Raise an AthleteError that says why the athlete in these tracks cannot be measured, if so."""
    seen = tracks.seen
    if np.count_nonzero(seen) < FEWEST_LOOKS:
        raise UnseenError("no person is seen in this clip; film the whole body, in good light")
    if tracks.others > CROWDED:
        raise AthleteError("several people of like size are training in view; film one athlete alone, or crop the clip")
    if tracks.extent < SMALLEST * max(tracks.size):
        share = 100 * tracks.extent / max(tracks.size)
        raise AthleteError(f"the athlete fills only {share:.0f} % of the picture; film from closer")
    for name in NEEDED:
        if _outside(tracks.landmarks[seen], name, tracks.size) > CUT_OFF:
            raise AthleteError(f"the picture's edge cuts the athlete off: no {name} is in view; film the whole body")


def _outside(landmarks: Array, name: str, size: tuple[int, int]) -> float:
    """Share of looks (looks, joints, 2) that place a joint of both sides well outside the picture."""
    pair = landmarks[:, [INDEX[f"{side}_{name}"] for side in SIDES]]
    room = BEYOND_EDGE * extent(landmarks)[:, None, None]
    beyond = (pair < -room) | (pair > np.array(size) + room)
    gone = np.all(np.any(beyond, axis=2), axis=1)
    return float(np.mean(gone))
