"""Reps of a clip: strokes, pauses, postures and status, as the measurement document wants them."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.document import Rep, Stroke
from models.movements.movement import Angle, Movement, Reps
from models.movements.standard import End
from models.quantity import Q, Unmeasured
from vision import strokes, witness
from vision.angles import inner_angle
from vision.cycles import Cycle, StrokeSpan, find_strokes, pair
from vision.level import Level
from vision.motion import Motion
from vision.phases import time_in_phases
from vision.position import in_position, stretches
from vision.posture import posture, worst
from vision.sight import Span
from vision.skeleton import INDEX, SIDES
from vision.standards import SEEN, measure_standards, without_standards
from vision.strictness import hip_range, swing
from vision.strokes import SMOOTHING
from vision.uncertainty import quantity, stated

SD_FACTOR: Final = 0.5
PLACING_FACTOR: Final = 0.45
"""By how much the driving angle may turn unseen: its noise from frame to frame, its posterior standard deviation so many
times, and that share of what its landmarks are misplaced by, for they do not sit in the same place all the way. Half the
time it takes for that is part of the doubt about a stroke's end."""
SPEED_U: Final = 0.5
"""Share of v, standard, by which the speed of a body at rest may seem off."""
BESIDE: Final = 0.25
"""Seconds either side of a stroke's end over which the largest standard deviation counts."""
LOST: Final = 0.3
"""A stroke cannot be timed where the driving angle's standard deviation passes this share of its range."""
UNSEEN: Final = "the joints that tell this stroke are lost from sight during it"
ENDS: Final[tuple[End, End]] = ("straight", "bent")
CUT_OFF: Final = "the clip's edge cuts this rep off"
MOMENT: Final = 0.08
"""Seconds either side of a stroke's end over which the posture there is taken."""
FOOT_STAYS: Final = 0.5
KNEE_OPENS: Final = 30.0
"""A foot that moves less than this share of the hips' way, under a knee that turns by more than these degrees, bears
the body, if all its joints are seen: that is a climb on a box or the floor."""


@dataclass(frozen=True)
class Timing:
    """How well the end of a stroke is known."""

    frame: float
    """Seconds between frames."""
    time: NDArray[np.float64]
    sd: NDArray[np.float64]
    placing_sd: NDArray[np.float64]
    """(frames,) seconds, and of the driving angle the posterior standard deviation, and that by where landmarks sit."""

    @property
    def instant(self) -> float:
        """Standard uncertainty (s) of any moment: a share of a frame, and the smoothing."""
        return float(np.hypot(self.frame / np.sqrt(12), SMOOTHING / 2))

    def ends(self, span: StrokeSpan) -> tuple[float, float]:
        """Standard uncertainties (s) of a stroke's begin and end.

        Independent parts: that of any moment, the time to travel what may go unseen, and the time for which
        the body is seen to travel outside of the stroke, with the truth anywhere in it (JCGM 100, 4.3.7).
        """
        outside = (0.0, 0.0) if span.body is None else witness.outside(span.v, span.travel, *span.body)
        unseen = (self._unseen(span, at) for at in (span.bounds.start, span.bounds.end))
        hidden = (strokes.time_to_travel(span.travel, span.bounds, turned)[i] for i, turned in enumerate(unseen))
        first, last = (self.instant**2 + (h / 2) ** 2 + o**2 / 3 for h, o in zip(hidden, outside, strict=True))
        return float(np.sqrt(first)), float(np.sqrt(last))

    def lost(self, span: StrokeSpan) -> bool:
        """Whether nothing is known of the driving angle for a part of the stroke."""
        return self._largest(self.sd, span.first_turn, span.last_turn) > LOST * span.travel.range

    def _unseen(self, span: StrokeSpan, at: float) -> float:
        """Degrees that the driving angle may turn unseen near a time."""
        sd, placing = (self._largest(part, at, at) for part in (self.sd, self.placing_sd))
        return float(np.linalg.norm([span.noise, SD_FACTOR * sd, PLACING_FACTOR * placing]))

    def _largest(self, sd: NDArray[np.float64], start: float, end: float) -> float:
        """Degrees: the largest of a standard deviation from a little before `start` to a little after `end`."""
        inside = (self.time >= start - BESIDE) & (self.time <= end + BESIDE)
        return float(sd[inside].max()) if inside.any() else 0.0


