"""A clip's angles, joints and centre of mass on a fine even clock: what the truth of reps and holds is read from."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.movements import Movement
from sample_clips.angles import SIDES, body_angles, middle
from sample_clips.figure import Figure

Array = NDArray[np.float64]
RATE = 500.0
CHUNK = 2000
MIDDLES = ("shoulder", "hip", "wrist")
MOMENT = 0.1
"""Seconds about a turning point over which its posture is the median."""


@dataclass(frozen=True)
class Fine:
    """Series (N,) of angles, and (N, 3) of the middles of joints and of the centre of mass, in world axes.

    Where one leg works, its ankle alone counts: halfway to a foot that is held out lies nothing.
    """

    time: Array
    angles: dict[str, Array]
    points: dict[str, Array]

    @property
    def sideways(self) -> bool:
        """Whether the hips have no angle in the body's plane: the thighs point out of it."""
        return bool(np.isnan(self.angles["hip"]).any())

    def within(self, start: float, end: float, margin: float = 0.0) -> NDArray[np.bool_]:
        """Which samples lie between two times."""
        return np.asarray((self.time >= start - margin) & (self.time <= end + margin))

    def median(self, inside: NDArray[np.bool_]) -> dict[str, float]:
        """The posture over some samples, without the angles that it does not have."""
        known = {name: angle[inside] for name, angle in self.angles.items() if not np.isnan(angle).any()}
        return {name: round(float(np.median(angle)), 3) for name, angle in known.items()}

    def at(self, moment: float) -> dict[str, float]:
        """The posture about a moment."""
        return self.median(self.within(moment, moment, MOMENT))


def angles_of(figure: Figure, joints: dict[str, Array], movement: Movement) -> dict[str, Array]:
    """The angles (N,) that a measurement of this figure must find.

    They are the means of left and right; the near side's where effort is uneven, and of the leg that works where one does.
    Thighs that point at the phone have no side bend (NaN).
    """
    exercise, near = figure.recipe.exercise, (figure.recipe.facing,)
    uneven = exercise.asymmetry != 0 and movement.plane == "sagittal"
    angles = body_angles(joints, movement, near if uneven else SIDES, near if uneven else working_legs(figure))
    if movement.plane == "frontal" and exercise.place.get("hip", 0.0) > 45 and len(working_legs(figure)) > 1:
        angles["hip"] = np.full_like(angles["hip"], np.nan)
    return angles


def working_legs(figure: Figure) -> tuple[str, ...]:
    """Both sides, or the near one where one leg works."""
    exercise = figure.recipe.exercise
    one_leg = "single-leg" in exercise.movement or exercise.variant == "one-leg"
    return (figure.recipe.facing,) if one_leg else SIDES


def fine_series(figure: Figure, movement: Movement) -> Fine:
    """All series of a figure over its whole clip."""
    time = np.arange(0, figure.seconds, 1 / RATE)
    angles: list[dict[str, Array]] = []
    points: list[dict[str, Array]] = []
    for first in range(0, len(time), CHUNK):
        joints = figure.joints(time[first : first + CHUNK])
        angles.append(angles_of(figure, joints, movement))
        ankle = np.mean([joints[f"{side}_ankle"] for side in working_legs(figure)], axis=0)
        middles = {name: middle(joints, name) for name in MIDDLES}
        points.append(middles | {"ankle": ankle, "mass": joints["centre_of_mass"]})
    return Fine(time, _joined(angles), _joined(points))


def _joined(pieces: list[dict[str, Array]]) -> dict[str, Array]:
    return {name: np.concatenate([piece[name] for piece in pieces]) for name in pieces[0]}


def rounded(value: Any, digits: int = 4) -> Any:
    """A plain float of so many digits; None for None."""
    return None if value is None else round(float(value), digits)
