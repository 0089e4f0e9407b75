"""A posture's angles to joint positions and centres of mass, in the plane in which the body moves.

Points are complex numbers in units of the athlete's height: real part along the floor, imaginary part up, the shoulders at
the origin. `pitch` turns the whole body: it is the direction from hips to shoulders, 0 along the floor with the belly down,
90 upright with the belly ahead, 180 along the floor with the belly up, -90 upside down. A positive turn of shoulder, hip
or elbow turns the limb beyond it counterclockwise, of the knee clockwise. What leaves the plane (straddled legs) shortens
in it; both sides of the body count together.
"""

from cmath import exp
from dataclasses import dataclass
from math import cos, radians
from typing import TYPE_CHECKING, Final, Literal, TypeVar

from models.body.build import Build
from models.body.lengths import CHEST, HEEL

if TYPE_CHECKING:  # nothing in `models` needs NumPy to run
    import numpy as np
    from numpy.typing import NDArray

Part = Literal["forearm", "upper_arm", "trunk", "thigh", "lower_leg", "other_thigh", "other_lower_leg"]
LOWER_LEGS: Final = frozenset[Part]({"lower_leg", "other_lower_leg"})
LEGS: Final = LOWER_LEGS | frozenset[Part]({"thigh", "other_thigh"})
ARMS: Final = frozenset[Part]({"forearm", "upper_arm"})


Degrees = TypeVar("Degrees", float, "NDArray[np.float64]")


@dataclass(frozen=True, slots=True)
class Posture:
    """Angles in degrees, goniometric; `other_*` are those of a leg that does otherwise, `aside` is a human flag's plane."""

    pitch: float
    shoulder: float
    elbow: float = 0.0
    hip: float = 0.0
    knee: float = 0.0
    ankle: float = 0.0
    apart: float = 0.0
    other_hip: float | None = None
    other_knee: float = 0.0
    aside: bool = False


@dataclass(frozen=True, slots=True)
class Mass:
    """A share of body mass, the part of the body that it belongs to, and where it is."""

    part: Part
    share: float
    at: complex


@dataclass(frozen=True, slots=True)
class Leg:
    """One leg: its joints, and the way from heel to toes (zero where that leaves the plane)."""

    knee: complex
    ankle: complex
    along: complex
    toes: complex


@dataclass(frozen=True, slots=True)
class Figure:
    """Joints and masses of a posture. `palm` is the way in which the fingers of a flat hand point: +1 or -1."""

    elbow: complex
    wrist: complex
    forearm: complex
    hip: complex
    chest: complex
    leg: Leg
    other: Leg | None
    palm: float
    masses: tuple[Mass, ...]
    shoulder: complex = 0j


def way(degrees: float) -> complex:
    """The direction of a limb that hangs at this sum of pitch and flexion: 0 points to minus the real axis."""
    return -exp(1j * radians(degrees))


def seam(angle: Degrees) -> Degrees:
    """The same angle within [-180, 180); of a difference of angles, the shorter way round."""
    return (angle + 180) % 360 - 180


def figure(posture: Posture, build: Build) -> Figure:
    """Joints and masses of this posture of this body."""
    length, mass, centre = build.length, build.mass, build.centre
    p = posture
    upper, fore = way(p.pitch + p.shoulder), way(p.pitch + p.shoulder + p.elbow)
    elbow = length["upper_arm"] * upper
    wrist = elbow + length["forearm"] * fore
    down = way(p.pitch)
    hip = length["trunk"] * down
    leg = _leg(hip, p, build, p.hip, p.knee)
    other = None if p.other_hip is None else _leg(hip, p, build, p.other_hip, p.other_knee)
    masses = [
        Mass("trunk", mass["head"], -length["head"] * down),
        Mass("trunk", mass["trunk"], hip * centre["trunk"]),
        Mass("upper_arm", 2 * mass["upper_arm"], elbow * centre["upper_arm"]),
        Mass("forearm", 2 * mass["forearm"], elbow + (wrist - elbow) * centre["forearm"]),
        Mass("forearm", 2 * mass["hand"], wrist + fore * length["hand"] * centre["hand"]),
    ]
    masses += _leg_masses(hip, leg, build, "thigh", "lower_leg", legs=2 if other is None else 1)
    if other is not None:
        masses += _leg_masses(hip, other, build, "other_thigh", "other_lower_leg", legs=1)
    palm = 1.0 if (1j * fore).real >= 0 else -1.0
    return Figure(elbow, wrist, fore, hip, CHEST * hip, leg, other, palm, tuple(masses))


def centre_of_mass(body: Figure) -> complex:
    """Centre of mass of the whole body."""
    return sum(mass.share * mass.at for mass in body.masses) / sum(mass.share for mass in body.masses)


def _leg(hip: complex, p: Posture, build: Build, flexion: float, knee_flexion: float) -> Leg:
    length, apart = build.length, cos(radians(p.apart))
    thigh = _limb(p, flexion) * apart
    shank = _limb(p, flexion - knee_flexion) * apart
    knee = hip + length["thigh"] * thigh
    foot = 0j if p.aside else 1j * way(p.pitch + flexion - knee_flexion + p.ankle)
    return Leg(knee, knee + length["shank"] * shank, shank, foot)


def _limb(p: Posture, flexion: float) -> complex:
    """In a flag the legs bend toward the lens, out of the plane: what is left of them lies along the trunk."""
    return way(p.pitch) * cos(radians(flexion)) if p.aside else way(p.pitch + flexion)


def _leg_masses(hip: complex, leg: Leg, build: Build, thigh: Part, lower: Part, *, legs: int) -> list[Mass]:
    mass, centre, length = build.mass, build.centre, build.length
    ahead = (centre["foot"] - HEEL) * length["foot"]
    return [
        Mass(thigh, legs * mass["thigh"], hip + (leg.knee - hip) * centre["thigh"]),
        Mass(lower, legs * mass["shank"], leg.knee + (leg.ankle - leg.knee) * centre["shank"]),
        Mass(lower, legs * mass["foot"], leg.ankle + leg.along * length["sole"] / 2 + leg.toes * ahead),
    ]