def _timing(motion: Motion, driving: Angle) -> Timing:
    return Timing(float(np.median(np.diff(motion.time))), motion.time, motion.sd[driving], motion.placing_sd[driving])


def find_cycles(motion: Motion, movement: Movement) -> list[Cycle]:
    """All reps, counted or not, in the order of time; none for a movement that is only held."""
    reps = movement.reps
    if reps is None:
        return []
    inside = in_position(motion, movement)
    clip = float(motion.time[0]), float(motion.time[-1])
    cycles: list[Cycle] = []
    for run in stretches(inside, motion.time):
        spans = find_strokes(motion.time[run], motion.angles[reps.driving][run], reps, witness.body_path(motion, run))
        spans = [span for span in spans if span.kind == "lowering" or _raised(motion, movement, span)]
        cycles += pair(spans, reps, clip, stays=run.stop == len(motion.time))
    return cycles


def _raised(motion: Motion, movement: Movement, span: StrokeSpan) -> bool:
    """Whether a way up is a raising: not in a lowering-only set, and not a climb in which a foot bears the body."""
    if movement.reps is None or movement.reps.lowering_only:
        return False
    if movement.position.contact != "hands":
        return True
    start, end = _known(span.bounds.start, span.first_turn), _known(span.bounds.end, span.last_turn)
    inside = (motion.time >= start) & (motion.time <= end)
    return not any(_pushes(motion, inside, side) for side in SIDES)


def _pushes(motion: Motion, inside: NDArray[np.bool_], leg: str) -> bool:
    """Whether a leg that is seen pushes the body up: its foot stays while the hips move, and its knee opens."""
    at = [INDEX[f"{leg}_{name}"] for name in ("hip", "knee", "ankle")]
    if motion.visibility[inside][:, at].mean(axis=0).min() < SEEN:
        return False
    hip, knee, ankle = (motion.joints[inside, joint] for joint in at)
    hips = motion.joints[inside, INDEX[f"{motion.near}_hip"]]
    moved, travelled = (np.linalg.norm(np.ptp(path, axis=0)) for path in (ankle, hips))
    return bool(moved < FOOT_STAYS * travelled and np.ptp(inner_angle(hip, knee, ankle)) > KNEE_OPENS)


def describe(motion: Motion, movement: Movement, level: Level, cycles: Sequence[Cycle]) -> list[Rep]:
    """Each rep's numbers; `cycles` are those of one set."""
    if not cycles or movement.reps is None:
        return []
    timing = _timing(motion, movement.reps.driving)
    resting = cycles[0].start, cycles[-1].end
    afterwards = (*cycles[1:], None)
    return [
        _rep(number, cycle, after, resting, motion, movement, level, timing)
        for number, (cycle, after) in enumerate(zip(cycles, afterwards, strict=True), start=1)
    ]


def _rep(
    number: int,
    cycle: Cycle,
    after: Cycle | None,
    resting: Span,
    motion: Motion,
    movement: Movement,
    level: Level,
    timing: Timing,
) -> Rep:
    first, last = cycle.strokes[0], cycle.strokes[-1]
    start, end = _known(first.bounds.start, first.first_turn), _known(last.bounds.end, last.last_turn)
    inner, outer = _inner_pause(cycle, timing), _outer_pause(cycle, after, timing)
    bottom_is_inner = first.kind == "lowering" if len(cycle.strokes) == 2 else last.kind == "raising"
    reps = movement.reps
    assert reps is not None
    ends = {end: (at - MOMENT, at + MOMENT) for end, at in zip(ENDS, turns(cycle, reps), strict=True)}
    standards = measure_standards(motion, movement, level, ends, resting)
    return Rep(
        n=number,
        status=cycle.status,
        start=start,
        end=end,
        lowering=_stroke(cycle.lowering, motion, movement, timing),
        raising=_stroke(cycle.raising, motion, movement, timing),
        top_pause=outer if bottom_is_inner else inner,
        bottom_pause=inner if bottom_is_inner else outer,
        straight=posture(motion, movement, *ends["straight"]),
        bent=posture(motion, movement, *ends["bent"]),
        worst=worst(motion, start, end),
        standards=standards if cycle.status != "cut_off" else without_standards(movement, CUT_OFF),
    )


