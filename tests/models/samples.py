"""Reps, holds and documents whose every number is set by the test that needs it."""

from collections.abc import Sequence

from models.document import (
    Camera,
    ClipFacts,
    Document,
    Hold,
    MadeBy,
    Posture,
    Rep,
    Set,
    Status,
    Stroke,
    Summary,
    Sway,
    Trend,
    Worst,
)
from models.quantity import Measured, Q, Unit, Unmeasured

NONE = Unmeasured(reason="not part of this test")
EDGE = Unmeasured(reason="the set ends here")


def q(value: float, half: float = 0.1, unit: Unit = "s") -> Measured:
    return Measured(value=value, U95=half, unit=unit)


def deg(value: float, half: float = 2.0) -> Measured:
    return q(value, half, "deg")


def posture(**angles: Q) -> Posture:
    tilt = {} if "lean" in angles else {"body": NONE}
    return Posture.model_validate(
        {**dict.fromkeys(("trunk", "legs", "shoulder", "elbow", "hip", "knee"), NONE), **tilt, **angles}
    )


def stroke(seconds: Q) -> Stroke:
    return Stroke(start=0, end=1, duration=seconds, thirds=(0.3, 0.4, 0.3), stops=q(0), swing=NONE)


def rep(
    n: int = 1,
    *,
    lowering: Q | None = None,
    bottom: Q = NONE,
    raising: Q | None = None,
    top: Q = NONE,
    status: Status = "whole",
    straight: Posture | None = None,
    bent: Posture | None = None,
    hip: Q = NONE,
    deviation: Q = NONE,
) -> Rep:
    return Rep(
        n=n,
        status=status,
        start=10.0 * n,
        end=10.0 * n + 7,
        lowering=lowering and stroke(lowering),
        raising=raising and stroke(raising),
        top_pause=top,
        bottom_pause=bottom,
        straight=straight or posture(),
        bent=bent or posture(),
        worst=Worst(hip=hip, hip_at=None, deviation=deviation),
    )


def hold(still: Q, held: Posture | None = None, sway: Q = NONE, n: int = 1) -> Hold:
    moved = Sway(along_floor=sway, vertical=NONE, path=NONE, speed=NONE, ellipse=NONE)
    return Hold(n=n, start=1, end=12, still=still, drift=deg(1), posture=held or posture(), sway=moved)


def one_set(reps: Sequence[Rep] = (), holds: Sequence[Hold] = ()) -> Set:
    none = Trend(by_rep=(), slope=NONE)
    count = {status: sum(rep.status == status for rep in reps) for status in ("whole", "short", "failed", "cut_off")}
    summary = Summary(**count, lowering=none, range=none, raising_speed=none, longest_rest=NONE)
    return Set(n=1, start=0, end=90, near_side="left", reps=tuple(reps), holds=tuple(holds), summary=summary)


def document(movement: str, *sets: Set) -> Document:
    clip = ClipFacts(
        sha256="0" * 64,
        seconds=90,
        frames=2700,
        width=1280,
        height=720,
        rate_mean=30,
        rate_varies=False,
        rotation=0,
        codec="h264",
    )
    return Document(
        movement=movement,
        made_by=MadeBy(program="0.1.0", landmark_model="1" * 64, settings={"hold": False}),
        clip=clip,
        camera=Camera(roll=deg(1), pitch=deg(2), yaw=NONE, level_from="scene", shake=NONE, metres_per_pixel=NONE),
        sets=sets,
        not_measured=("elbow flare",),
        notes=("one note",),
    )
