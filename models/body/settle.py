"""Find the angles that a posture leaves open, from where the body rests.

Which angles those are is told by `free`; the posture then holds a first guess for them, and the solution nearest to it is
taken. See `models.movements.demand` for the rules in words.
"""

from cmath import phase
from collections.abc import Callable
from dataclasses import dataclass, replace
from math import degrees
from typing import Final

from models.body.build import Build
from models.body.figure import ARMS, Figure, Posture, figure, seam
from models.body.roots import all_roots, nearest_root
from models.body.supports import Supports, carried, cross, feet_bear, hands_bear, pivot, pressed, push
from models.errors import DemandError

Free = frozenset[str]
"""Open angles: "pitch", "shoulder", both or none."""

STEP: Final = 5.0
"""Degrees between the looks for a solution."""
REACH: Final = 100.0
"""Degrees from the guess within which a solution is looked for."""
SHOULDER: Final = (-100.0, 200.0)
"""Degrees between which a shoulder can be: far behind the back, and overhead."""
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
        asked = replace(asked, shoulder=seam(asked.shoulder + _turn(body.wrist, wrist - shoulder)))
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
    pull = push(supports) if pressed(supports) else hands_at / abs(hands_at)
    return Settled(posture, body, hands_at, pull)


def _arms(posture: Posture, supports: Supports, build: Build) -> Settled:
    """Arms in line with what they push or pull: upright over the floor, plumb under a bar, relaxed toward the anchor."""
    if supports.hands != "straps" or supports.anchor is None:
        towards = -1j if pressed(supports) else 1j
        elbows = supports.hands == "forearms"
        posture = replace(posture, shoulder=_shoulder_towards(posture, build, towards, elbow=elbows))
        body = figure(posture, build)
        pull = push(supports) if pressed(supports) else 1j
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
        """Moment at the shoulder, times the pull's arm about the feet, which has no poles."""
        there = at(shoulder)
        feet_at = feet_bear(there.body, supports, build)
        given = carried(there.body, supports, build, there.hands_at)
        size = -sum(force.about(feet_at) for force in given)
        arm = cross(there.hands_at - feet_at, there.pull)
        hanging = sum(force.about(there.body.shoulder) for force in given if force.part in ARMS)
        return size * cross(there.hands_at - there.body.shoulder, there.pull) + arm * hanging

    straight = _shoulder_towards(posture, build, anchor)
    shoulder = nearest_root(moment, straight, step=STEP, reach=HANG)
    if shoulder is None:
        raise DemandError("relaxed arms do not reach toward the anchor; write another anchor, or the shoulder's angle")
    return at(shoulder)


def _balanced(asked: Posture, free: Free, supports: Supports, build: Build) -> Settled:
    """Hanging from the hands, or standing on hands or feet alone: the centre of mass in line with the support."""

    def turning(posture: Posture) -> float:
        there = _as_it_is(posture, supports, build)
        contact = feet_bear(there.body, supports, build) if supports.hands == "none" else there.hands_at
        return sum(force.about(contact) for force in carried(there.body, supports, build, there.hands_at))

    if "shoulder" in free:
        hung = seam(_shoulder_towards(asked, build, -1j if pressed(supports) else 1j))
        found = _shoulder_root(lambda angle: turning(replace(asked, shoulder=angle)), hung)
        posture = replace(asked, shoulder=found if found is not None else 0.0)
    elif "pitch" in free:
        found = nearest_root(lambda pitch: turning(replace(asked, pitch=pitch)), asked.pitch, step=STEP, reach=REACH)
        posture = replace(asked, pitch=found if found is not None else 0.0)
    else:
        return _as_it_is(asked, supports, build)
    if found is None:
        raise DemandError("the body cannot balance over its support in this posture; change an angle")
    return _as_it_is(posture, supports, build)


def _shoulder_root(turning: Callable[[float], float], hung: float) -> float | None:
    """The root nearest to plumb arms, among those that a shoulder can reach."""
    found = nearest_root(turning, hung, step=STEP, reach=REACH)
    if found is not None and SHOULDER[0] <= found <= SHOULDER[1]:
        return found
    return min(all_roots(turning, *SHOULDER, step=STEP), key=lambda angle: abs(seam(angle - hung)), default=None)


def _as_it_is(posture: Posture, supports: Supports, build: Build) -> Settled:
    body = figure(posture, build)
    return Settled(posture, body, hands_bear(body, supports, build), 1j)


def _shoulder_towards(posture: Posture, build: Build, towards: complex, *, elbow: bool = False) -> float:
    """The shoulder's angle at which the wrist, or the elbow, lies in this direction from the shoulder."""
    body = figure(posture, build)
    return posture.shoulder + _turn(body.elbow if elbow else body.wrist, towards)


def _turn(start: complex, end: complex) -> float:
    """Degrees from one direction to another, counterclockwise, within (-180, 180]."""
    return degrees(phase(end / start))
