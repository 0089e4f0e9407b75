"""Everything that a demand depends on, by name: its value and its standard uncertainty.

Besides the build (`models.body.build`): `height` (m), `mass` (kg), `ankle` (deg, of a foot on toes or heels), `lean` (deg, of
a push on the floor from the vertical), `foot` (where a flat foot bears, share of its length), `anchor.up` and
`anchor.ahead` (shares of height, off the place that is told), `band` (factor on its pull), and the offsets of each angle,
`pose.elbow`, `start.hip`, ..., off the posture that is told.
"""

from collections.abc import Mapping
from typing import Final

from models.body.athlete import HEIGHT_U95, MASS_U95, USUAL_HEIGHT, Athlete
from models.body.build import build_doubts, build_values
from models.body.lengths import MIDDLE
from models.body.segments import Sex
from models.body.situation import NO_OFFSETS, Situation
from models.movements.demand import Pose
from models.scaling import CALIBRATED, UNCALIBRATED

K: Final = 1.96
"""Coverage factor of U95 (JCGM 100, normal distribution)."""
ANGLE_U: Final = 2.5
"""Degrees. How far a joint is usually off the posture that the catalogue names (common practice, no source)."""
SHOULDER_U: Final = 5.0
"""Degrees. Likewise of the shoulder: where people put their hands."""
ANKLE_U: Final = 10.0
"""Degrees. A foot on its toes or heels stands square to the shank, more or less."""
LEAN_U: Final = 5.0
"""Degrees from the vertical by which people push along the floor without need. It matters where one end is raised."""
FOOT_U: Final = 0.10
"""Share of the foot's length to either side of its middle on which a flat foot bears."""
ANCHOR_U: Final = 0.05
"""Share of height by which an anchor is off the place that is told."""
SOME_MASS: Final = 1.0
"""Stands in for an unknown mass, where nothing depends on it."""

Offsets = Mapping[str, float]


def inputs(athlete: Athlete, sex: Sex) -> dict[str, float]:
    """The values of all inputs; offsets are zero."""
    height = USUAL_HEIGHT[0] if athlete.height_cm is None else athlete.height_cm / 100
    return {
        **build_values(sex),
        **NO_OFFSETS,
        "height": height,
        "mass": SOME_MASS if athlete.mass_kg is None else athlete.mass_kg,
        "ankle": 0.0,
        "lean": 0.0,
        "foot": MIDDLE,
        "anchor.up": 0.0,
        "anchor.ahead": 0.0,
        "band": 1.0,
    }


def doubts(situation: Situation, athlete: Athlete, angles: Offsets) -> dict[str, float]:
    """Standard uncertainty of each input that this situation depends on; `angles` are those of the postures' offsets."""
    found = build_doubts()
    found["height"] = (USUAL_HEIGHT[1] if athlete.height_cm is None else HEIGHT_U95) / K
    if athlete.mass_kg is not None:
        found["mass"] = MASS_U95 / K
    if situation.feet in ("toes", "heels"):
        found["ankle"] = ANKLE_U
    if situation.feet == "flat":
        found["foot"] = FOOT_U
    if situation.both_bear and situation.hands in ("floor", "forearms"):
        found["lean"] = LEAN_U
    if situation.both_bear and situation.hands == "straps":
        found["anchor.up"] = found["anchor.ahead"] = ANCHOR_U
    if situation.band is not None:
        found["band"] = (CALIBRATED if situation.band.calibration else UNCALIBRATED) / K
    return found | dict(angles)


def catalogue_angles(situation: Situation) -> dict[str, float]:
    """How far the angles of postures from the catalogue are usually off; those that are found have no doubt of their own."""
    found = _of_pose("pose", situation.pose)
    return found if situation.start is None else found | _of_pose("start", situation.start)


def _of_pose(which: str, pose: Pose) -> dict[str, float]:
    angles = {f"{which}.{name}": ANGLE_U for name in ("elbow", "hip", "knee")}
    if pose.trunk is not None:
        angles[f"{which}.trunk"] = ANGLE_U
    if pose.shoulder is not None:
        angles[f"{which}.shoulder"] = SHOULDER_U
    if pose.apart:
        angles[f"{which}.apart"] = SHOULDER_U
    return angles
