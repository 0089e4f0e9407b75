"""One pass over a clip: the athlete's landmarks at a steady rate, and the flow between every two pictures."""

from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Final

import cv2
import numpy as np
from numpy.typing import NDArray

from models.errors import AthleteError
from vision.clip import Clip, Frame
from vision.flow import Grey, Step, background_points, step
from vision.level import edges
from vision.people import APART, crowded, pick, stands_by
from vision.pose import Bodies, Landmarker, Picture, extent, landmarker
from vision.skeleton import JOINTS, SIDES

Array = NDArray[np.float64]

LONGER_SIDE: Final = 1280
"""Pictures are looked at no larger than this; a phone's 4K adds time, not accuracy."""
LANDMARK_RATE: Final = 12.0
"""Landmarks per second of clip; between them the flow carries the body."""
LOOK_AROUND: Final = 1.0
"""Seconds between looks at the whole picture for other people."""
BACKGROUND_LASTS: Final = 0.5
"""Seconds for which background points are followed before new ones are chosen."""
MOST_LOOKS: Final = 12
"""Looks at the scene's edges; more tell nothing new."""
MARGINS: Final = (0.3, 0.5)
"""Room left round the body when it is cut out for the landmarker, as a share of its extent; taken in turn, every other
cut mirrored, so that the landmarker's errors change from look to look and average out."""
SMALLEST: Final = 0.12
"""A body shorter than this share of the picture's longer side is too small to measure."""
NEEDED: Final = ("shoulder", "elbow", "wrist", "hip", "knee", "ankle")
"""Without one of these on one side at least, a body is cut off."""
BEYOND_EDGE: Final = 0.04
"""How far outside the picture, as a share of the body's extent, a joint is surely out of view."""
FEWEST_LOOKS: Final = 3
"""A body seen in fewer looks is a mistake of the landmarker: even at 4 frames/s an athlete is seen more often."""
CUT_OFF: Final = 0.5
"""Refuse the clip when a joint is out of view in more than this share of looks."""
LOST: Final = 1.0
"""Seconds without the athlete after which anybody may be the athlete again."""
CROWDED: Final = 0.5
"""Refuse the clip when more than this share of looks found somebody else."""

_MIRROR: Final = np.array(
    [
        JOINTS.index(name.replace(*pair)) if name.startswith(pair[0]) else index
        for index, name in enumerate(JOINTS)
        for pair in [SIDES if name.startswith("left") else SIDES[::-1]]
    ]
)


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
    """Share of looks round the picture that found another person of like size."""


@dataclass
class _State:
    """What the pass carries from one picture to the next."""

    grey: Grey | None = None
    body: Array | None = None
    background: NDArray[np.float32] = field(default_factory=lambda: np.zeros((0, 2), np.float32))
    landmark_at: float = -np.inf
    looked_at: float = -np.inf
    background_at: float = -np.inf
    looks: int = 0
    crowds: int = 0
    close: int = 0
    seen_at: float = -np.inf
    first: int = 0
    edges: list[tuple[int, Array]] = field(default_factory=list)


def track(clip: Clip, weights: Path, progress: Callable[[float], None] | None = None) -> Tracks:
    """Follow the athlete through the clip.

    Raises:
        AthleteError: nobody is seen, or several people of like size.
    """
    state, rows = _State(), []
    size = (0, 0)
    with landmarker(weights, most=1) as find_one, landmarker(weights, most=3) as find_all:
        for frame in clip.frames(max_side=LONGER_SIDE):
            size = frame.image.shape[1], frame.image.shape[0]
            rows.append(_row(frame, state, find_one, find_all))
            if progress is not None:
                progress((frame.index + 1) / len(clip.times))
    tracks = _tracks(clip, rows, state, size)
    _refuse_unmeasurable(tracks)
    return tracks


def _refuse_unmeasurable(tracks: Tracks) -> None:
    seen = ~np.isnan(tracks.landmarks[:, 0, 0])
    if np.count_nonzero(seen) < FEWEST_LOOKS:
        raise AthleteError("no person is seen in this clip; film the whole body, in good light")
    if tracks.others > CROWDED:
        raise AthleteError("several people of like size are training in view; film one athlete alone, or crop the clip")
    size = float(np.median(extent(tracks.landmarks[seen])))
    if size < SMALLEST * max(tracks.size):
        share = 100 * size / max(tracks.size)
        raise AthleteError(f"the athlete fills only {share:.0f} % of the picture; film from closer")
    for name in NEEDED:
        if _outside(tracks.landmarks[seen], name, tracks.size) > CUT_OFF:
            raise AthleteError(f"the picture's edge cuts the athlete off: no {name} is in view; film the whole body")


def _outside(landmarks: Array, name: str, size: tuple[int, int]) -> float:
    """Share of looks (looks, joints, 2) that place a joint of both sides well outside the picture."""
    pair = landmarks[:, [JOINTS.index(f"{side}_{name}") for side in SIDES]]
    room = BEYOND_EDGE * extent(landmarks)[:, None, None]
    beyond = (pair < -room) | (pair > np.array(size) + room)
    gone = np.all(np.any(beyond, axis=2), axis=1)
    return float(np.mean(gone))


def _row(
    frame: Frame, state: _State, find_one: Landmarker, find_all: Landmarker
) -> tuple[float, Step | None, Bodies | None]:
    grey = cv2.cvtColor(frame.image, cv2.COLOR_RGB2GRAY)
    moved = _advance(grey, state)
    seen = None
    if frame.time - state.landmark_at >= 1 / LANDMARK_RATE - 0.005:
        seen = _look(frame, state, find_one, find_all)
        state.landmark_at = frame.time
    if frame.time >= len(state.edges) * LOOK_AROUND and len(state.edges) < MOST_LOOKS:
        state.edges.append((frame.index, edges(grey, state.body)))
    state.grey = grey
    if state.body is not None and frame.time - state.background_at >= BACKGROUND_LASTS:
        state.background, state.background_at = background_points(grey, state.body), frame.time
    return frame.time, moved, seen


