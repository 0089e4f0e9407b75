"""The truth of standards (`models.movements.standard`), from the joints and the skin of the drawn body."""

import numpy as np
from numpy.typing import NDArray

from models.movements import Movement
from models.movements.standard import HIP_CREASE, KNEE_TOP, StandardEntry
from sample_clips import surface
from sample_clips.angles import SIDES
from sample_clips.figure import Figure
from sample_clips.joints import joint_points
from sample_clips.moves.plan import GRIP
from sample_clips.turns import unit

Array = NDArray[np.float64]
UP = np.array([0.0, 0.0, 1.0])


def standard_distances(figure: Figure, movement: Movement, moments: dict[str, Array]) -> list[dict[str, float | str]]:
    """Every standard of the movement: the median over the moment (seconds, N) of the end at which it is measured."""
    found: list[dict[str, float | str]] = []
    for entry in movement.standards:
        seen = Moment(figure, moments[entry.end])
        found.append({"name": entry.name, "distance": round(float(np.median(seen.reached(entry))), 3)})
    return found


class Moment:
    """The drawn body at some times: the points that standards name, (N, 3) in world axes."""

    def __init__(self, figure: Figure, time: Array) -> None:
        self.figure, self.body = figure, figure.body
        self.pose = figure.pose(time)
        self.joints = {name: at @ figure.facing.T for name, at in joint_points(figure.body, self.pose).items()}
        one = "single-leg" in figure.recipe.exercise.movement
        self.legs = (figure.recipe.facing,) if one else SIDES

    def reached(self, entry: StandardEntry) -> Array:
        """Signed distance (N,) in % of standing height, positive when reached."""
        if entry.way == "touching" and entry.reference == "grip":
            metres = -self._gap_to_the_chest()
        elif entry.way == "touching":
            metres = self._height(entry.reference) - self._lowest(entry.point)
        elif entry.way == "above":
            metres = self._height(entry.point) - self._height(entry.reference)
        else:
            metres = self._height(entry.reference) - self._height(entry.point)
        return 100 * metres / self.body.height

    def _height(self, name: str) -> Array:
        if name == "palms":
            level = self.figure.placed_first.palms
            return self._height("grip") if level is None else np.full(len(self.pose.heads), level)
        if name == "soles":
            return np.min([self.joints[f"{side}_{end}"][:, 2] for side in self.legs for end in ("heel", "toe")], axis=0)
        if name == "head":
            return self._lowest(name)
        if name == "chest":
            return self._chest()[:, -1, 2]
        return self._point(name)[:, 2]

    def _point(self, name: str) -> Array:
        if name == "chin":
            return self._skin(np.array([surface.chin(self.body)]))[:, 0]
        if name == "grip":
            return self._grip()
        if name == "hip_crease":
            front = unit(self._front("shoulder", "hip") + self._front("hip", "knee"))
            return self._joint("hip") + HIP_CREASE * self.body.height * front
        if name == "knee_top":
            shank = unit(self._joint("knee") - self._joint("ankle"))
            return self._joint("knee") + KNEE_TOP * self.body.height * shank
        return self._joint(name)

    def _joint(self, name: str) -> Array:
        sides = self.legs if name in ("hip", "knee", "ankle") else SIDES
        return np.asarray(sum(self.joints[f"{side}_{name}"] for side in sides) / len(sides))

    def _grip(self) -> Array:
        """The axis of the bar, or the middle of the closed hands."""
        bar = self.figure.placed_first.bar
        if bar is not None:
            ahead, height = bar
            return np.tile(self.figure.facing @ [ahead, 0.0, height], (len(self.pose.heads), 1))
        fists = []
        for side in SIDES:
            wrist = self.joints[f"{side}_wrist"]
            fists.append(wrist + GRIP * unit(self.joints[f"{side}_knuckle"] - wrist))
        return np.asarray((fists[0] + fists[1]) / 2)

    def _front(self, upper: str, lower: str) -> Array:
        """Square to a segment, to the side on which the belly or the kneecap lies."""
        across = sum(self.joints[f"left_{name}"] - self.joints[f"right_{name}"] for name in ("hip", "shoulder"))
        return unit(np.cross(across, self._joint(upper) - self._joint(lower)))

    def _skin(self, which: surface.Which) -> Array:
        return surface.skin_at(self.body, self.pose, which) @ self.figure.facing.T

    def _chest(self) -> Array:
        """The front of the chest (N, K, 3), from the shoulders' level downward."""
        which = surface.chest(self.body)
        return self._skin(which[np.argsort(-self.body.vertices[which, 2])])

    def _lowest(self, name: str) -> Array:
        if name == "chest":
            return self._chest()[..., 2].min(axis=1)
        if name == "head":
            return self._skin(surface.skull(self.body))[..., 2].min(axis=1)
        return self._height(name)

    def _gap_to_the_chest(self) -> Array:
        """From the grip line to the front of the trunk, square to the trunk, or to the nearer end of the chest."""
        chest, grip = self._chest(), self._grip()
        trunk = unit(self._joint("shoulder") - self._joint("hip"))
        front = self._front("shoulder", "hip")
        gaps = np.empty(len(grip))
        for i in range(len(grip)):
            away = grip[i] - chest[i]
            level, ahead = away @ trunk[i], away @ front[i]
            order = np.argsort(level)
            if level.min() <= 0 <= level.max():
                gaps[i] = np.interp(0.0, level[order], ahead[order])
            else:
                end = int(np.argmin(np.abs(level)))
                gaps[i] = float(np.hypot(level[end], ahead[end]))
        return gaps
