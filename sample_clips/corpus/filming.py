"""Where it is filmed, in what light, and with what phone."""

from typing import Any

from sample_clips.corpus.draw import Draw
from sample_clips.recipe import Exercise, Light, Phone, Room

SIZES = ((640, 360),) * 9 + ((854, 480),) * 7 + ((1280, 720),) * 3 + ((1920, 1080),)
BIT_RATES = {640: 380_000, 854: 560_000, 1280: 1_000_000, 1920: 1_800_000}
"""As messengers send clips; a hold gets more, for its sway is a matter of pixels."""
FOR_A_HOLD = 1.8
UPRIGHT = frozenset({
    "pull-up", "chin-up", "muscle-up", "squat", "single-leg-squat", "handstand", "handstand-push-up",
})  # fmt: skip
WALLED = frozenset({"handstand", "handstand-push-up"})
BESIDE_A_WALL = 8.0
"""Degrees of yaw beyond which the wall that the heels lean on would hide the athlete."""


def room(draw: Draw, exercise: Exercise) -> Room:
    """A hall, or a meadow without an edge to level by; somebody beside, something in the way."""
    alone = exercise.partner == "none"
    shared: dict[str, Any] = {
        "clutter": draw.whole(0, 10),
        "wall_distance": draw.between(1.0, 3.2),
        "second_person": draw.chance(0.1) and alone,
        "occluder": draw.pick("post", "box", "rail") if draw.chance(0.16) else "none",
        "occluder_at": draw.between(-0.6, 0.6),
    }
    if draw.chance(0.2) and not (exercise.movement in WALLED and exercise.place.get("wall", 1)):
        greens: dict[str, Any] = {"floor_colour": (0.36, 0.48, 0.22), "wall_colour": (0.22, 0.36, 0.17)}
        return Room(floor="grass", wall="hedge", edges=False, **greens, **shared)
    return Room(
        floor=draw.pick("planks", "mats", "concrete", "carpet"),
        wall=draw.pick("plaster", "brick", "panels"),
        floor_colour=draw.muted(0.25, 0.65),
        wall_colour=draw.muted(0.45, 0.9),
        **shared,
    )


def light(draw: Draw) -> Light:
    """From dim to bright, from any side, with the sensor's noise."""
    return Light(
        azimuth=draw.between(-80, 80),
        elevation=draw.between(35, 75),
        strength=draw.between(0.5, 1.3),
        ambient=draw.between(0.45, 0.9),
        warmth=draw.between(-0.5, 0.6),
        exposure=draw.between(0.75, 1.15),
        noise=draw.between(0.006, 0.03),
        blur_px=draw.between(0.4, 1.2),
    )


def phone(draw: Draw, exercise: Exercise) -> Phone:
    """On the floor and tilted up, on a stand or in a hand; sometimes the athlete reaches over the picture's edge."""
    width, height = draw.pick(*SIZES)
    upright = exercise.movement in UPRIGHT
    if draw.chance(0.7 if upright else 0.1):
        width, height = height, width
    size = max(width, height)
    wide = draw.chance(0.12)
    yaw = draw.between(-10, 10) if draw.chance(0.7) else draw.either_side(10, 25)
    turn: dict[str, Any] = {
        "yaw": max(-BESIDE_A_WALL, min(yaw, BESIDE_A_WALL)) if exercise.place.get("wall") else yaw,
        "roll": draw.between(-2, 2) if draw.chance(0.65) else draw.either_side(2, 8),
    }
    return Phone(
        width=width,
        height=height,
        rate=draw.pick(24.0, 25.0, 30.0, 30.0, 30.0, 30.0, 30.0, 60.0 if size == 640 else 30.0),
        view=draw.between(104, 114) if wide else float(draw.pick(55, 66, 66, 66, 72, 72, 84, 84)),
        fill=draw.between(0.62, 0.9),
        lens_height=draw.between(0.06, 0.2) if draw.chance(0.35) else draw.between(0.3, 1.6),
        variable_rate=draw.chance(0.2),
        codec="hevc10" if draw.chance(0.05) else "h264",
        rotation=draw.pick(90, 180, 270) if draw.chance(0.12) else 0,
        bit_rate=round(BIT_RATES[size] * (1.0 if exercise.hold is None else FOR_A_HOLD)),
        **(turn | _hand(draw) | _edge(draw, upright=upright or exercise.movement == "dip")),
    )


def _hand(draw: Draw) -> dict[str, Any]:
    """How the phone is held, what its stabiliser makes of that, and whether its sensor is recorded."""
    shaken = {"shake_deg": draw.between(0.1, 0.5), "shake_m": draw.between(0.002, 0.012)} if draw.chance(0.35) else {}
    how = draw.between(0, 1)
    if how < 0.08:
        shaken = {"shake_deg": draw.between(0.4, 1.2), "shake_m": draw.between(0.003, 0.012)}
        return {**shaken, "stabilised": "steady", "sensor": draw.chance(0.6)}
    if how < 0.16:
        return {**shaken, "roll": draw.either_side(4, 20), "stabilised": "horizon", "sensor": draw.chance(0.8)}
    return {**shaken, "sensor": draw.chance(0.35)}


def _edge(draw: Draw, *, upright: bool) -> dict[str, Any]:
    """Feet, hands or head a little past the picture's edge."""
    if not draw.chance(0.08):
        return {}
    edge = draw.pick("bottom", "top") if upright else draw.pick("left", "right")
    return {"cut": draw.between(0.02, 0.05), "cut_edge": edge}
