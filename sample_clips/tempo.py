"""The driving angle against time: a rep's strokes and pauses as a smooth course of depth (0 straight, 1 bent)."""

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray
from scipy.signal.windows import hann

from sample_clips.recipe import Exercise, Rep

Array = NDArray[np.float64]
RATE = 1000.0
"""Samples per second of the exact course."""

Role = Literal["lowering", "raising", "climb", "attempt"]
LOWERING_FIRST = frozenset({"push-up", "dip", "squat", "handstand-push-up"})
LOWERING_BENDS = LOWERING_FIRST


@dataclass(frozen=True)
class Stroke:
    """A stroke as planned: its part in the rep (numbered from 0), its time, and the depth at both ends."""

    rep: int
    role: Role
    start: float
    end: float
    depth_start: float
    depth_end: float


@dataclass(frozen=True)
class Course:
    """Depth (N,) on an even clock of RATE from 0 to the clip's end, and the strokes that make it."""

    time: Array
    depth: Array
    strokes: tuple[Stroke, ...]
    busy: tuple[float, float]
    """From the first stroke's start, or the hold's, to the last one's end."""

    def at(self, time: Array) -> Array:
        """Depth at any times."""
        return np.interp(time, self.time, self.depth)


def plan(exercise: Exercise) -> Course:
    """Lay the reps, or the hold, on the clip's clock: lead-in first, lead-out last, both cuts applied."""
    first_bends = exercise.movement in LOWERING_FIRST
    if not exercise.reps:
        return _hold(exercise)
    pieces: list[Array] = []
    strokes: list[Stroke] = []
    straight_start = exercise.reps[0].straight
    level = straight_start if _starts_straight(exercise) else exercise.reps[0].depth
    _stay(pieces, level, exercise.lead_in, 0.0)
    for number, rep in enumerate(exercise.reps):
        level = _rep(pieces, strokes, number, rep, level, first_bends, last=number == len(exercise.reps) - 1)
    _stay(pieces, level, exercise.lead_out, 0.0)
    depth = np.concatenate(pieces)
    return _cut(depth, strokes, exercise)


def speed_shape(profile: str, ramp_share: float, stops: tuple[tuple[float, float], ...], seconds: float) -> Array:
    """Speed (N,) over a stroke of `seconds`, never negative, smooth at both ends; its scale is arbitrary."""
    count = max(int(seconds * RATE), 20)
    s = np.linspace(0, 1, count)
    if profile == "smooth":
        shape = np.sin(np.pi * s) ** 1.3
    elif profile == "drop":
        shape = np.where(s < 0.8, 1.0, 3.2)
    elif profile == "creep":
        shape = np.where(s < 0.12, 0.25, np.where(s > 0.88, 0.3, 1.0))
    else:
        shape = np.ones(count)
    for where, stand in stops:
        share = stand / seconds
        shape = np.where(np.abs(s - where) < share / 2, 0.0, shape)
    width = max(int(2 * ramp_share * count), 8)
    padded = np.concatenate([np.zeros(width), shape, np.zeros(width)])
    smooth = np.convolve(padded, hann(width + 1), mode="same")[width // 2 : -(width // 2)]
    return np.interp(np.linspace(0, 1, count), np.linspace(0, 1, len(smooth)), smooth)


def _starts_straight(exercise: Exercise) -> bool:
    """Pull-up and row start hanging, unless they are lowered only; the others start straight too."""
    return not exercise.lowering_only


def _rep(
    pieces: list[Array], strokes: list[Stroke], number: int, rep: Rep, level: float, bends_first: bool, last: bool
) -> float:
    low_first = bends_first or level > (rep.depth + rep.straight) / 2
    order: tuple[Role, ...] = ("lowering", "raising") if low_first else ("raising", "lowering")
    pause_between, pause_after = (rep.bottom, rep.top) if low_first else (rep.top, rep.bottom)
    if rep.turns_back_at is not None:
        return _attempt(pieces, strokes, number, rep, level)
    target_first = rep.depth if bends_first or not low_first else rep.straight
    target_second = rep.straight if bends_first or not low_first else rep.depth
    climbing = low_first and not bends_first
    level = _stroke(pieces, strokes, number, order[0], rep, level, target_first)
    _stay(pieces, level, pause_between, rep.creep)
    level += rep.creep
    if climbing and last:
        return level
    level = _stroke(pieces, strokes, number, "climb" if climbing else order[1], rep, level, target_second)
    if not last:
        _stay(pieces, level, pause_after, 0.0)
    return level


def _attempt(pieces: list[Array], strokes: list[Stroke], number: int, rep: Rep, level: float) -> float:
    """A raise that turns back: up to `turns_back_at`, and down again."""
    assert rep.turns_back_at is not None
    peak = rep.turns_back_at
    reached = _stroke(pieces, strokes, number, "attempt", rep, level, peak)
    return _stroke(pieces, strokes, number, "lowering", rep, reached, level)


def _stroke(
    pieces: list[Array], strokes: list[Stroke], number: int, role: Role, rep: Rep, level: float, target: float
) -> float:
    seconds = rep.lowering if role == "lowering" else rep.raising
    lowering = role == "lowering"
    profile = rep.profile if lowering else rep.raising_profile
    ramp = min(rep.ramp / seconds, 0.45)
    speed = speed_shape(profile, ramp / 2, rep.stops if lowering else (), seconds)
    share = np.cumsum(speed) / np.sum(speed)
    start = sum(len(piece) for piece in pieces) / RATE
    pieces.append(level + (target - level) * share)
    strokes.append(Stroke(number, role, start, start + len(share) / RATE, level, target))
    return target


def _stay(pieces: list[Array], level: float, seconds: float, creep: float) -> None:
    count = round(seconds * RATE)
    pieces.append(level + creep * (0.5 - 0.5 * np.cos(np.linspace(0, np.pi, count))))


def _hold(exercise: Exercise) -> Course:
    assert exercise.hold is not None
    count = round((exercise.lead_in + exercise.hold + exercise.lead_out) * RATE) + 1
    time = np.arange(count) / RATE
    depth = np.clip((time - exercise.lead_in) / exercise.hold, 0, 1)
    return Course(time, depth, (), (exercise.lead_in, exercise.lead_in + exercise.hold))


def _cut(depth: Array, strokes: list[Stroke], exercise: Exercise) -> Course:
    """Take off what lies before `start_cut` and in the last `end_cut` seconds."""
    first, last = round(exercise.start_cut * RATE), len(depth) - round(exercise.end_cut * RATE)
    depth = depth[first:last]
    shifted = tuple(
        Stroke(s.rep, s.role, s.start - exercise.start_cut, s.end - exercise.start_cut, s.depth_start, s.depth_end)
        for s in strokes
        if s.end > exercise.start_cut and s.start < last / RATE
    )
    time = np.arange(len(depth)) / RATE
    return Course(time, depth, shifted, (max(shifted[0].start, 0.0), min(shifted[-1].end, time[-1])))
