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
RAISING_FIRST = frozenset({"row", "pull-up", "chin-up", "muscle-up"})


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
    if not exercise.reps:
        return _hold(exercise)
    bends_first = exercise.movement not in RAISING_FIRST
    from_bent = exercise.lowering_only and not bends_first
    line = _Line(exercise.reps[0].depth if from_bent else exercise.reps[0].straight)
    line.stay(exercise.lead_in)
    lay = _lowering_only if exercise.lowering_only else _cycle
    for number, rep in enumerate(exercise.reps):
        last = number == len(exercise.reps) - 1
        if rep.turns_back_at is not None:
            _attempt(line, number, rep, rep.turns_back_at, last=last)
        else:
            lay(line, number, rep, bends_first=bends_first, last=last)
    line.stay(exercise.lead_out)
    return _cut(np.concatenate(line.pieces), line.strokes, exercise)


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


class _Line:
    """The course of depth as it is being laid, piece by piece."""

    def __init__(self, level: float) -> None:
        self.level = level
        self.pieces: list[Array] = []
        self.strokes: list[Stroke] = []

    def stay(self, seconds: float, creep: float = 0.0) -> None:
        """A pause, in which the depth may creep."""
        count = round(seconds * RATE)
        self.pieces.append(self.level + creep * (0.5 - 0.5 * np.cos(np.linspace(0, np.pi, count))))
        self.level += creep

    def stroke(self, number: int, role: Role, rep: Rep, target: float) -> None:
        """A stroke to a depth."""
        lowering = role == "lowering"
        seconds = rep.lowering if lowering else rep.raising
        profile, stops = (rep.profile, rep.stops) if lowering else (rep.raising_profile, ())
        speed = speed_shape(profile, min(rep.ramp / seconds, 0.45) / 2, stops, seconds)
        share = np.cumsum(speed) / np.sum(speed)
        start = sum(len(piece) for piece in self.pieces) / RATE
        self.pieces.append(self.level + (target - self.level) * share)
        self.strokes.append(Stroke(number, role, start, start + len(share) / RATE, self.level, target))
        self.level = target


def _cycle(line: _Line, number: int, rep: Rep, *, bends_first: bool, last: bool) -> None:
    """Both strokes of a rep, from straight to bent and back."""
    roles: tuple[Role, Role] = ("lowering", "raising") if bends_first else ("raising", "lowering")
    between, after = (rep.bottom, rep.top) if bends_first else (rep.top, rep.bottom)
    line.stroke(number, roles[0], rep, rep.depth)
    line.stay(between, rep.creep)
    line.stroke(number, roles[1], rep, rep.straight)
    if not last:
        line.stay(after)


def _lowering_only(line: _Line, number: int, rep: Rep, *, bends_first: bool, last: bool) -> None:
    """A lowering, and the way back to where it began, which is no stroke."""
    top, bottom = (rep.straight, rep.depth) if bends_first else (rep.depth, rep.straight)
    line.stroke(number, "lowering", rep, bottom)
    line.stay(rep.bottom, rep.creep)
    if not last:
        line.stroke(number, "climb", rep, top)
        line.stay(rep.top)


def _attempt(line: _Line, number: int, rep: Rep, peak: float, *, last: bool) -> None:
    """A raise that turns back at a depth."""
    level = line.level
    line.stroke(number, "attempt", rep, peak)
    line.stroke(number, "lowering", rep, level)
    if not last:
        line.stay(rep.bottom)


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
