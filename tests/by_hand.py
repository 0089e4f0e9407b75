"""A document and a motion written by hand: every number in them is known, so that what is shown of them can be checked."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from models.document import (
    Camera,
    Check,
    ClipFacts,
    Document,
    Hold,
    MadeBy,
    Posture,
    Rep,
    Set,
    Stroke,
    Summary,
    Sway,
    Trend,
    VerdictWord,
    Worst,
)
from models.movements.movement import Angle
from models.quantity import Measured, Q, Unit, Unmeasured
from vision.motion import Motion
from vision.skeleton import JOINTS
from vision.view import View

EDGE = Unmeasured(reason="at the edge of the set")
FAR = Unmeasured(reason="hidden from the side")


def q(value: float, half: float, unit: Unit = "deg") -> Measured:
    return Measured(value=value, U95=half, unit=unit)


def posture(elbow: float, body: float) -> Posture:
    return Posture(
        body=q(body, 1.5),
        trunk=q(body, 1.5),
        legs=q(body, 1.5),
        shoulder=FAR,
        elbow=q(elbow, 6),
        hip=q(2, 6),
        knee=q(1, 6),
    )


def stroke(start: float, end: float) -> Stroke:
    return Stroke(
        start=start,
        end=end,
        duration=q(end - start, 0.08, "s"),
        thirds=(0.3, 0.4, 0.3),
        stops=q(0, 0.05, "s"),
        swing=q(1, 0.5, "% of height"),
    )


def check(name: str, verdict: VerdictWord, p: float, why: str) -> Check:
    return Check(name=name, measured=q(2.0, 0.08, "s"), low=2.5, high=None, p=p, verdict=verdict, why=why)


def rep(n: int, start: float, lowering: float, verdict: VerdictWord | None = None) -> Rep:
    """A push-up: lowering, 0.5 s at the bottom, 1 s up."""
    bottom, rise = start + lowering, start + lowering + 0.5
    short = check("lowering", "missed", 0.0, "Lowering took 2.00 ±0.08 s, not as asked (at least 2.5 s).")
    depth = check("bent elbow", "met", 1.0, "Elbow was 96 ±6 deg at the bent end, as asked (at least 80 deg).")
    checks = None if verdict is None else (depth,) if verdict == "met" else (depth, short)
    return Rep(
        n=n,
        status="whole",
        start=start,
        end=rise + 1.0,
        lowering=stroke(start, bottom),
        raising=stroke(rise, rise + 1.0),
        top_pause=EDGE if n == 1 else q(0.5, 0.08, "s"),
        bottom_pause=q(0.5, 0.08, "s"),
        straight=posture(5.0, 18.0),
        bent=posture(96.0, 6.0),
        worst=Worst(hip=q(3, 6), hip_at=start, deviation=q(2, 1, "%")),
        checks=checks,
        verdict=verdict,
    )


def summary(reps: tuple[Rep, ...] = ()) -> Summary:
    none = Trend(by_rep=(), slope=Unmeasured(reason="fewer than two reps"))
    seconds: tuple[float, ...] = tuple(r.lowering.end - r.lowering.start for r in reps if r.lowering)
    lowering = Trend(by_rep=seconds, slope=q(-0.5, 0.1, "s")) if reps else none
    rest: Q = q(0.5, 0.08, "s") if reps else EDGE
    return Summary(
        whole=len(reps),
        short=0,
        failed=0,
        cut_off=0,
        lowering=lowering,
        range=none,
        raising_speed=none,
        longest_rest=rest,
    )


def document(sets: tuple[Set, ...], movement: str) -> Document:
    return Document(
        movement=movement,
        made_by=MadeBy(program="0.1.0", landmark_model="0" * 64, settings={}),
        clip=ClipFacts(
            sha256="1" * 64,
            seconds=15,
            frames=450,
            width=1280,
            height=720,
            rate_mean=30,
            rate_varies=True,
            rotation=0,
            codec="h264",
        ),
        camera=Camera(
            roll=q(1.0, 0.5),
            pitch=q(2.0, 3.0),
            yaw=Unmeasured(reason="too few edges"),
            level_from="scene",
            shake=q(0.2, 0.1, "%"),
            metres_per_pixel=q(0.002, 0.0001, "m/px"),
        ),
        sets=sets,
        not_measured=("elbow flare (film from the front)",),
        notes=("The frame rate varies; each frame's own time is used.",),
    )


def push_ups(*, judged: bool = True) -> Document:
    """Three push-ups; the lowering of the last one is too short."""
    verdicts: tuple[VerdictWord | None, ...] = ("met", "met", "missed") if judged else (None, None, None)
    reps = (rep(1, 1.0, 3.0, verdicts[0]), rep(2, 6.0, 3.0, verdicts[1]), rep(3, 11.0, 2.0, verdicts[2]))
    counted = check("reps", "missed", 0.0, "Reps: 2 met, 1 missed, 0 unsure; 3 asked for.")
    first = summary(reps).model_copy(update={"first_missed": 3 if judged else None})
    only = Set(
        n=1,
        start=1.0,
        end=14.5,
        near_side="left",
        reps=reps,
        summary=first,
        checks=(counted,) if judged else None,
        verdict="missed" if judged else None,
    )
    return document((only,), "push-up")


def plank() -> Document:
    """The top of a push-up, held for eight seconds."""
    sway = Sway(
        along_floor=q(3.1, 0.6, "mm"),
        vertical=q(1.4, 0.4, "mm"),
        path=q(90, 20, "mm"),
        speed=q(11, 3, "mm/s"),
        ellipse=q(150, 60, "mm2"),
    )
    hold = Hold(
        n=1, start=3.0, end=11.0, still=q(8.0, 0.1, "s"), drift=q(-1.2, 0.8), posture=posture(4.0, 17.0), sway=sway
    )
    return document((Set(n=1, start=3.0, end=11.0, near_side="left", holds=(hold,), summary=summary()),), "push-up")


def motion(elbow: Sequence[tuple[float, float]], seconds: float = 15.0) -> Motion:
    """A body whose elbow follows straight lines between (second, degrees); the rest stands nearly still."""
    time = np.arange(0, seconds, 1 / 30)
    n, j = len(time), len(JOINTS)
    at, degrees = zip(*elbow, strict=True)
    driving = np.interp(time, at, degrees)
    wobble = np.sin(2 * np.pi * 0.4 * time)
    tilt = 18 - driving / 8
    angles: dict[Angle, NDArray[np.float64]] = {"body": tilt, "trunk": tilt, "legs": tilt, "hip": 2 + wobble}
    angles |= {"elbow": driving, "shoulder": 60 + wobble, "knee": 1 + 0.5 * wobble}
    zeros = np.zeros((n, j))
    mass = np.stack([600 + 2 * wobble + 0.5 * time, 400 + np.cos(np.pi * time)], axis=1)
    return Motion(
        time=time,
        joints=np.zeros((n, j, 2)),
        joints_sd=zeros,
        rays=np.zeros((n, j, 2)),
        world=np.zeros((n, j, 3)),
        visibility=zeros + 1,
        present=time > 0.5,
        near="left",
        view=View(near="left", yaw=0.0, u=6.0),
        from_first=np.tile(np.eye(2, 3), (n, 1, 1)),
        angles=angles,
        sd={name: np.full(n, 3.0 if name in ("elbow", "hip", "knee", "shoulder") else 0.75) for name in angles},
        placing_sd={name: np.zeros_like(value) for name, value in angles.items()},
        level_sd={name: np.full(n, 0.25) for name in angles},
        centre_of_mass=mass,
        down=np.array([0.0, 1.0]),
    )


PUSH_UP_ELBOW = [
    (1, 5),
    (4, 96),
    (4.5, 96),
    (5.5, 5),
    (6, 5),
    (9, 96),
    (9.5, 96),
    (10.5, 5),
    (11, 5),
    (13, 96),
    (13.5, 96),
    (14.5, 5),
]
