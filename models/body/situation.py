"""One posture on its supports, and its loads and moments for given values of everything that they depend on."""

from cmath import phase
from dataclasses import dataclass, replace
from math import degrees
from typing import Final, Literal

from models import scaling
from models.body.build import Build, Values
from models.body.figure import Figure, Posture, figure
from models.body.settle import Free, Settled, settle, settle_from
from models.body.statics import Equilibrium, equilibrium
from models.body.supports import Load, Pull, Supports, feet_bear
from models.movements.demand import Anchor, Belly, FootSupport, HandSupport, Pose
from models.movements.entry import Line

Which = Literal["pose", "start"]

OVER_THE_FEET: Final = Anchor()
ANGLES: Final = ("trunk", "shoulder", "elbow", "hip", "knee", "apart")
NO_OFFSETS: Final = {f"{which}.{angle}": 0.0 for which in ("pose", "start") for angle in ANGLES}


@dataclass(frozen=True, slots=True)
class Situation:
    """A posture, what bears it, what helps and what loads it. Heights are metres.

    `start` is the posture of the straight end, where the asked one is that of a rep whose hands and feet stay where they
    are. `body` turns the body (at the straight end, if there is one) until `line` has this angle to the floor.
    """

    belly: Belly
    hands: HandSupport
    feet: FootSupport
    pose: Pose
    start: Pose | None = None
    hands_raised: float = 0.0
    feet_raised: float = 0.0
    anchor: Anchor = OVER_THE_FEET
    body: float | None = None
    line: Line = "ankles-shoulders"
    load: scaling.Load | None = None
    band: scaling.Band | None = None

    @property
    def both_bear(self) -> bool:
        """Whether hands and feet share the weight."""
        return self.hands != "none" and self.feet != "none"


@dataclass(frozen=True, slots=True)
class Solved:
    """The posture as it came out, and what it asks; `rise` is the height of the hands over the feet, in heights."""

    settled: Settled
    held: Equilibrium
    rise: float


def solve(situation: Situation, values: Values) -> Solved:
    """Find the posture's open angles and its equilibrium.

    Args:
        situation: What is asked.
        values: The body's build, `height` (m), `mass` (kg) and what is assumed, by name: see `models.body.doubts`.

    Raises:
        DemandError: no posture fits, or nothing can keep it still.
    """
    build = Build.of(values)
    supports = _supports(situation, values)
    own = _asked(situation, situation.pose, "pose", values)
    if situation.start is not None and situation.both_bear:
        first = _turned(situation, _asked(situation, situation.start, "start", values), build)
        straight = settle(*first, supports, build)
        settled = settle_from(straight, *own, supports, build)
    else:
        settled = settle(*_turned(situation, own, build), supports, build)
    held = equilibrium(settled.body, supports, build, settled.hands_at, settled.pull)
    return Solved(settled, held, (settled.hands_at - feet_bear(settled.body, supports, build)).imag)


def pitch_of(belly: Belly, trunk: float) -> float:
    """The turn of the whole body (see `models.body.figure`) from the trunk's angle to the floor."""
    return 180 - trunk if belly == "up" else trunk


def trunk_of(pitch: float) -> float:
    """The trunk's angle to the floor, folded to [-90, 90]."""
    unfolded = (pitch + 90) % 360 - 90
    return unfolded if unfolded <= 90 else 180 - unfolded


def line_direction(line: Line, body: Figure) -> float:
    """Direction of a body line from its far end to the shoulders, degrees counterclockwise from the floor."""
    tail = {"ankles-shoulders": body.leg.ankle, "knees-shoulders": body.leg.knee, "hips-shoulders": body.hip}[line]
    return degrees(phase(body.shoulder - tail))


def _asked(situation: Situation, pose: Pose, which: Which, values: Values) -> tuple[Posture, Free]:
    off = {angle: values[f"{which}.{angle}"] for angle in ANGLES}
    trunk = pose.trunk if pose.trunk is None else pose.trunk + off["trunk"]
    other = pose.other_leg
    posture = Posture(
        pitch=_guess(situation, pose) if trunk is None else pitch_of(situation.belly, trunk),
        shoulder=0.0 if pose.shoulder is None else pose.shoulder + off["shoulder"],
        elbow=pose.elbow + off["elbow"],
        hip=pose.hip + off["hip"],
        knee=pose.knee + off["knee"],
        ankle=values["ankle"],
        apart=pose.apart + off["apart"],
        other_hip=None if other is None else other.hip + off["hip"],
        other_knee=0.0 if other is None else other.knee + off["knee"],
        aside=situation.belly == "aside",
    )
    return posture, frozenset(name for name, angle in (("pitch", trunk), ("shoulder", pose.shoulder)) if angle is None)


def _guess(situation: Situation, pose: Pose) -> float:
    """Where to start looking for the trunk: about level on hands and feet, upright or upside down on one of them."""
    if situation.both_bear or situation.belly in ("down", "up"):
        return pitch_of(situation.belly, 10)
    upside_down = situation.hands in ("floor", "forearms") and pose.shoulder is not None and abs(pose.shoulder) > 90
    return -90 if upside_down else 90


def _turned(situation: Situation, asked: tuple[Posture, Free], build: Build) -> tuple[Posture, Free]:
    """Turned as a whole until the body line has the angle that is asked for, if any is."""
    posture, free = asked
    if situation.body is None:
        return asked
    wanted = pitch_of(situation.belly, situation.body)
    turn = wanted - line_direction(situation.line, figure(posture, build))
    return replace(posture, pitch=posture.pitch + turn), free - {"pitch"}


def _supports(situation: Situation, values: Values) -> Supports:
    height, mass, band = values["height"], values["mass"], situation.band
    ahead = situation.anchor.ahead + values["anchor.ahead"]
    up = situation.anchor.up + values["anchor.up"] - situation.feet_raised / height  # a box lifts the feet towards it
    pull = None
    if band is not None:
        points = [(point.metres, point.kg) for point in band.calibration] or [(0.0, band.kg or 0.0)]
        scaled = tuple((metres / height, kg * values["band"] / mass) for metres, kg in points)
        pull = Pull(band.at, scaled, band.metres_up / height, overhead=band.over == "body")
    return Supports(
        hands=situation.hands,
        feet=situation.feet,
        rise=(situation.hands_raised - situation.feet_raised) / height,
        anchor=complex(-ahead if situation.belly == "up" else ahead, up),
        lean=values["lean"],
        foot=values["foot"],
        load=None if situation.load is None else Load(situation.load.kg / mass, situation.load.at),
        band=pull,
    )
