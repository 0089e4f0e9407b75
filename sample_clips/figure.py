"""A person doing an exercise over time: the course of the movement, the body's unsteadiness, getting ready and leaving."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.signal import butter, sosfiltfilt

from sample_clips.body import Body
from sample_clips.joints import centre_of_mass, joint_points
from sample_clips.moves import MOVES, Act, Placed, Unsteady
from sample_clips.moves.plan import Prop
from sample_clips.phases import Stages, climb, set_up, standing, step_off, way_back
from sample_clips.phenotype import build_body
from sample_clips.posture import Posture
from sample_clips.recipe import Recipe
from sample_clips.skeleton import Pose, solve
from sample_clips.tempo import Course, plan
from sample_clips.uneven import swung, uneven

Array = NDArray[np.float64]
NOISE_RATE = 50.0
FROM_THE_FRONT = np.array([[0.0, 1.0, 0.0], [-1.0, 0.0, 0.0], [0.0, 0.0, 1.0]])
"""Canonical to world axes of an athlete whose belly faces the phone."""


@dataclass(frozen=True)
class Figure:
    """Everything about the athlete that does not depend on the camera. World axes: facing applied."""

    recipe: Recipe
    body: Body
    course: Course
    noises: dict[str, Array]
    placed_first: Placed

    @property
    def seconds(self) -> float:
        """Length of the clip."""
        return float(self.course.time[-1])

    @property
    def props(self) -> tuple[Prop, ...]:
        """What the athlete rests on, canonical axes."""
        return self.placed_first.props

    @cached_property
    def facing(self) -> Array:
        """Turn (3, 3) from canonical to world axes."""
        if self.placed_first.front:
            return FROM_THE_FRONT
        return np.diag([1.0, 1.0, 1.0]) if self.recipe.facing == "right" else np.diag([-1.0, -1.0, 1.0])

    def depth(self, time: Array) -> Array:
        """Depth with the tremor of a living muscle in it."""
        return self.course.at(time) + self._noise("depth", time)

    def posture(self, time: Array) -> Posture:
        """Posture at each time, getting ready and leaving included."""
        exercise, depth = self.recipe.exercise, self.depth(time)
        placed = _place(self.body, self.recipe, depth, self._unsteady(time))
        main = swung(uneven(placed.posture, exercise, depth), exercise, time)
        if exercise.lowering_only and exercise.place.get("step"):
            main = climb(main, exercise.place["step"], self.body.sole, self.course, time)
        elif exercise.lowering_only and placed.back is not None:
            main = way_back(main, placed.back, self.course, time)
        start, end = self.course.busy
        main = set_up(main, self._stages, exercise.set_up, time, start)
        return step_off(main, self._stages, exercise.step_off, time, end, self.seconds)

    @cached_property
    def at_rest(self) -> dict[str, Array]:
        """Joint centres (1, 3) at the start of the exercise, canonical axes."""
        return joint_points(self.body, solve(self.body, self.placed_first.posture))

    @cached_property
    def _stages(self) -> Stages:
        first = self.placed_first
        return Stages(first.ready, None if first.stand is None else standing(self.body, first.stand))

    def pose(self, time: Array) -> Pose:
        """Turn and place of every bone at each time, canonical axes."""
        return solve(self.body, self.posture(time))

    def joints(self, time: Array) -> dict[str, Array]:
        """Joint centres and skin points (N, 3) in world axes, the centre of mass among them."""
        points = joint_points(self.body, self.pose(time))
        points["centre_of_mass"] = centre_of_mass(points, self.body.person.gender)
        return {name: at @ self.facing.T for name, at in points.items()}

    def _noise(self, name: str, time: Array) -> Array:
        series = self.noises[name]
        return np.asarray(PchipInterpolator(np.arange(len(series)) / NOISE_RATE, series)(time))

    def _unsteady(self, time: Array) -> Unsteady:
        shift = np.stack([self._noise(axis, time) for axis in "xyz"], axis=1)
        return Unsteady(shift, self._noise("hip", time), self._noise("lean", time))


def build_figure(recipe: Recipe) -> Figure:
    """The athlete of a recipe."""
    body = build_body(recipe.person)
    course = plan(recipe.exercise)
    noises = _noises(recipe, course)
    first = np.zeros(1) + course.depth[0]
    quiet = Unsteady(np.zeros((1, 3)), np.zeros(1), np.zeros(1))
    return Figure(recipe, body, course, noises, _place(body, recipe, first, quiet))


def _place(body: Body, recipe: Recipe, depth: Array, unsteady: Unsteady) -> Placed:
    return MOVES[recipe.exercise.movement](Act(body, recipe.exercise, depth, unsteady, recipe.facing))


def _noises(recipe: Recipe, course: Course) -> dict[str, Array]:
    """Smooth random series, evenly sampled at NOISE_RATE: shifts in metres, hip and lean in degrees, depth as a share."""
    generator = np.random.default_rng(recipe.seed)
    count = int(course.time[-1] * NOISE_RATE) + 8
    sway, exercise = recipe.sway, recipe.exercise
    still = exercise.hold is not None
    slow, fast = (0.9, 2.5) if still else (0.5, 1.2)

    def series(rms: float, cutoff: float) -> Array:
        extra = int(10 * NOISE_RATE)
        white = generator.standard_normal(count + 2 * extra)
        smooth = sosfiltfilt(butter(2, cutoff, fs=NOISE_RATE, output="sos"), white)[extra:-extra]
        return rms * smooth / np.std(smooth)

    shift = sway.shift_mm / 1000
    noises = {"x": series(shift, slow), "y": series(0.5 * shift, slow), "z": series(0.15 * shift, slow)}
    noises |= {"hip": series(sway.angle, fast) + series(sway.wobble, 1.2), "lean": series(0.6 * sway.angle, fast)}
    noises["depth"] = np.zeros(count) if still else series(0.1 / max(abs(exercise.bent - exercise.straight), 1), 0.7)
    return noises
