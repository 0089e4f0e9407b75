"""What every movement starts from and gives: an exercise at some depths, and the postures it takes a body to."""

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Body
from sample_clips.joints import centre_of_mass, joint_points
from sample_clips.moves.geometry import both, deep
from sample_clips.posture import Posture, Value, Values, posture
from sample_clips.recipe import Exercise
from sample_clips.skeleton import reach, shoulder_half_width, shoulder_offset, solve

Array = NDArray[np.float64]
GRIP = 0.085
"""From the wrist's centre to the middle of a bar in the fist, metres (an adult's hand)."""
ON_BAR = 0.06
"""Height of the wrist's centre over the middle of a bar that the hand presses on."""


@dataclass(frozen=True)
class Prop:
    """Something to hold or stand on: a `box` (centre, size) or a `bar` from one point to another with a radius."""

    kind: str
    first: tuple[float, float, float]
    second: tuple[float, float, float]
    radius: float = 0.016
    material: str = "steel"


@dataclass(frozen=True)
class Unsteady:
    """What a living body adds: shift of the body (N, 3) in metres, hip angle and lean (N,) in degrees."""

    shift: Array
    hip: Array
    lean: Array


@dataclass(frozen=True)
class Placed:
    """Postures of a movement, what they rest on, and a posture of getting ready (one row).

    `stand` is where the feet are on the floor before that, forward; None where nobody can stand. `back` are postures
    (N rows) by way of which a lowering-only rep gets back up. `bar` is the axis of what the hands hold (forward, up) and
    `palms` the height of what open hands press on, where there is such. A movement that is filmed from the front (`front`) lies
    in the plane of Y and Z instead of X and Z.
    """

    posture: Posture
    props: tuple[Prop, ...]
    ready: Posture
    stand: float | None = None
    back: Posture | None = None
    bar: tuple[float, float] | None = None
    palms: float | None = None
    front: bool = False


@dataclass(frozen=True)
class Build:
    """Lengths of one body with the shoulder girdle set as a movement needs it; all (N,) or metres."""

    upper_arm: float
    forearm: float
    thigh: float
    shank: float
    trunk: Array
    half_width: Array
    lumbar: Array
    shrug: Array
    protract: Array

    def arm(self, elbow: Array, hand_half_width: float) -> Array:
        """Length of the bent arm in the athlete's middle plane, the hands `hand_half_width` from it."""
        aside = hand_half_width - self.half_width
        return np.sqrt(reach(self.upper_arm, self.forearm, elbow) ** 2 - aside**2)

    def leg(self, knee: Array | float) -> Array:
        """Distance from hip to ankle."""
        return reach(self.thigh, self.shank, knee)


@dataclass(frozen=True)
class Act:
    """One body doing an exercise at depths (N,): 0 straight, 1 bent. `near` is the side that the phone sees."""

    body: Body
    exercise: Exercise
    depth: Array
    unsteady: Unsteady
    near: str = "right"

    @property
    def far(self) -> str:
        """The side that the phone does not see."""
        return "left" if self.near == "right" else "right"

    def place(self, **usual: float) -> dict[str, float]:
        """The movement's own measures: the usual ones, over them those of the recipe."""
        return usual | self.exercise.place

    @property
    def zero(self) -> Array:
        """(N,) zeros."""
        return 0 * self.depth

    @property
    def driving(self) -> Array:
        """The angle (N,) in degrees that runs from `straight` to `bent`."""
        return self.exercise.straight + (self.exercise.bent - self.exercise.straight) * self.depth

    def build(self, lumbar: Array | float, shrug: Array | float, protract: Array | float) -> Build:
        """Measures of the body with its back and shoulder girdle so."""
        girdle = [np.asarray(value + self.zero) for value in (lumbar, shrug, protract)]
        body = self.body
        return Build(
            body.length("upperarm01.L", "lowerarm01.L"),
            body.length("lowerarm01.L", "wrist.L"),
            body.length("upperleg01.L", "lowerleg01.L"),
            body.length("lowerleg01.L", "foot.L"),
            np.linalg.norm(shoulder_offset(body, *girdle), axis=1),
            shoulder_half_width(body, *girdle),
            *girdle,
        )

    def pose(
        self,
        size: Build,
        hips: Array,
        trunk: Array,
        wrist: tuple[Array, float],
        ankle: tuple[Array, float],
        **more: Value,
    ) -> Posture:
        """The posture with hips (N, 2) there, the trunk's pitch (N,), and hands and feet so far from the middle plane."""
        values: Values = {
            "hip": deep(hips, self.unsteady.shift[:, 1]),
            "trunk": trunk,
            "lumbar": size.lumbar,
            "shrug": size.shrug,
            "protract": size.protract,
            **both("wrist", *wrist),
            **both("ankle", *ankle),
        }
        return posture(len(self.depth), **(values | more))

    def balance(self, make: Callable[[Array], Posture], over: Array, guess: Array) -> Array:
        """The parameter (N,) at which the centre of mass of `make(parameter)` stands over `over` (secant steps)."""

        def off(value: Array) -> Array:
            points = joint_points(self.body, solve(self.body, make(value)))
            return centre_of_mass(points, self.body.person.gender)[:, 0] - over

        previous, value = guess, guess + 0.5 if np.max(np.abs(guess)) > 2 else guess + 0.02
        off_previous = off(previous)
        for _ in range(6):
            off_value = off(value)
            slope = off_value - off_previous
            step = np.where(np.abs(slope) > 1e-9, off_value * (value - previous) / np.where(slope == 0, 1, slope), 0)
            previous, off_previous, value = value, off_value, value - step
        return value


Move = Callable[[Act], Placed]