def turns(cycle: Cycle, reps: Reps) -> tuple[float, float]:
    """Moments at which the driving angle is small and large: where the first stroke that is wholly seen begins and ends."""
    seen = [span for span in cycle.strokes if np.isfinite([span.bounds.start, span.bounds.end]).all()]
    span = (seen or cycle.strokes)[0]
    start, end = _known(span.bounds.start, span.first_turn), _known(span.bounds.end, span.last_turn)
    grows = (span.kind == "lowering") == (reps.lowering == "grows")
    return (start, end) if grows else (end, start)


def _stroke(span: StrokeSpan | None, motion: Motion, movement: Movement, timing: Timing) -> Stroke | None:
    if span is None:
        return None
    cut = np.isnan(span.bounds.start) or np.isnan(span.bounds.end)
    start, end = _known(span.bounds.start, span.first_turn), _known(span.bounds.end, span.last_turn)
    if cut or timing.lost(span):
        missing = Unmeasured(reason="the clip's edge cuts this stroke off" if cut else UNSEEN)
        thirds = strokes.thirds(span.travel, strokes.Bounds(start, end))
        return Stroke(
            start=start, end=end, duration=missing, thirds=thirds, stops=missing, swing=missing, hip_range=missing
        )
    u = timing.ends(span)
    return Stroke(
        start=start,
        end=end,
        duration=stated(end - start, "s", *u),
        thirds=strokes.thirds(span.travel, span.bounds),
        stops=_stops(span, timing),
        swing=swing(motion, start, end),
        hip_range=hip_range(motion, start, end),
        phases=time_in_phases(motion, movement, start, end),
    )


def _stops(span: StrokeSpan, timing: Timing) -> Q:
    """Seconds at rest within a stroke; how many more or fewer they are where the speed is not known exactly."""
    fewer, stopped, more = (
        strokes.stops(span.travel, share * span.v, span.bounds) for share in (1 - SPEED_U, 1, 1 + SPEED_U)
    )
    return quantity(stopped, "s", timing.instant, (more - fewer) / 2)


def _inner_pause(cycle: Cycle, timing: Timing) -> Q:
    if len(cycle.strokes) < 2:
        return Unmeasured(reason="the rep has a single stroke")
    return _pause(cycle.strokes[0], cycle.strokes[1], timing)


def _outer_pause(cycle: Cycle, after: Cycle | None, timing: Timing) -> Q:
    if after is None:
        return Unmeasured(reason="the set ends here")
    return _pause(cycle.strokes[-1], after.strokes[0], timing)


def _pause(before: StrokeSpan, after: StrokeSpan, timing: Timing) -> Q:
    """Time between two strokes."""
    if before.kind == after.kind:
        return Unmeasured(reason="between two lowerings lies the climb back, which is no pause")
    start, end = before.bounds.end, after.bounds.start
    if np.isnan(start) or np.isnan(end):
        return Unmeasured(reason="the clip's edge cuts a stroke beside it off")
    if timing.lost(before) or timing.lost(after):
        return Unmeasured(reason=UNSEEN)
    return stated(max(end - start, 0.0), "s", timing.ends(before)[1], timing.ends(after)[0])


def _known(value: float, otherwise: float) -> float:
    return otherwise if np.isnan(value) else value
