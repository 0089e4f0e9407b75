"""How well it is done: tempo, stops, creep, partial depth, uneven effort, and where the clip begins and ends."""

from typing import Any

from sample_clips.corpus.draw import Draw
from sample_clips.recipe import Exercise, Rep
from sample_clips.tempo import RAISING_FIRST

FAILING = frozenset({"row", "pull-up", "chin-up"})
STANDING = frozenset({
    "push-up", "pike-push-up", "pull-up", "chin-up", "dip", "squat", "handstand", "front-lever", "planche",
})  # fmt: skip
"""Movements that a clip may show from standing up to standing again."""
STEADY = frozenset({"push-up", "planche"})
"""Movements on rings in which these stay where they are."""


def reps(draw: Draw, count: int, slow: float) -> tuple[Rep, ...]:
    """A few reps of one athlete: much the same, with a fault now and then."""
    lowering = slow * draw.between(0.8, 1.4)
    profile = draw.pick("even", "even", "smooth", "drop", "creep")
    return tuple(_rep(draw, lowering * draw.between(0.9, 1.1), profile) for _ in range(count))


def _rep(draw: Draw, seconds: float, profile: str) -> Rep:
    faulty = draw.between(0, 1)
    depth = draw.between(0.32, 0.45) if faulty < 0.07 else draw.between(0.6, 0.75) if faulty < 0.2 else 1.0
    stops: list[tuple[float, float]] = []
    if seconds > 2 and draw.chance(0.16):
        stops = [(draw.between(0.25, 0.4), draw.between(0.3, 0.5))]
        stops += [(draw.between(0.6, 0.75), draw.between(0.3, 0.45))] if draw.chance(0.5) else []
    return Rep.model_validate({
        "lowering": seconds,
        "bottom": draw.between(0.3, 1.0),
        "raising": draw.between(0.8, 1.7),
        "top": draw.between(0.3, 1.0),
        "depth": depth * draw.between(0.97, 1.0),
        "profile": profile,
        "ramp": draw.between(0.1, 0.4),
        "stops": stops,
        "creep": draw.either_side(0.02, 0.045) if draw.chance(0.2) else draw.between(-0.012, 0.012),
    })  # fmt: skip


def with_faults(exercise: Exercise, draw: Draw) -> Exercise:
    """The exercise as it is done here."""
    changes: dict[str, Any] = {}
    if draw.chance(0.2):
        changes["asymmetry"] = draw.either_side(3, 8)
    if exercise.place.get("rings") and exercise.movement not in STEADY and draw.chance(0.6):
        changes["swing"] = draw.between(0.5, 1.6 if exercise.hold else 3.0)
    if exercise.movement.endswith("lever") and exercise.reps:
        changes["swing"] = 0.0  # the turn of the body is the rep: a swing would be one too
    exercise = exercise.model_copy(update=changes)
    return exercise.model_copy(update=_turned_back(exercise, draw) | _edges(exercise, draw))


def _turned_back(exercise: Exercise, draw: Draw) -> dict[str, Any]:
    """Now and then, where a rep begins with the raising, a last raise that turns back."""
    if exercise.movement not in FAILING or exercise.lowering_only or not draw.chance(0.2):
        return {}
    failed = {"turns_back_at": draw.between(0.3, 0.45), "lowering": 1.0, "stops": (), "profile": "smooth"}
    return {"reps": (*exercise.reps[:1], exercise.reps[-1].model_copy(update=failed))}


def _edges(exercise: Exercise, draw: Draw) -> dict[str, Any]:
    """Getting ready from standing, or a clip that begins or ends within a rep."""
    how = draw.between(0, 1)
    off_the_floor = exercise.place.get("rings") or exercise.place.get("knees")
    climbs = exercise.lowering_only and exercise.place.get("step")
    if climbs:
        return {
            "set_up": "none",
            "step_off": "none",
            "lead_in": draw.between(1.2, 1.8),
            "lead_out": draw.between(1.2, 1.8),
        }
    if exercise.movement in STANDING and not off_the_floor and how < 0.12:
        long = {"lead_in": draw.between(2.6, 3.2), "lead_out": draw.between(2.2, 2.6)}
        return {**long, "set_up": "step", "step_off": "step", "reps": exercise.reps[:1]}
    if len(exercise.reps) < 2 or exercise.lowering_only:
        return {}
    if 0.2 < how < 0.32:
        return {"lead_out": 0.0, "end_cut": draw.between(0.3, 0.7), "step_off": "none"}
    if 0.4 < how < 0.5:
        first = exercise.reps[0]
        stroke = first.raising if exercise.movement in RAISING_FIRST else first.lowering
        return {"start_cut": exercise.lead_in + draw.between(0.35, 0.8) * stroke, "set_up": "none"}
    return {}
