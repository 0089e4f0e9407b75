"""Landmarks of the athlete in every frame, raw: the landmarker looks at each picture by itself, so nothing lags."""

import os
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, nullcontext
from dataclasses import dataclass, replace
from pathlib import Path
from threading import Lock
from typing import Any, Final

import cv2
import numpy as np
from mediapipe import Image, ImageFormat
from mediapipe.tasks.python.core.base_options import BaseOptions
from mediapipe.tasks.python.vision import PoseLandmarker, PoseLandmarkerOptions, RunningMode
from numpy.typing import NDArray

from vision.skeleton import MEDIAPIPE

Picture = NDArray[np.uint8]

CONFIDENCE: Final = 0.4
"""Lowest detection and presence score at which the landmarker reports a body."""

GREY: Final = 127
"""What is shown where nothing is to be seen."""
APART_MS: Final = 10_000_000
"""A tracking landmarker also smooths over time, which lags. It is told that pictures are hours apart, milliseconds: its
one-euro filter (Casiez, Roussel & Vogel 2012) then keeps nothing of the one before."""
_STDERR: Final = Lock()
"""Held by the thread that has turned standard error away, which is one for the whole process."""


@dataclass(frozen=True)
class Bodies:
    """What the landmarker sees in one picture, largest body first."""

    points: NDArray[np.float64]
    """(bodies, joints, 2) pixels of the picture, x right and y down, pixel centres at integers."""
    world: NDArray[np.float64]
    """(bodies, joints, 3) metres from the mid-hip, x right, y down, z away from the lens; the depth is a guess."""
    visibility: NDArray[np.float64]
    """(bodies, joints) in 0..1."""

    def __len__(self) -> int:
        return len(self.points)

    @property
    def arrays(self) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
        """Points, metres and visibility."""
        return self.points, self.world, self.visibility

    def only(self, which: Sequence[int] | NDArray[np.intp]) -> "Bodies":
        """Some of these bodies."""
        return Bodies(*(values[np.asarray(which, dtype=int)] for values in self.arrays))

    def moved(self, by: NDArray[np.int_]) -> "Bodies":
        """The same bodies so many pixels (x, y) further on."""
        return replace(self, points=self.points + by)


def join(*found: Bodies) -> Bodies:
    """The bodies of several looks together."""
    return Bodies(*(np.concatenate(values) for values in zip(*(each.arrays for each in found), strict=True)))


Landmarker = Callable[[Picture], Bodies]
Weights = Path | bytes
"""A task bundle, or where one lies."""


@contextmanager
def landmarker(weights: Weights, most: int = 1, *, tracking: bool = False) -> Iterator[Landmarker]:
    """A function from an RGB picture (H, W, 3) to the bodies in it, at most `most`; threads that share it take turns.

    It looks at each picture by itself; when `tracking`, first where the body was in the picture before, which halves the cost
    and finds bodies whatever way up they are.
    """
    options = PoseLandmarkerOptions(
        base_options=_base(weights),
        running_mode=RunningMode.VIDEO if tracking else RunningMode.IMAGE,
        num_poses=most,
        min_pose_detection_confidence=CONFIDENCE,
        min_pose_presence_confidence=CONFIDENCE,
        min_tracking_confidence=CONFIDENCE,
    )
    with _quiet():
        model = PoseLandmarker.create_from_options(options)
    talkative, now, turn = True, 0, Lock()

    def detect(image: Image) -> Any:
        nonlocal now
        now += APART_MS
        return model.detect_for_video(image, now) if tracking else model.detect(image)

    def find(picture: Picture) -> Bodies:
        nonlocal talkative
        side = max(picture.shape[:2])
        # The library speaks once about the first body that it finds.
        with turn, _quiet() if talkative else nullcontext():
            found = detect(_image(_squared(picture)))
        talkative = talkative and not found.pose_landmarks
        return _bodies(found.pose_landmarks, found.pose_world_landmarks, side)

    try:
        yield find
    finally:
        with _quiet():
            model.close()


def _base(weights: Weights) -> BaseOptions:
    here = {"model_asset_buffer": weights} if isinstance(weights, bytes) else {"model_asset_path": str(weights)}
    return BaseOptions(**here, delegate=BaseOptions.Delegate.CPU)


def _image(picture: Picture) -> Image:
    return Image(image_format=ImageFormat.SRGB, data=np.ascontiguousarray(picture))


def _squared(picture: Picture) -> Picture:
    """The picture with grey below or beside it: the landmarker projects rightly from square pictures only."""
    height, width = picture.shape[:2]
    side = max(height, width)
    return np.asarray(
        cv2.copyMakeBorder(picture, 0, side - height, 0, side - width, cv2.BORDER_CONSTANT, value=(GREY, GREY, GREY)),
        dtype=np.uint8,
    )


@contextmanager
def _quiet() -> Iterator[None]:
    """Keep the native library's chatter off standard error: it writes there past Python, and no option stops it."""
    with _STDERR:
        sys.stderr.flush()
        kept = os.dup(2)
        with Path(os.devnull).open("wb") as nowhere:
            os.dup2(nowhere.fileno(), 2)
        try:
            yield
        finally:
            os.dup2(kept, 2)
            os.close(kept)


def _bodies(landmarks: list[list[Any]], world: list[list[Any]], side: int) -> Bodies:
    """Collect the landmarker's answer into arrays, largest body first."""
    points = np.array([[(p.x, p.y) for p in body] for body in landmarks]).reshape(-1, 33, 2)[:, MEDIAPIPE] * side - 0.5
    metres = np.array([[(p.x, p.y, p.z) for p in body] for body in world]).reshape(-1, 33, 3)[:, MEDIAPIPE]
    seen = np.array([[p.visibility for p in body] for body in landmarks]).reshape(-1, 33)[:, MEDIAPIPE]
    order = np.argsort(-extent(points))
    return Bodies(points[order], metres[order], seen[order])


def extent(points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Diagonal (pixels) of the box round each body; `points` is (..., joints, 2)."""
    return np.asarray(np.linalg.norm(np.ptp(points, axis=-2), axis=-1))
