"""A clip's three passes: who is the athlete at a steady rate, where their joints are, and the flow along the body between."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.errors import UnseenError
from models.movements.movement import Movement
from vision.athlete import rightly_named
from vision.clip import Clip
from vision.follow import Followed, follow
from vision.fuse import fuse
from vision.people import crowded
from vision.place import Placed, place
from vision.pose import Weights, extent
from vision.refuse import refuse_unmeasurable
from vision.resemblance import Sought, sought
from vision.seek import Found, seek
from vision.skeleton import JOINTS

Array = NDArray[np.float64]

LOOKING: Final = 0.4
PLACING: Final = 0.4
FLOWING: Final = 0.2
"""Shares of the time that the passes take, for whoever watches the progress."""
GAP: Final = 0.5
"""Seconds without a landmark after which the body counts as unseen."""
ROUGH_SD: Final = 0.01
ROUGH_ACCELERATION: Final = 4.0
"""Landmarks alone are smoothed no more than a fast athlete moves, in extents per second squared and root hertz."""


@dataclass(frozen=True)
class Tracks:
    """What was seen, frame by frame, in pixels of the picture looked at (`scale` of them make one of the clip's)."""

    time: Array
    """(frames,) seconds."""
    landmarks: Array
    """(frames, joints, 2); nan where the landmarker was not asked or saw nobody."""
    world: Array
    """(frames, joints, 3) metres; nan likewise."""
    visibility: Array
    """(frames, joints) 0..1; nan likewise."""
    disagreement: Array
    """(frames, joints) pixels between where two landmark models see each joint; nan likewise."""
    flow: Array
    """(frames, joints, 2) displacement since the frame before; nan where unknown."""
    flow_sd: Array
    """(frames, joints)."""
    camera: Array
    """(frames, 2, 3) similarity from the frame before."""
    background: NDArray[np.int_]
    """(frames,) background points that agree with `camera`."""
    size: tuple[int, int]
    """Width and height of the pictures looked at."""
    scale: float
    looks: tuple[tuple[int, Array], ...]
    """Looks at the scene: the frame, and the near-upright edges (n, 4) seen in it."""
    others: float
    """Share of looks round the picture that found another person of like size who trains."""

    @property
    def seen(self) -> NDArray[np.bool_]:
        """(frames,) which frames have landmarks."""
        return np.isfinite(self.landmarks[:, 0, 0])

    @property
    def extent(self) -> float:
        """Median diagonal of the box round the body, pixels."""
        return float(np.median(extent(self.landmarks[self.seen])))


def track(
    clip: Clip,
    weights: Path,
    progress: Callable[[float], None] | None = None,
    movement: Movement | None = None,
    *,
    finder: Weights | None = None,
) -> Tracks:
    """Follow the athlete through the clip, told by what they do if that is known.

    Args:
        clip: The clip.
        weights: Landmark weights.
        progress: Called with how much of the clip is done, 0 to 1.
        movement: What the athlete does.
        finder: Weights to find them by, where that is not done by `weights`.

    Raises:
        AthleteError: nobody is seen, several people of like size train, or the athlete cannot be measured.
    """
    told = progress or (lambda _: None)
    wanted = None if movement is None else sought(movement)
    found = seek(clip, finder or weights, wanted, lambda share: told(LOOKING * share))
    named = found.athlete if wanted is None else rightly_named(found.athlete, wanted)
    placed = place(clip, weights, named, lambda share: told(LOOKING + PLACING * share))
    tracks = _landmarks(clip, found, placed, wanted)
    refuse_unmeasurable(tracks)
    followed = follow(clip, rough(tracks), present(tracks), lambda share: told(1 - FLOWING * (1 - share)))
    return _with_flow(tracks, followed)


def rough(tracks: Tracks) -> Array:
    """Joints (frames, joints, 2) in every frame from landmarks alone: good enough to lay points along the limbs."""
    nothing = np.full(tracks.landmarks[:, 0].shape, np.nan), np.full(len(tracks.time), np.inf)
    size = tracks.extent
    sd = np.full(len(tracks.time), ROUGH_SD * size)
    joints = [
        fuse(tracks.time, tracks.landmarks[:, j], sd, *nothing, ROUGH_ACCELERATION * size)[0]
        for j in range(len(JOINTS))
    ]
    return np.stack(joints, axis=1)


def present(tracks: Tracks) -> NDArray[np.bool_]:
    """Frames with a landmark on them or within GAP / 2 seconds."""
    looked = np.concatenate([[-np.inf], tracks.time[tracks.seen], [np.inf]])
    after = np.searchsorted(looked, tracks.time)
    return np.asarray(np.minimum(tracks.time - looked[after - 1], looked[after] - tracks.time) <= GAP / 2)


def _landmarks(clip: Clip, found: Found, athlete: Mapping[int, Placed], wanted: Sought | None) -> Tracks:
    """Tracks without flow as yet.

    Raises:
        UnseenError: nobody was seen.
    """
    if not athlete:
        raise UnseenError("no person is seen in this clip; film the whole body, in good light")
    n, j = len(clip.times), len(JOINTS)
    landmarks, world, visibility = np.full((n, j, 2), np.nan), np.full((n, j, 3), np.nan), np.full((n, j), np.nan)
    disagreement = np.full((n, j), np.nan)
    for frame, placed in athlete.items():
        landmarks[frame], world[frame], visibility[frame] = (values[0] for values in placed.body.arrays)
        disagreement[frame] = placed.disagreement
    crowds = [crowded(look.candidates, body, wanted) for look, body in found.round_about()]
    return Tracks(
        time=clip.times,
        landmarks=landmarks,
        world=world,
        visibility=visibility,
        disagreement=disagreement,
        flow=np.full((n, j, 2), np.nan),
        flow_sd=np.full((n, j), np.inf),
        camera=np.tile(np.eye(2, 3), (n, 1, 1)),
        background=np.zeros(n, int),
        size=found.looks.size,
        scale=found.looks.size[0] / clip.facts.width,
        looks=(),
        others=float(np.mean(crowds)),
    )


def _with_flow(tracks: Tracks, followed: Followed) -> Tracks:
    flow, flow_sd = tracks.flow.copy(), tracks.flow_sd.copy()
    camera, background = tracks.camera.copy(), tracks.background.copy()
    for i, moved in enumerate(followed.steps):
        if moved is not None:
            flow[i], flow_sd[i] = moved.joints, moved.sd
            camera[i], background[i] = moved.background, moved.background_points
    return replace(
        tracks, flow=flow, flow_sd=flow_sd, camera=camera, background=background, looks=tuple(followed.edges)
    )
