"""What comes before, between and after the reps or the hold: getting ready, climbing back up, stepping off."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from sample_clips.body import Body
from sample_clips.moves.geometry import both, deep, up
from sample_clips.posture import Posture, mix, posture, repeat
from sample_clips.skeleton import reach, shoulder_offset
from sample_clips.tempo import Course, Stroke

Array = NDArray[np.float64]
SETTLED = 0.25
"""Seconds between the end of settling and the first stroke."""


@dataclass(frozen=True)
class Stages:
    """Postures (one row) before and after an exercise: ready, and upright on the floor (None where nobody can stand)."""

    ready: Posture
    upright: Posture | None


def standing(body: Body, x: float) -> Posture:
    """Upright with the arms down and the feet at x: before getting ready, and after stepping off."""
    shoulder_half, hand, foot = body.head("upperarm01.L")[1], 0.24, 0.1
    leg = reach(body.length("upperleg01.L", "lowerleg01.L"), body.length("lowerleg01.L", "foot.L"), 4.0)
    arm = reach(body.length("upperarm01.L", "lowerarm01.L"), body.length("lowerarm01.L", "wrist.L"), 14.0)
    hips = np.array([[x, body.sole + leg]])
    none = np.zeros(1)
    shoulder = hips + np.linalg.norm(shoulder_offset(body, none, none + 2, none + 2)) * up(2.0)
    wrist = shoulder - np.sqrt(arm**2 - (hand - shoulder_half) ** 2) * up(-6.0)
    limbs = both("wrist", wrist, hand) | both("ankle", np.array([[x, body.sole]]), foot)
    return posture(1, hip=deep(hips), trunk=2.0, shrug=2.0, protract=2.0, palm=(0, -1, 0), along=1.0, curl=0.3, **limbs)


def set_up(main: Posture, stages: Stages, how: str, time: Array, start: float) -> Posture:
    """Into the exercise, whose first stroke or hold begins at `start` (s): from getting ready, or from standing."""
    return _into(main, stages, how, time, (0.0, 0.15 * start, start - SETTLED))


def step_off(main: Posture, stages: Stages, how: str, time: Array, end: float, last: float) -> Posture:
    """Out of the exercise, which ends at `end` (s), by the clip's `last` second: the same backward."""
    return _into(main, stages, how, -time, (-last, -(end + 0.9 * (last - end)), -(end + SETTLED)))


def _into(main: Posture, stages: Stages, how: str, time: Array, moments: tuple[float, float, float]) -> Posture:
    if how == "none":
        return main
    first, begin, settled = moments
    before = repeat(stages.ready, len(time))
    if how == "step" and stages.upright is not None:
        begin = first + 0.55 * (settled - first)
        before = _settle(repeat(stages.upright, len(time)), before, time, first + 0.08 * (settled - first), begin)
    return _settle(before, main, time, begin, settled)


def _settle(before: Posture, after: Posture, time: Array, start: float, end: float) -> Posture:
    """From one posture to the next between two times; the left leg moves first."""

    def share(begin: float, finish: float) -> Array:
        s = np.clip((time - begin) / max(finish - begin, 1e-6), 0, 1)
        return s**3 * (10 - 15 * s + 6 * s**2)

    middle = start + 0.62 * (end - start)
    limbs = {"ankle_left": share(start, middle), "ankle_right": share(start + 0.3 * (end - start), end)}
    return mix(before, after, share(start, end), limbs)


def climb(main: Posture, height: float, sole: float, course: Course, time: Array) -> Posture:
    """Back to the top by stepping on a box of a height: the legs lift the body, the arms only follow."""
    count = len(time)
    left = np.stack([np.full(count, 0.26), np.full(count, 0.09), np.full(count, height + sole)], 1)
    right = left * [1, -1, 1]
    on_left, on_right = np.ones(count), np.ones(count)
    for stroke in _lowerings(course):
        up = _rise(time, stroke.start - 0.95, stroke.start - 0.3)
        down = _rise(time, stroke.end + 0.5, stroke.end + 1.3)
        on_left = np.where(time < stroke.end, np.where(time > stroke.start - 1.0, 1 - up, on_left), down)
        late = _rise(time, stroke.end + 0.8, stroke.end + 1.6)
        on_right = np.where(time < stroke.end, np.where(time > stroke.start - 1.0, 1 - up, on_right), late)
    feet = {"ankle_left": left, "ankle_right": right, "foot_left": 0 * time, "foot_right": 0 * time}
    target = Posture(**{name: feet.get(name, getattr(main, name)) for name in main.__dataclass_fields__})
    shares = {"ankle_left": on_left, "foot_left": on_left, "ankle_right": on_right, "foot_right": on_right}
    return mix(main, target, on_left, shares)


def way_back(main: Posture, back: Posture, course: Course, time: Array) -> Posture:
    """Between lowerings by way of another posture: the legs tucked, or on all fours."""
    share = 0 * time
    for stroke in course.strokes:
        if stroke.role == "climb":
            third = (stroke.end - stroke.start) / 3
            into = _rise(time, stroke.start, stroke.start + third)
            share = np.maximum(share, into - _rise(time, stroke.end - third, stroke.end))
    return mix(main, back, share)


def _lowerings(course: Course) -> list[Stroke]:
    return [stroke for stroke in course.strokes if stroke.role == "lowering"]


def _rise(time: Array, start: float, end: float) -> Array:
    s = np.clip((time - start) / (end - start), 0, 1)
    return s * s * (3 - 2 * s)
