"""A person doing an exercise over time: the course of the movement, the body's unsteadiness, getting ready and leaving."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator
from scipy.signal import butter, sosfiltfilt

from sample_clips.body import Body
from sample_clips.joints import centre_of_mass, joint_points
from sample_clips.moves import MOVES, Placed, Unsteady
from sample_clips.moves.plan import Prop
from sample_clips.phenotype import build_body
from sample_clips.posture import Pose, Posture, mix, repeat, solve
from sample_clips.recipe import Recipe
from sample_clips.tempo import Course, plan

Array = NDArray[np.float64]
NOISE_RATE = 50.0
SETTLED = 0.25
"""Seconds between the end of settling and the first stroke."""


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
        return np.diag([1.0, 1.0, 1.0]) if self.recipe.facing == "right" else np.diag([-1.0, -1.0, 1.0])

    def depth(self, time: Array) -> Array:
        """Depth with the tremor of a living muscle in it."""
        return self.course.at(time) + self._noise("depth", time)

    def driving(self, time: Array) -> Array:
        """The driving angle in degrees, exact at any time of the reps."""
        exercise = self.recipe.exercise
        return exercise.straight + (exercise.bent - exercise.straight) * self.depth(time)

    def posture(self, time: Array) -> Posture:
        """Posture at each time, getting ready and leaving included."""
        placed = _place(self.body, self.recipe, self.depth(time), self._unsteady(time))
        main = placed.posture
        exercise = self.recipe.exercise
        if exercise.lowering_only and exercise.place.get("step"):
            main = climb(self.body, self.recipe, self.course, time, main)
        ready = repeat(self.placed_first.ready, len(time))
        start, end = self.course.busy
        if exercise.set_up != "none":
            main = _settle(ready, main, time, 0.15 * start, start - SETTLED)
        if exercise.step_off != "none":
            main = _settle(ready, main, -time, -(end + 0.9 * (self.seconds - end)), -(end + SETTLED))
        return main

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
    return MOVES[recipe.exercise.movement](body, recipe.exercise, depth, unsteady)


def _settle(ready: Posture, main: Posture, time: Array, start: float, end: float) -> Posture:
    """From getting ready to the exercise between two times; the left leg moves first."""

    def share(begin: float, finish: float) -> Array:
        s = np.clip((time - begin) / max(finish - begin, 1e-6), 0, 1)
        return s**3 * (10 - 15 * s + 6 * s**2)

    middle = start + 0.62 * (end - start)
    limbs = {"ankle_left": share(start, middle), "ankle_right": share(start + 0.3 * (end - start), end)}
    return mix(ready, main, share(start, end), limbs)


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


def climb(body: Body, recipe: Recipe, course: Course, time: Array, main: Posture) -> Posture:
    """Back to the top by stepping on a box: the legs lift the body, the arms only follow."""
    step = recipe.exercise.place["step"]
    left = np.stack([np.full(len(time), 0.26), np.full(len(time), 0.09), np.full(len(time), step + body.sole)], 1)
    right = left * [1, -1, 1]
    on_left, on_right = np.ones(len(time)), np.ones(len(time))
    for stroke in course.strokes:
        if stroke.role == "lowering":
            up = _rise(time, stroke.start - 0.95, stroke.start - 0.3)
            down = _rise(time, stroke.end + 0.5, stroke.end + 1.3)
            on_left = np.where(time < stroke.end, np.where(time > stroke.start - 1.0, 1 - up, on_left), down)
            late = _rise(time, stroke.end + 0.8, stroke.end + 1.6)
            on_right = np.where(time < stroke.end, np.where(time > stroke.start - 1.0, 1 - up, on_right), late)
    feet = {"ankle_left": left, "ankle_right": right, "foot_left": 0 * time, "foot_right": 0 * time}
    target = Posture(**{name: feet.get(name, getattr(main, name)) for name in main.__dataclass_fields__})
    shares = {"ankle_left": on_left, "foot_left": on_left, "ankle_right": on_right, "foot_right": on_right}
    return mix(main, target, on_left, shares)


def _rise(time: Array, start: float, end: float) -> Array:
    s = np.clip((time - start) / (end - start), 0, 1)
    return s * s * (3 - 2 * s)
