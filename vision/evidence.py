"""The clip again, with what was measured drawn into every frame."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.errors import ClipError
from models.movements.movement import Angle
from vision.band import angle_u95
from vision.body_angles import TAIL, hip_joint
from vision.clip import Clip, open_clip
from vision.encode import write_clip
from vision.measure import Measurement
from vision.outlined import BLUE, LIGHT, Pen, Picture, draw_lines, draw_marks, write_words
from vision.skeleton import INDEX, SEGMENTS
from vision.timeline import Moment, Timeline

Array = NDArray[np.float64]
Progress = Callable[[str, float], None]

LONGER_SIDE: Final = 1280
"""Pixels of the longer side of what is written: enough to see a limb, small enough to send."""
FINE: Final = 3.0
"""Degrees of U95 below which a tenth of a degree is written."""


@dataclass(frozen=True)
class Overlay:
    """All that is drawn, by frame, in pixels of the picture drawn on."""

    limbs: Array
    """(frames, joints, 2) the near side, head to toe, as `NEAR_SIDE` names them."""
    line: Array
    """(frames, 2, 2) the movement's body line on the near side, its far end first."""
    level: Array
    """(frames, 2, 2) the reference through that end: level with the floor, or plumb for a lean."""
    present: NDArray[np.bool_]
    """(frames,) whether there is a body to draw."""
    words: list[list[str]]
    """What is written in each frame, a line each."""


NEAR_SIDE: Final = tuple(dict.fromkeys(point for segment in SEGMENTS for point in segment))
"""The joints of one side that are marked."""


def annotate(clip: Path, measurement: Measurement, out: Path, progress: Progress | None = None) -> None:
    """Write the clip again as H.264 in MP4, in real time and without sound, with its measurement drawn in.

    Every frame shows the joints of the near side, the movement's body line and the level (or plumb) line that its angle
    is taken from; the rep or hold with its verdict, where it has one; the stroke or pause with its running seconds; and
    the body angle and the driving angle with their U95.

    Raises:
        ClipError: the clip cannot be opened, is damaged, or is not the one that was measured.
        OSError: `out` cannot be written.
    """
    opened = open_clip(clip)
    if opened.facts.sha256 != measurement.document.clip.sha256:
        raise ClipError("The clip is not the one that was measured; measure it again.")
    write_clip(out, _drawn(opened, measurement, progress or (lambda _stage, _share: None)))


def _drawn(clip: Clip, measurement: Measurement, progress: Progress) -> Iterator[tuple[float, Picture]]:
    made: Overlay | None = None
    for frame in clip.frames(LONGER_SIDE):
        height, width = frame.image.shape[:2]
        if made is None:
            made = overlay(measurement, width / clip.facts.width)
        pen = Pen.for_picture(width, height)
        image = np.ascontiguousarray(frame.image)
        if made.present[frame.index]:
            draw_body(image, made, frame.index, pen)
        write_words(image, made.words[frame.index], (pen.text / 2, pen.text / 2), pen)
        progress("drawing", (frame.index + 1) / clip.facts.frames)
        yield frame.time, image


def draw_body(image: Picture, made: Overlay, index: int, pen: Pen) -> None:
    """Draw one frame's limbs, lines and joints onto its picture."""
    limbs = [
        (made.limbs[index, [NEAR_SIDE.index(a), NEAR_SIDE.index(b)]], LIGHT, 1.0) for a, b in SEGMENTS if a != "ear"
    ]
    draw_lines(image, [(made.level[index], LIGHT, 0.5), *limbs, (made.line[index], BLUE, 2.0)], pen)
    draw_marks(image, made.limbs[index], pen)


def overlay(measurement: Measurement, scale: float) -> Overlay:
    """All that is drawn on pictures `scale` times the clip's own size."""
    motion = measurement.motion
    joints = (motion.in_picture() + 0.5) * scale - 0.5
    limbs = joints[:, [INDEX[f"{motion.near}_{point}"] for point in NEAR_SIDE]]
    shoulder, hip = NEAR_SIDE.index("shoulder"), NEAR_SIDE.index("hip")
    limbs[:, hip] = hip_joint(limbs[:, shoulder], limbs[:, hip], motion.near)  # as the angles are read
    line = limbs[:, [NEAR_SIDE.index(TAIL[measurement.movement.line]), shoulder]]
    return Overlay(limbs, line, _reference(line, measurement), motion.present, _words(measurement))


def _reference(line: Array, measurement: Measurement) -> Array:
    """A level line (frames, 2, 2) through the far end of the body line, as long as it and toward its other end; plumb for a lean."""
    motion = measurement.motion
    down = np.einsum("nij,j->ni", motion.from_first[:, :, :2], motion.down)
    down /= np.linalg.norm(down, axis=1, keepdims=True)
    along = down if measurement.movement.tilt == "lean" else np.stack([-down[:, 1], down[:, 0]], axis=1)
    body = line[:, 1] - line[:, 0]
    forward = np.sign(np.sum(body * along, axis=1, keepdims=True))
    reach = np.linalg.norm(body, axis=1, keepdims=True)
    return np.stack([line[:, 0], line[:, 0] + forward * reach * along], axis=1)


def _words(measurement: Measurement) -> list[list[str]]:
    timeline = Timeline(measurement.document)
    angles = _shown_angles(measurement)
    spread = {angle: angle_u95(measurement, angle) for angle in angles}
    motion = measurement.motion
    return [
        [
            *_moment_words(timeline.at(time)),
            *([_degrees(angle, motion.angles[angle][n], spread[angle][n]) for angle in angles] if seen else []),
            *([] if seen else ["no athlete seen"]),
            *([f"no angles: {motion.view.refusal}"] if motion.view.oblique else []),
        ]
        for n, (time, seen) in enumerate(zip(motion.time, motion.present, strict=True))
    ]


def _shown_angles(measurement: Measurement) -> tuple[Angle, ...]:
    """The body's tilt, and what drives the reps or must keep still in a hold; none where the view shows no angle."""
    if measurement.motion.view.oblique:
        return ()
    movement = measurement.movement
    holding = any(each.holds for each in measurement.document.sets)
    driving = movement.hold.still if holding or movement.reps is None else (movement.reps.driving,)
    return tuple(dict.fromkeys((movement.tilt, *driving)))


def _degrees(angle: Angle, value: float, spread: float) -> str:
    """An angle with its U95, to the digit that U95 leaves meaning in."""
    digits = 1 if spread < FINE else 0
    return f"{angle} {value:.{digits}f}° ±{spread:.{digits}f}°"


def _moment_words(moment: Moment) -> list[str]:
    words = [moment.item] if moment.item else []
    return words + ([f"{moment.stage} {moment.seconds:.1f} s"] if moment.stage else [])
