"""The named body points that a landmark model gives, and which of them make a segment."""

from typing import Final

from models.document import Side

SIDES: Final = ("left", "right")
OTHER_SIDE: Final[dict[Side, Side]] = {"left": "right", "right": "left"}

JOINTS: Final[tuple[str, ...]] = (
    "nose",
    *(
        f"{side}_{point}"
        for point in ("ear", "shoulder", "elbow", "wrist", "index", "hip", "knee", "ankle", "heel", "toe")
        for side in SIDES
    ),
)
"""Order of the joint axis of every landmark and motion array."""

INDEX: Final[dict[str, int]] = {name: index for index, name in enumerate(JOINTS)}

MEDIAPIPE: Final[tuple[int, ...]] = (0, 7, 8, 11, 12, 13, 14, 15, 16, 19, 20, 23, 24, 25, 26, 27, 28, 29, 30, 31, 32)
"""Where each of JOINTS stands among the 33 landmarks of the MediaPipe pose landmarker."""

SEGMENTS: Final[tuple[tuple[str, str], ...]] = (
    ("ear", "shoulder"),
    ("shoulder", "elbow"),
    ("elbow", "wrist"),
    ("wrist", "index"),
    ("shoulder", "hip"),
    ("hip", "knee"),
    ("knee", "ankle"),
    ("ankle", "toe"),
)
"""Segments of one side, proximal point first."""
