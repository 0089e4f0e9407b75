"""Find the angles that a posture leaves open, from where the body rests.

Which angles those are is told by `free`; the posture then holds a first guess for them, and the solution nearest to it is
taken. See `models.movements.demand` for the rules in words.
"""

from cmath import phase
from dataclasses import dataclass, replace
from math import degrees
from typing import Final

from models.body.build import Build
from models.body.figure import Figure, Posture, figure
from models.body.roots import nearest_root
from models.body.statics import equilibrium
from models.body.supports import Supports, carried, cross, feet_bear, hands_bear, pivot, push
from models.errors import DemandError

Free = frozenset[str]
"""Open angles: "pitch", "shoulder", both or none."""

STEP: Final = 5.0
"""Degrees between the looks for a solution."""
REACH: Final = 100.0
"""Degrees from the guess within which a solution is looked for."""
HANG: Final = 40.0
"""Degrees from the straight line to the anchor within which relaxed arms hang."""


@dataclass(frozen=True, slots=True)
class Settled:
    """A posture without open angles: its figure, where the hands bear, and which way their support pulls."""

    posture: Posture
    body: Figure
    hands_at: complex
    pull: complex


def settle(asked: Posture, free: Free, supports: Supports, build: Build) -> Settled:
    """The posture with its open angles found, on its own: a hold, or the straight end of a rep.

    Raises:
        DemandError: no posture fits.
    """
    if supports.hands != "none" and supports.feet != "none":
        return _on_hands_and_feet(asked, free, supports, build)
    return _balanced(asked, free, supports, build)


def settle_from(straight: Settled, asked: Posture, free: Free, supports: Supports, build: Build) -> Settled:
    """The posture at the bent end, hands and feet where they were at the straight end.

    Shoulders, wrists and the point that the body turns about are a triangle with known sides.

    Raises:
        DemandError: the hands cannot stay where they were.
    """
    start = pivot(straight.body, supports, build)
    wrist = straight.body.wrist - start
    if "pitch" in free:
        asked = replace(asked, pitch=_pitch_of_triangle(asked, supports, build, wrist, turn=cross(wrist, -start)))
    body = figure(asked, build)
    shoulder = -pivot(body, supports, build)
    if "shoulder" in free:
        asked = replace(asked, shoulder=_seam(asked.shoulder + _turn(body.wrist, wrist - shoulder)))
        body = figure(asked, build)
    return Settled(asked, body, straight.hands_at - start - shoulder, straight.pull)


def _pitch_of_triangle(asked: Posture, supports: Supports, build: Build, wrist: complex, *, turn: float) -> float:
    body = figure(asked, build)
    trunk, arm, base = -pivot(body, supports, build), abs(body.wrist), abs(wrist)
    along = (base**2 + abs(trunk) ** 2 - arm**2) / (2 * base)
    if abs(along) > abs(trunk):
        raise DemandError(
            "with this bend the hands cannot stay where they are at the straight end; bend the elbows less"
        )
    aside = (abs(trunk) ** 2 - along**2) ** 0.5
    shoulder = complex(along, aside if turn >= 0 else -aside) * wrist / base
    return asked.pitch + _turn(trunk, shoulder)


def _on_hands_and_feet(asked: Posture, free: Free, supports: Supports, build: Build) -> Settled:
    def at(pitch: float) -> Settled:
        posture = replace(asked, pitch=pitch)
        return _arms(posture, supports, build) if "shoulder" in free else _fixed(posture, supports, build)

    def gap(pitch: float) -> float:
        there = at(pitch)
        return (there.hands_at - feet_bear(there.body, supports, build)).imag - supports.rise

    if "pitch" not in free:
        return at(asked.pitch)
    pitch = nearest_root(gap, asked.pitch, step=STEP, reach=REACH)
    if pitch is None:
        raise DemandError("hands and feet do not reach their places; change their heights or the posture")
    return at(pitch)


def _fixed(posture: Posture, supports: Supports, build: Build) -> Settled:
    """With the shoulder's angle given, a grip pulls along the arms; a hand on the floor pushes as it always does."""
    body = figure(posture, build)
    hands_at = hands_bear(body, supports, build)
    pull = push(supports) if supports.hands == "floor" else hands_at / abs(hands_at)
    return Settled(posture, body, hands_at, pull)


def _arms(posture: Posture, supports: Supports, build: Build) -> Settled:
    """Arms in line with what they push or pull: upright over the floor, plumb under a bar, relaxed toward the anchor."""
    if supports.hands != "straps" or supports.anchor is None:
        towards = -1j if supports.hands == "floor" else 1j
        posture = replace(posture, shoulder=_shoulder_towards(posture, build, towards))
        body = figure(posture, build)
        pull = push(supports) if supports.hands == "floor" else 1j
        return Settled(posture, body, hands_bear(body, supports, build), pull)
    return _in_straps(posture, supports.anchor, supports, build)


def _in_straps(posture: Posture, from_feet: complex, supports: Supports, build: Build) -> Settled:
    """Arms and straps hang as two links do: nothing but the arms' own weight turns them at the shoulder."""
    anchor = feet_bear(figure(posture, build), supports, build) + from_feet

    def at(shoulder: float) -> Settled:
        there = replace(posture, shoulder=shoulder)
        body = figure(there, build)
        hands_at = hands_bear(body, supports, build)
        return Settled(there, body, hands_at, (anchor - hands_at) / abs(anchor - hands_at))

    def moment(shoulder: float) -> float:
        there = at(shoulder)
        return equilibrium(there.body, supports, build, there.hands_at, there.pull).moments["shoulder"]

    straight = _shoulder_towards(posture, build, anchor)
    shoulder = nearest_root(moment, straight, step=STEP, reach=HANG)
    if shoulder is None:
        raise DemandError("relaxed arms do not reach toward the anchor; write another anchor, or the shoulder's angle")
    return at(shoulder)


def _balanced(asked: Posture, free: Free, supports: Supports, build: Build) -> Settled:
    hands = supports.hands != "none"
    if "shoulder" in free:
        up = 1j if supports.hands in ("bar", "straps") else -1j
        asked = replace(asked, shoulder=_shoulder_towards(asked, build, up))

    def at(value: float) -> tuple[Posture, Figure, complex]:
        posture = replace(asked, shoulder=value) if "shoulder" in free else replace(asked, pitch=value)
        body = figure(posture, build)
        return posture, body, hands_bear(body, supports, build) if hands else feet_bear(body, supports, build)

    def turning(value: float) -> float:
        _, body, contact = at(value)
        hands_at = contact if hands else hands_bear(body, supports, build)
        return sum(force.about(contact) for force in carried(body, supports, build, hands_at))

    start = asked.shoulder if "shoulder" in free else asked.pitch
    value = nearest_root(turning, start, step=STEP, reach=REACH) if free else start
    if value is None:
        raise DemandError("the body cannot balance over its support in this posture; change an angle")
    posture, body, contact = at(value)
    return Settled(
        replace(posture, shoulder=_seam(posture.shoulder)),
        body,
        contact if hands else hands_bear(body, supports, build),
        1j,
    )


def _shoulder_towards(posture: Posture, build: Build, towards: complex) -> float:
    """The shoulder's angle at which the wrist lies in this direction from the shoulder."""
    return posture.shoulder + _turn(figure(posture, build).wrist, towards)


def _turn(start: complex, end: complex) -> float:
    """Degrees from one direction to another, counterclockwise, within (-180, 180]."""
    return degrees(phase(end / start))


def _seam(angle: float) -> float:
    return (angle + 180) % 360 - 180
