"""Front lever, planche and L-sit: still holds on straight arms, the centre of mass over or under the hands."""

from collections.abc import Callable
from itertools import pairwise

import numpy as np

from sample_clips.body import Body
from sample_clips.moves.plan import (
    GRIP,
    Array,
    Build,
    Placed,
    Prop,
    Unsteady,
    balance,
    both,
    build,
    deep,
    posture,
    up,
)
from sample_clips.posture import Posture
from sample_clips.recipe import Exercise

Make = Callable[[Array], Posture]


def front_lever(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Level under a bar, belly up. Place: `level` (body angle), `hip` and `knee` bend (0 full lever), `bar_height`."""
    place = {"bar_height": 2.1, "hand_half_width": 0.24, "level": 2.0, "hip": 2.0, "knee": 3.0, "rings": 0.0}
    place |= exercise.place
    zero = 0 * depth
    size = build(body, zero + 6, zero + 2, zero + 4)
    arm = size.arm(exercise.straight + zero, place["hand_half_width"])
    wrist = np.array([0.0, place["bar_height"] - GRIP])
    trunk = -90 + place["level"] + exercise.drift * depth + unsteady.lean

    def make(slant: Array) -> Posture:
        shoulder = wrist - arm[:, None] * up(slant)
        fingers = deep(up(slant))
        return _lever(
            size, place, shoulder, trunk, unsteady, wrist, palm=(-1, 0, 0.4), fingers=fingers, curl=1.0, lumbar=6.0
        )

    slant = balance(body, make, 0.02 + unsteady.shift[:, 0], zero + 32)
    main = make(slant)
    z = place["bar_height"]
    if place["rings"]:
        props = _rings(place, z)
    else:
        props = [Prop("bar", (0.0, -0.8, z), (0.0, 0.8, z), 0.016)]
        props += [Prop("bar", (0.0, y, z), (0.0, y, 3.3), 0.025, "paint") for y in (-0.8, 0.8)]
    return Placed(main, tuple(props), _lower_hips(main, -0.12))


def planche(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Level above the hands, belly down. Place: `level`, `hip` and `knee` bend, `bar_height` of the parallettes."""
    place = {"bar_height": 0.22, "hand_half_width": 0.24, "level": -4.0, "hip": 118.0, "knee": 128.0} | exercise.place
    zero = 0 * depth
    size = build(body, zero + 22, zero - 6, zero + 16)
    arm = size.arm(exercise.straight + zero, place["hand_half_width"])
    wrist = np.array([0.0, place["bar_height"] + 0.06])
    trunk = 90 - place["level"] + exercise.drift * depth + unsteady.lean

    def make(slant: Array) -> Posture:
        shoulder = wrist + arm[:, None] * up(slant)
        return _lever(
            size, place, shoulder, trunk, unsteady, wrist,
            palm=(0, -0.5, -1), fingers=(0.75, 0, -0.65), curl=0.8, lumbar=22.0, shrug=-6.0, protract=16.0, neck=-34.0,
        )  # fmt: skip

    main = make(balance(body, make, 0.02 + unsteady.shift[:, 0], zero + 25))
    return Placed(main, _parallettes(place), _lower_hips(main, -0.08))


def l_sit(body: Body, exercise: Exercise, depth: Array, unsteady: Unsteady) -> Placed:
    """Seated in the air between the hands, legs level ahead. Place: `trunk` pitch, `hip` bend, `bar_height`."""
    place = {"bar_height": 0.34, "hand_half_width": 0.24, "hip": 101.0, "knee": 4.0} | exercise.place
    zero = 0 * depth
    size = build(body, zero + 14, zero - 9, zero + 4)
    arm = size.arm(exercise.straight + zero, place["hand_half_width"])
    wrist = np.array([0.0, place["bar_height"] + 0.06])
    slant = zero - 6

    def make(trunk: Array) -> Posture:
        shoulder = wrist + arm[:, None] * up(slant)
        return _lever(
            size, place, shoulder, trunk, unsteady, wrist,
            palm=(0, -0.5, -1), fingers=(0.75, 0, -0.65), curl=0.8, lumbar=14.0, shrug=-9.0, protract=4.0, neck=4.0,
        )  # fmt: skip

    main = make(balance(body, make, 0.02 + unsteady.shift[:, 0], zero + 10) + exercise.drift * depth)
    return Placed(main, _parallettes(place), _lower_feet(main))


def _lever(
    size: Build,
    place: dict[str, float],
    shoulder: Array,
    trunk: Array,
    unsteady: Unsteady,
    wrist: Array,
    **more: Array | float | tuple[float, ...],
) -> Posture:
    """Trunk from the shoulders, legs from the hips by their bend."""
    hips = shoulder - size.trunk[:, None] * up(trunk)
    thigh = trunk - place["hip"] - unsteady.hip
    shank = thigh + place["knee"]
    ankle = hips - size.thigh * up(thigh) - size.shank * up(shank)
    return posture(
        len(trunk), hip=deep(hips, unsteady.shift[:, 1]), trunk=trunk, flare=10, foot_left=shank + 42, foot_right=shank + 42,
        **both("wrist", wrist[0], place["hand_half_width"], wrist[1]), **both("ankle", ankle[:, 0], 0.06, ankle[:, 1]),
        **({"protract": 4.0, "shrug": 2.0} | more),
    )  # fmt: skip


def _parallettes(place: dict[str, float]) -> tuple[Prop, ...]:
    z, props = place["bar_height"], []
    for y in (-place["hand_half_width"], place["hand_half_width"]):
        props.append(Prop("bar", (-0.22, y, z), (0.3, y, z), 0.019, "wood"))
        props += [Prop("bar", (x, y, 0.0), (x, y, z), 0.016, "paint") for x in (-0.18, 0.26)]
        props += [Prop("bar", (x, y - 0.13, 0.015), (x, y + 0.13, 0.015), 0.016, "paint") for x in (-0.18, 0.26)]
    return tuple(props)


def _rings(place: dict[str, float], z: float) -> list[Prop]:
    props = []
    for y in (-place["hand_half_width"], place["hand_half_width"]):
        corners = [(0.11 * np.cos(a), z + 0.11 + 0.11 * np.sin(a)) for a in np.linspace(0, 2 * np.pi, 13)]
        for (x0, z0), (x1, z1) in pairwise(corners):
            props.append(Prop("bar", (float(x0), y, float(z0)), (float(x1), y, float(z1)), 0.015, "wood"))
        props.append(Prop("bar", (0.0, y, z + 0.22), (0.0, y, 3.2), 0.008, "rubber"))
    return props


def _lower_hips(main: Posture, drop: float) -> Posture:
    """Not yet level: hips low, head up."""
    values = {name: getattr(main, name)[:1].copy() for name in main.__dataclass_fields__}
    values["hip"] += [0.0, 0.0, drop]
    values["ankle_left"] += [0.0, 0.0, 1.8 * drop]
    values["ankle_right"] += [0.0, 0.0, 1.8 * drop]
    values["trunk"] -= 12 * np.sign(values["trunk"])
    values["neck"] += 10
    return Posture(**values)


def _lower_feet(main: Posture) -> Posture:
    """Feet still low, before the legs are lifted level."""
    values = {name: getattr(main, name)[:1].copy() for name in main.__dataclass_fields__}
    values["ankle_left"] += [-0.20, 0.0, -0.10]
    values["ankle_right"] += [-0.12, 0.0, -0.07]
    values["trunk"] -= 3
    return Posture(**values)
