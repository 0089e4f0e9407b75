"""A posture told by where the hips, hands and feet are.

All arrays run over frames. Canonical axes (`sample_clips.body`); pitch is a turn about Y in degrees, 0 upright, 90
with the upper end forward. `sample_clips.skeleton` turns the bones to it.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, replace

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Value = Array | float | Sequence[float]
"""What a field of a posture can be given as: a row per frame, or one value for all."""
Values = dict[str, Value]
POINTS = ("hip", "wrist_left", "wrist_right", "ankle_left", "ankle_right", "palm", "fingers")


@dataclass(frozen=True)
class Posture:
    """Targets of a posture, one row per frame: points (N, 3), angles and shares (N,).

    `trunk` is the pitch of the line from the hips to the shoulders; `lumbar` bends the back; `shrug` and `protract`
    turn the collar bones; `flare` turns the elbows outward about the line from shoulder to hand, `knee_out` the
    knees; `palm` and `fingers` are the left hand's directions, the right's mirrored; `along` lets the fingers follow
    the forearm; feet are pitched from flat; `neck` tips the head against the trunk. `side` tips the whole body about
    X, away from the left, the feet's directions with it (targets stay where they are), `grip_side` the hands'; `twist`
    turns trunk and pelvis about their own length, the left forward; `splay` turns the feet with straddled legs.
    """

    hip: Array
    wrist_left: Array
    wrist_right: Array
    ankle_left: Array
    ankle_right: Array
    palm: Array
    fingers: Array
    trunk: Array
    lumbar: Array
    shrug: Array
    protract: Array
    flare: Array
    knee_out: Array
    foot_left: Array
    foot_right: Array
    toes: Array
    neck: Array
    curl: Array
    along: Array
    side: Array
    grip_side: Array
    twist: Array
    splay: Array

    def __len__(self) -> int:
        return len(self.trunk)


NEUTRAL: Values = {
    "palm": (0, 0, -1), "fingers": (1, 0, 0), "lumbar": 0, "shrug": 0, "protract": 0, "flare": 20, "knee_out": 0,
    "foot_left": 0, "foot_right": 0, "toes": 0, "neck": 0, "curl": 0, "along": 0, "side": 0, "grip_side": 0,
    "twist": 0, "splay": 0,
}  # fmt: skip


def posture(count: int, **values: Value) -> Posture:
    """A posture from values that may be one for all frames; what is not given is neutral."""
    rows = {}
    for name, value in (NEUTRAL | values).items():
        shape = (count, 3) if name in POINTS else (count,)
        rows[name] = np.array(np.broadcast_to(np.asarray(value, dtype=np.float64), shape))
    return Posture(**rows)


def repeat(posture: Posture, count: int) -> Posture:
    """The same one-row posture for `count` frames."""
    return _each(posture, lambda value: np.repeat(value, count, axis=0))


def first(posture: Posture) -> Posture:
    """The posture of the first frame alone."""
    return _each(posture, lambda value: value[:1].copy())


def mix(first: Posture, second: Posture, share: Array, limbs: dict[str, Array] | None = None) -> Posture:
    """Between two postures: (1 - share) of the first. `limbs` gives fields that move at another time their own share."""
    values = {}
    for f in fields(Posture):
        a, b = getattr(first, f.name), getattr(second, f.name)
        w = share if limbs is None else limbs.get(f.name, share)
        values[f.name] = a + (b - a) * (w[:, None] if a.ndim == 2 else w)
    return Posture(**values)


def shifted(posture: Posture, **changes: Value) -> Posture:
    """The posture with some fields changed by the given amounts."""
    return replace(posture, **{name: getattr(posture, name) + np.asarray(by) for name, by in changes.items()})


def _each(posture: Posture, change: Callable[[Array], Array]) -> Posture:
    return Posture(**{f.name: change(getattr(posture, f.name)) for f in fields(Posture)})
