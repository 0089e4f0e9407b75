"""A partner who helps: hands at the athlete's waist or shins, wherever these go."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.spatial.transform import Rotation

from sample_clips.body import Body
from sample_clips.bystander import person_beside
from sample_clips.figure import Figure
from sample_clips.joints import middle
from sample_clips.moves.geometry import both, deep, up
from sample_clips.posture import Values, posture
from sample_clips.recipe import Clothes, Exercise, Person, Recipe
from sample_clips.skeleton import Pose, reach, shoulder_offset, solve
from sample_clips.turns import unit

Array = NDArray[np.float64]
SIDES = ("left", "right")
HAND = 0.07
"""From the wrist's centre to the middle of the palm, metres."""
PLAIN = Clothes(top="tee", top_colour=(0.22, 0.24, 0.20), bottom="trousers", pattern="plain")
WAIST = 0.08
"""From the middle of the hips to a hand beside them."""
SHIN = 0.3
"""Where a hand holds a lower leg: share of the way from the ankle to the knee."""
NEAREST = 0.3
"""Metres between a partner's shoulders and what is held."""
BEHIND = frozenset({
    "pull-up", "chin-up", "muscle-up", "dip", "planche", "human-flag", "squat", "handstand", "handstand-push-up",
})  # fmt: skip
AHEAD = frozenset({"l-sit", "single-leg-squat"})


def partner_of(recipe: Recipe) -> Person:
    """Who helps, from the recipe's seed."""
    return person_beside(recipe.model_copy(update={"seed": recipe.seed + 1}))


@dataclass(frozen=True)
class Partner:
    """A helper whose hands follow the athlete's waist or ankles; the feet, bent knees and a leant trunk stay."""

    figure: Figure
    body: Body
    clothes: Clothes = PLAIN

    def pose(self, time: Array) -> Pose:
        """Turn and place of every bone at each time, canonical axes of the partner."""
        held = self._held(time)
        stance = self._stance
        count = len(time)
        zero = np.zeros(count)
        sway = np.stack([0.005 * np.sin(0.8 * time), 0.004 * np.cos(0.9 * time), zero], axis=1)
        ankle = both("ankle", np.array([[0.0, self.body.sole]]) + zero[:, None], 0.15)
        toward = held["left"] + held["right"]
        fist: Values = {"fingers": (1, 0, 0.0), "palm": (0, -1, 0.0), "along": 1.0, "curl": 0.35}
        hands = {f"wrist_{side}": held[side] - [HAND, 0.0, 0.0] for side in SIDES}
        look = np.degrees(np.arctan2(toward[:, 2] / 2 - 1.4, 0.6)) * -0.3
        return solve(
            self.body,
            posture(
                count, hip=deep(stance.hips) + sway, trunk=stance.trunk, flare=25, neck=look - 0.4 * stance.trunk,
                shrug=4.0, protract=10.0, **ankle, **hands, **fist,
            ),
        )  # fmt: skip

    def place(self, vertices: Array) -> Array:
        """Skin (V, 3) in world axes."""
        return (vertices @ self._turn.T + self._at) @ self.figure.facing.T

    def _held(self, time: Array) -> dict[str, Array]:
        """What each hand holds (N, 3), in the partner's axes."""
        points = {
            name: (at @ self.figure.facing - self._at) @ self._turn for name, at in self.figure.joints(time).items()
        }
        if self.figure.recipe.exercise.partner == "ankles":
            left, right = (_between(points, f"{side}_ankle", f"{side}_knee") for side in SIDES)
        elif self._beside:
            hip, along = middle(points, "hip"), unit(middle(points, "shoulder") - middle(points, "hip"))
            left, right = (hip - [WAIST, 0.0, 0.03] + sign * HAND * 2 * along for sign in (1, -1))
        else:
            above = 0.12 * (middle(points, "shoulder") - middle(points, "hip"))
            outward = 0.42 * (points["left_hip"] - points["right_hip"])
            left, right = points["left_hip"] + above + outward, points["right_hip"] + above - outward
        crossed = np.mean(left[:, 1] - right[:, 1]) < 0
        return {"left": right, "right": left} if crossed else {"left": left, "right": right}

    @property
    def _beside(self) -> bool:
        """Whether the partner stands square to the athlete's length."""
        return self._where[0] in (-90.0, 90.0)

    @cached_property
    def _where(self) -> tuple[float, Array]:
        """Turn about the vertical (degrees) and what is held on the whole (3,), canonical axes of the athlete."""
        exercise, busy = self.figure.recipe.exercise, self.figure.course.busy
        points = {name: at @ self.figure.facing for name, at in self.figure.joints(np.linspace(*busy, 20)).items()}
        points |= {name: middle(points, name) for name in ("hip", "knee", "ankle")}
        held = points["hip"] if exercise.partner == "waist" else _between(points, "ankle", "knee")
        far = 1.0 if self.figure.recipe.facing == "right" else -1.0
        return _turned(exercise, far), (held.max(0) + held.min(0)) / 2

    @cached_property
    def _turn(self) -> Array:
        return Rotation.from_euler("z", self._where[0], degrees=True).as_matrix()

    @cached_property
    def _at(self) -> Array:
        held = self._where[1] * [1.0, 1.0, 0.0]
        return held - self._stance.reach * self._turn[:, 0]

    @cached_property
    def _stance(self) -> "Stance":
        return stance(self.body, float(self._where[1][2]))


def _between(points: dict[str, Array], ankle: str, knee: str) -> Array:
    return points[ankle] + SHIN * (points[knee] - points[ankle])


def _turned(exercise: Exercise, far: float) -> float:
    """Which way the partner looks (degrees about the vertical, as the athlete's own axes); `far` is the far side's sign."""
    if exercise.movement in BEHIND:
        return 0.0
    return 180.0 if exercise.movement in AHEAD else -90.0 * far


@dataclass(frozen=True)
class Stance:
    """Hips (1, 2) over the ankles, pitch of the trunk, and how far ahead of the ankles the hands hold."""

    hips: Array
    trunk: float
    reach: float


def stance(body: Body, height: float) -> Stance:
    """How to stand so that the hands hold what is at a height (m): upright, leant over, or with bent knees too."""
    arm = 0.78 * (body.length("upperarm01.L", "lowerarm01.L") + body.length("lowerarm01.L", "wrist.L"))
    none = np.zeros(1)
    trunk = float(np.linalg.norm(shoulder_offset(body, none, none, none)))
    thigh, shank = body.length("upperleg01.L", "lowerleg01.L"), body.length("lowerleg01.L", "foot.L")
    tall = body.sole + float(reach(thigh, shank, 6.0)) + trunk
    drop = max(tall - (height + 0.6 * arm), 0.0)
    lean = float(np.degrees(np.arccos(np.clip(1 - drop / trunk, 0.45, 0.996))))
    knees = np.clip(tall - trunk - body.sole - max(drop - trunk * (1 - np.cos(np.radians(lean))), 0.0), 0.35, None)
    hips = np.array([[-0.35 * trunk * np.sin(np.radians(lean)), body.sole + knees]])
    shoulder = hips + trunk * up(lean)
    across = np.sqrt(max(arm**2 - (shoulder[0, 1] - height) ** 2, NEAREST**2))
    return Stance(hips, lean, float(shoulder[0, 0] + across))
