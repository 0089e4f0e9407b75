"""MediaPipe's landmark model on every frame in its video mode with its default smoothing: what anyone would try first."""

from pathlib import Path

import numpy as np
from mediapipe import Image, ImageFormat
from mediapipe.tasks.python.core.base_options import BaseOptions
from mediapipe.tasks.python.vision import PoseLandmarker, PoseLandmarkerOptions, RunningMode
from numpy.typing import NDArray

from models.pose import weights_path
from vision.clip import open_clip
from vision.skeleton import JOINTS, MEDIAPIPE


def landmarks(clip: Path) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Seconds (N,) and picture points (N, J, 2) in pixels of the upright clip; NaN where no body is found."""
    opened = open_clip(clip)
    size = (opened.facts.width, opened.facts.height)
    options = PoseLandmarkerOptions(
        base_options=BaseOptions(model_asset_path=str(weights_path()), delegate=BaseOptions.Delegate.CPU),
        running_mode=RunningMode.VIDEO,
    )
    points = np.full((len(opened.times), len(JOINTS), 2), np.nan)
    stamp = -1
    with PoseLandmarker.create_from_options(options) as model:
        for frame in opened.frames():
            picture = Image(image_format=ImageFormat.SRGB, data=np.ascontiguousarray(frame.image))
            stamp = max(stamp + 1, round(frame.time * 1000))
            found = model.detect_for_video(picture, stamp).pose_landmarks
            if found:
                points[frame.index] = [
                    (found[0][i].x * size[0] - 0.5, found[0][i].y * size[1] - 0.5) for i in MEDIAPIPE
                ]
    return opened.times, points
