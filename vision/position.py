"""When the athlete is in the position of the movement; the rest of the clip is setting up or stepping off."""

from typing import Final

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_closing, find_objects, label

from models.errors import UnseenError
from models.movements.movement import Movement
from vision.motion import Motion
from vision.skeleton import INDEX

Mask = NDArray[np.bool_]

CONTACT_SPEED: Final = 0.25
"""A hand or foot that bears load travels slower than this, in body lengths per second."""
BRIDGE: Final = 0.5
"""Seconds of lost position that do not end a stretch: a flickering landmark, a hand set anew."""
SHORTEST: Final = 1.0
"""Seconds; a shorter stretch in position is passing through it."""
TRUNK_SLACK: Final = 10.0
"""Degrees by which the trunk may leave the movement's band, which knows nothing of this clip's level."""


def in_position(motion: Motion, movement: Movement) -> Mask:
    """(frames,) whether the athlete is in the movement's position."""
    position = movement.position
    trunk = motion.angles["trunk"]
    fits = (trunk >= position.trunk.low - TRUNK_SLACK) & (trunk <= position.trunk.high + TRUNK_SLACK)
    fits &= motion.present & _hands_fit(motion, position.hands) & supports_stay(motion, movement)
    return _steady(fits, motion.time)


def refuse_elsewhere(motion: Motion, movement: Movement) -> None:
    """Refuse a clip in which nothing can be counted; a body that the landmark model holds upside down is found so too.

    Raises:
        UnseenError: the athlete is never in the movement's position.
    """
    if not in_position(motion, movement).any():
        raise UnseenError(
            f"the athlete is never seen in the position of {movement.name}; name the movement that the clip shows, or film "
            "again from where the whole body shows"
        )


def supports_stay(motion: Motion, movement: Movement) -> Mask:
    """(frames,) whether a hand or foot that bears the load, or one of each, stays where it is."""
    feet = ("ankle",)
    joints = {"hands": ("wrist",), "feet": feet, "foot": feet, "both": ("wrist", "ankle")}[movement.position.contact]
    # Either side will do: one may be hidden, and who leaves the position takes both away.
    return np.all([_rests(motion, f"left_{joint}") | _rests(motion, f"right_{joint}") for joint in joints], axis=0)


def stretches(mask: Mask, time: NDArray[np.float64], shortest: float = SHORTEST) -> list[slice]:
    """Runs of True that last at least `shortest` seconds."""
    runs = [run[0] for run in find_objects(label(mask)[0])]
    return [run for run in runs if time[run.stop - 1] - time[run.start] >= shortest]


def body_length(motion: Motion) -> float:
    """Pixels from shoulder to ankle along the near side's segments: median over the clip."""
    chain = [INDEX[f"{motion.near}_{name}"] for name in ("shoulder", "hip", "knee", "ankle")]
    steps = np.diff(motion.joints[:, chain], axis=1)
    return float(np.median(np.linalg.norm(steps, axis=-1).sum(1)))


def speed(motion: Motion, joint: str) -> NDArray[np.float64]:
    """(frames,) speed of a joint in body lengths per second."""
    path = motion.joints[:, INDEX[joint]]
    return np.linalg.norm(np.gradient(path, motion.time, axis=0), axis=1) / body_length(motion)


def _rests(motion: Motion, joint: str) -> Mask:
    """Whether a joint stays where it is, judged over about a third of a second."""
    path = motion.joints[:, INDEX[joint]]
    window = 0.15
    before = np.stack([np.interp(motion.time - window, motion.time, axis) for axis in path.T], axis=1)
    after = np.stack([np.interp(motion.time + window, motion.time, axis) for axis in path.T], axis=1)
    travelled = np.linalg.norm(after - before, axis=1) / body_length(motion)
    return np.asarray(travelled <= CONTACT_SPEED * 2 * window)


def _hands_fit(motion: Motion, hands: str) -> Mask:
    """Whether the near hand is on the movement's side of the near shoulder; `split`: whether one is above, one below."""
    if hands == "any":
        return np.ones(len(motion.time), bool)
    if hands == "split":
        return _below(motion, "left") != _below(motion, "right")
    below = _below(motion, motion.near)
    return np.asarray(below if hands == "below" else ~below)


def _below(motion: Motion, side: str) -> Mask:
    """Whether a hand is below its shoulder."""
    reach = motion.joints[:, INDEX[f"{side}_wrist"]] - motion.joints[:, INDEX[f"{side}_shoulder"]]
    return np.asarray(reach @ motion.down > 0)


def _steady(mask: Mask, time: NDArray[np.float64]) -> Mask:
    """Bridge short gaps and drop short stretches."""
    frames = max(1, round(BRIDGE / float(np.median(np.diff(time)))))
    padded = np.pad(mask, frames, mode="edge")
    bridged = binary_closing(padded, np.ones(frames + 1, bool))[frames:-frames]
    steady = np.zeros_like(mask)
    for run in stretches(bridged, time):
        steady[run] = True
    return steady
