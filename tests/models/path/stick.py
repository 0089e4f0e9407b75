"""A stick figure of its own, and virtual work: the second method by which the paths of docs/paths.md are checked.

Nothing of `models.body` is used but the two angles that a posture leaves open (trunk and shoulder), as the model found
them. Segments are those of a man: masses and centres of de Leva (1996), lengths of Drillis & Contini (1966), both typed
in from the tables again. Lengths are in heights, weights in body weights, angles in degrees.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Point = NDArray[np.float64]

TRUNK, UPPER_ARM, FOREARM, THIGH, SHANK, SOLE, FOOT = 0.288, 0.186, 0.146, 0.245, 0.246, 0.039, 0.152
HEAD_UP, HAND_DOWN = 0.112, 0.0495  # of the head's centre over the shoulders; of the third knuckle beyond the wrist
PALM_AHEAD, WRIST_UP, GRIP = 0.02, 0.02, 0.045
ANKLE_AT, BALL_AT, FOOT_CENTRE = 0.25, 0.73, 0.4415  # shares of the foot's length, from the heel
MASSES = {"head": 0.0694, "trunk": 0.4346, "upper arms": 0.0542, "forearms": 0.0324, "hands": 0.0122}
MASSES |= {"thighs": 0.2832, "shanks": 0.0866, "feet": 0.0274}
CENTRES = {"trunk": 0.431, "upper arms": 0.5772, "forearms": 0.4574, "hands": 0.79, "thighs": 0.4095, "shanks": 0.4395}
SMALL = 1e-6


@dataclass(frozen=True)
class Stick:
    """`up` is the direction from hips to shoulders: 0 along the floor, belly down; 90 upright; 180 along the floor, belly
    up; -90 upside down. The other angles are goniometric. `other` is hip and knee of a leg that does otherwise."""

    up: float
    shoulder: float
    elbow: float = 0.0
    hip: float = 0.0
    knee: float = 0.0
    apart: float = 0.0
    other: tuple[float, float] | None = None

    def parts(self) -> Iterator[tuple[str, float, Point]]:
        """Name, weight and centre of each part, the shoulders at the origin."""
        joints = self.joints()
        ends = {
            "trunk": ("shoulder", "hip"),
            "upper arms": ("shoulder", "elbow"),
            "forearms": ("elbow", "wrist"),
        }
        yield "head", MASSES["head"], -HEAD_UP * ray(180 + self.up)
        for name, (start, end) in ends.items():
            yield name, MASSES[name], joints[start] + CENTRES[name] * (joints[end] - joints[start])
        along = unit(joints["wrist"] - joints["elbow"])
        yield "hands", MASSES["hands"], joints["wrist"] + CENTRES["hands"] * HAND_DOWN * along
        for leg in self.legs():
            yield from leg

    def legs(self) -> Iterator[list[tuple[str, float, Point]]]:
        """The parts of both legs together, or of each where one does otherwise."""
        legs = [(self.hip, self.knee, 1.0)] if self.other is None else [(self.hip, self.knee, 0.5), (*self.other, 0.5)]
        for hip, knee, share in legs:
            joints = self.leg(hip, knee)
            thighs = joints["hip"] + CENTRES["thighs"] * (joints["knee"] - joints["hip"])
            shanks = joints["knee"] + CENTRES["shanks"] * (joints["ankle"] - joints["knee"])
            feet = joints["ankle"] + SOLE / 2 * joints["down"] + (FOOT_CENTRE - ANKLE_AT) * FOOT * joints["toes"]
            yield [
                ("thighs", share * MASSES["thighs"], thighs),
                ("shanks", share * MASSES["shanks"], shanks),
                ("feet", share * MASSES["feet"], feet),
            ]

    def joints(self) -> dict[str, Point]:
        """Where the joints are; `ball` and `heel` of a foot that stands square to its shank."""
        back = 180 + self.up  # from the shoulders to the hips
        elbow = UPPER_ARM * ray(back + self.shoulder)
        wrist = elbow + FOREARM * ray(back + self.shoulder + self.elbow)
        return {"shoulder": np.zeros(2), "elbow": elbow, "wrist": wrist, **self.leg(self.hip, self.knee)}

    def leg(self, hip_angle: float, knee_angle: float) -> dict[str, Point]:
        """The joints of one leg; straddled ones are shorter in the plane."""
        back, shorter = 180 + self.up, np.cos(np.radians(self.apart))
        hip = TRUNK * ray(back)
        knee = hip + shorter * THIGH * ray(back + hip_angle)
        down = shorter * ray(back + hip_angle - knee_angle)
        ankle = knee + SHANK * down
        toes = ray(back + hip_angle - knee_angle + 90)
        ground = ankle + SOLE * down
        ball, heel = ground + (BALL_AT - ANKLE_AT) * FOOT * toes, ground - ANKLE_AT * FOOT * toes
        return {
            "hip": hip,
            "knee": knee,
            "ankle": ankle,
            "down": down,
            "toes": toes,
            "ball": ball,
            "heel": heel,
            "sole": ground,
        }

    def palm(self) -> Point:
        """Where a flat hand bears: ahead of the wrist, on the side to which the fingers of a bent-back wrist point."""
        forearm = self.joints()["wrist"] - self.joints()["elbow"]
        return self.joints()["wrist"] + np.array([PALM_AHEAD * (1 if -forearm[1] >= 0 else -1), -WRIST_UP])

    def grip(self) -> Point:
        """The middle of a closed hand."""
        joints = self.joints()
        return joints["wrist"] + GRIP * unit(joints["wrist"] - joints["elbow"])


def hands_load(stick: Stick, feet: Point, hands: Point, way: Point, help_: Mapping[str, Point] | None = None) -> float:
    """Virtual work: the whole body turns a little about its feet; what the hands' force does, the weights gain."""

    def turned(point: Point) -> Point:
        return SMALL * np.array([-(point - feet)[1], (point - feet)[0]])

    gained = sum(weight * turned(at)[1] for _, weight, at in stick.parts())
    helped = sum(float(turned(stick.joints()[place]) @ pull) for place, pull in (help_ or {}).items())
    return float((gained - helped) / (way @ turned(hands)))


def shoulder_moment(stick: Stick, help_: Mapping[str, Point] | None = None) -> float:
    """Virtual work: the shoulder flexes a little while the arms stay in the room; what the muscles do, the weights gain.

    Of a body that hangs or stands on its hands alone. Positive where the flexors work.
    """
    before, after = (replace(stick, up=stick.up - turn, shoulder=stick.shoulder + turn) for turn in (-SMALL, SMALL))
    gained = _energy(after) - _energy(before)
    for place, pull in (help_ or {}).items():
        moved = (after.joints()[place] - after.joints()["wrist"]) - (before.joints()[place] - before.joints()["wrist"])
        gained -= float(pull @ moved)
    return gained / np.radians(2 * SMALL)


def elbow_moment(stick: Stick) -> float:
    """As `shoulder_moment`, of the elbow: the forearms stay in the room."""
    before, after = (replace(stick, up=stick.up - turn, elbow=stick.elbow + turn) for turn in (-SMALL, SMALL))
    return (_energy(after) - _energy(before)) / np.radians(2 * SMALL)


def _energy(stick: Stick) -> float:
    wrist = stick.joints()["wrist"]
    return float(sum(weight * (at - wrist)[1] for _, weight, at in stick.parts()))


def ray(degrees: float) -> Point:
    """A direction, counterclockwise from along the floor."""
    return np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])


def unit(vector: Point) -> Point:
    """Of length 1."""
    return np.asarray(vector / np.linalg.norm(vector))