def _advance(grey: Grey, state: _State) -> Step | None:
    """Carry the body from the picture before to this one by flow."""
    if state.grey is None or state.body is None:
        return None
    moved = step(state.grey, grey, state.body, state.background)
    carried = state.body @ moved.background[:, :2].T + moved.background[:, 2]
    state.background = moved.followed
    state.body = np.where(np.isnan(moved.joints), carried, state.body + moved.joints)
    return moved


def _look(frame: Frame, state: _State, find_one: Landmarker, find_all: Landmarker) -> Bodies | None:
    """The athlete's landmarks in this picture, or None."""
    athlete = None
    if state.body is not None and frame.time - state.looked_at < LOOK_AROUND:
        margin, mirrored = MARGINS[state.close % len(MARGINS)], state.close % 2 == 1
        athlete = _kept(_look_close(frame.image, state.body, find_one, margin, mirrored), 0, state.body)
        state.close += 1
    if athlete is None:
        athlete = _look_around(frame, state, find_all)
    if athlete is not None:
        state.body, state.seen_at = athlete.points[0], frame.time
    elif frame.time - state.seen_at > LOST:
        state.body = None
    return athlete


def _look_around(frame: Frame, state: _State, find: Landmarker) -> Bodies | None:
    """The athlete among everybody in the whole picture."""
    bodies = find(frame.image)
    state.looked_at = frame.time
    if not len(bodies):
        return None
    best = pick(bodies, state.body, frame.image.shape[1])
    state.looks += 1
    state.crowds += crowded(bodies, best)
    if state.body is not None and stands_by(state.body[None])[0] and _far(bodies.points[best], state.body):
        # Until now somebody else was followed, who turns out to stand by.
        state.first, state.body = frame.index, None
    return _kept(bodies, best, state.body)


def _kept(bodies: Bodies, best: int, last: Array | None) -> Bodies | None:
    """One of the bodies, left and right as they are; None where it cannot be the one that was followed."""
    if not len(bodies) or (last is not None and _far(bodies.points[best], last)):
        return None
    chosen = Bodies(*(values[best : best + 1] for values in (bodies.points, bodies.world, bodies.visibility)))
    return _unmirrored(chosen, last)


def _far(body: Array, last: Array) -> bool:
    """Whether a body cannot be the one that was followed."""
    return bool(np.linalg.norm(body.mean(0) - last.mean(0)) > APART * extent(body))


def _look_close(image: Picture, body: Array, find: Landmarker, margin: float, mirrored: bool) -> Bodies:
    """Ask the landmarker about the body's surroundings alone: more pixels on the body, nobody else in view."""
    room = margin * float(extent(body))
    height, width = image.shape[:2]
    x0, y0 = np.clip(np.floor(body.min(0) - room), 0, [width - 2, height - 2]).astype(int)
    x1, y1 = np.clip(np.ceil(body.max(0) + room), [x0 + 2, y0 + 2], [width, height]).astype(int)
    cut = image[y0:y1, x0:x1]
    found = _mirrored(find(cut[:, ::-1]), x1 - x0) if mirrored else find(cut)
    return Bodies(found.points + [x0, y0], found.world, found.visibility)


def _mirrored(bodies: Bodies, width: int) -> Bodies:
    """Bodies of a mirrored picture, as the picture itself shows them."""
    points = bodies.points[:, _MIRROR] * [-1, 1] + [width - 1, 0]
    return Bodies(points, bodies.world[:, _MIRROR] * [-1, 1, 1], bodies.visibility[:, _MIRROR])


def _unmirrored(athlete: Bodies, last: Array | None) -> Bodies:
    """Swap left and right back where the landmarker took one for the other."""
    if last is None:
        return athlete
    as_is = np.linalg.norm(athlete.points[0] - last, axis=-1).mean()
    mirrored = np.linalg.norm(athlete.points[0][_MIRROR] - last, axis=-1).mean()
    if mirrored > 0.6 * as_is:
        return athlete
    return Bodies(athlete.points[:, _MIRROR], athlete.world[:, _MIRROR], athlete.visibility[:, _MIRROR])


def _tracks(
    clip: Clip, rows: list[tuple[float, Step | None, Bodies | None]], state: _State, size: tuple[int, int]
) -> Tracks:
    n, j = len(rows), len(JOINTS)
    landmarks, world, visibility = np.full((n, j, 2), np.nan), np.full((n, j, 3), np.nan), np.full((n, j), np.nan)
    flow, flow_sd = np.full((n, j, 2), np.nan), np.full((n, j), np.inf)
    camera, background = np.tile(np.eye(2, 3), (n, 1, 1)), np.zeros(n, int)
    for i, (_, moved, seen) in enumerate(rows):
        if seen is not None and i >= state.first:
            landmarks[i], world[i], visibility[i] = seen.points[0], seen.world[0], seen.visibility[0]
        if moved is not None and i > state.first:
            flow[i], flow_sd[i] = moved.joints, moved.sd
            camera[i], background[i] = moved.background, moved.background_points
    time = np.array([row[0] for row in rows])
    return Tracks(
        time, landmarks, world, visibility, flow, flow_sd, camera, background, size,
        size[0] / clip.facts.width,
        tuple(state.edges), state.crowds / max(state.looks, 1),
    )  # fmt: skip
