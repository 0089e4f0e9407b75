"""Landmarks and flow -> joints over time, smooth, in the steadied picture."""

from dataclasses import dataclass
from typing import Final

import numpy as np
from numpy.typing import NDArray

from vision.body_fit import FLARED, SHORTER, fit
from vision.camera import PhoneMotion, carry
from vision.fuse import fuse
from vision.skeleton import INDEX, JOINTS, SIDES
from vision.track import Tracks, present

Array = NDArray[np.float64]

LANDMARK_SD: Final = 0.005
"""Standard deviation of a landmark, share of the body's extent. Its errors are larger but last for many frames, while the
fusion takes them as independent; much more, and flow, which sees a limb move too little, would shrink the rep."""
SLIP: Final = 0.30
"""Flow sees cloth and skin, which slide over a joint as it turns: share of the displacement that is not the joint's."""
ACCELERATION: Final = 1.2
"""White-noise acceleration that a body may show, in body extents per second squared and root hertz."""
WORLD_SD: Final = 0.03
WORLD_ACCELERATION: Final = 1.5
"""The same of the landmarker's metres."""
FITTED: Final = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")
KEPT_LENGTHS: Final = (
    ("shoulder", "elbow", FLARED),
    ("elbow", "wrist", FLARED),
    ("shoulder", "hip", SHORTER),
    ("hip", "knee", SHORTER),
    ("knee", "ankle", SHORTER),
)


@dataclass(frozen=True)
class Body:
    """Joint tracks before anything is read off them; as in `vision.motion.Motion`, in pixels of the picture looked at."""

    time: Array
    joints: Array
    joints_sd: Array
    scatter: Array
    """(joints,) how far the landmarks lie from the smooth track, pixels, RMS: where they disagree they are wrong too."""
    world: Array
    visibility: Array
    disagreement: Array
    """(frames, joints) pixels between where two landmark models see the joint."""
    present: NDArray[np.bool_]


def smooth_body(tracks: Tracks, phone: PhoneMotion) -> Body:
    """Fuse landmarks and flow joint by joint, then both sides' limbs by their lengths."""
    seen = tracks.seen
    steady = carry(phone.to_first[:, None], tracks.landmarks)
    size = tracks.extent
    visibility = _between(tracks.time, tracks.visibility, seen)
    landmark_sd = LANDMARK_SD * size * (1 + 3 * (1 - visibility))
    flow = _own_flow(tracks, phone, seen)
    flow_sd = np.hypot(tracks.flow_sd, SLIP * np.linalg.norm(np.nan_to_num(flow), axis=-1))
    acceleration = ACCELERATION * size
    joints, sd = np.empty_like(steady), np.empty(steady.shape[:2])
    for j in range(len(JOINTS)):
        joints[:, j], sd[:, j] = fuse(
            tracks.time, steady[:, j], landmark_sd[:, j], flow[:, j], flow_sd[:, j], acceleration
        )
    lengths = [(FITTED.index(a), FITTED.index(b), shorter) for a, b, shorter in KEPT_LENGTHS]
    for side in SIDES:
        own = [INDEX[f"{side}_{name}"] for name in FITTED]
        joints[:, own] = fit(
            tracks.time, steady[:, own], landmark_sd[:, own], flow[:, own], flow_sd[:, own], acceleration, lengths
        )
    off = np.linalg.norm(steady[seen] - joints[seen], axis=-1)
    scatter = np.sqrt(np.mean(off**2, axis=0))
    disagreement = _between(tracks.time, tracks.disagreement, seen)
    return Body(tracks.time, joints, sd, scatter, _smooth_world(tracks), visibility, disagreement, present(tracks))


def _own_flow(tracks: Tracks, phone: PhoneMotion, seen: NDArray[np.bool_]) -> Array:
    """Flow of each joint (frames, joints, 2) less the phone's motion, turned into the steadied picture."""
    where = _between(tracks.time, tracks.landmarks.reshape(len(tracks.time), -1), seen).reshape(tracks.landmarks.shape)
    before = np.concatenate([where[:1], where[:-1]])
    background = carry(tracks.camera[:, None], before) - before
    still = np.all(phone.to_first == np.eye(2, 3))
    own = tracks.flow if still else tracks.flow - background
    return np.einsum("nij,nkj->nki", phone.to_first[:, :, :2], own)


def _between(time: Array, values: Array, seen: NDArray[np.bool_]) -> Array:
    """Values (frames, columns) interpolated over the frames where they were not looked for."""
    return np.stack([np.interp(time, time[seen], column[seen]) for column in values.T], axis=1)


def _smooth_world(tracks: Tracks) -> Array:
    """The landmarker's metres (frames, joints, 3), smoothed over about a third of a second."""
    n = len(tracks.time)
    nothing = np.full((n, 3), np.nan), np.full(n, np.inf)
    sd = np.full(n, WORLD_SD)
    return np.stack(
        [fuse(tracks.time, tracks.world[:, j], sd, *nothing, WORLD_ACCELERATION)[0] for j in range(len(JOINTS))], axis=1
    )
