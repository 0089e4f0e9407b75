"""The motion series: what plots, the overlay on the proxy and corrected boundaries are drawn from, in one .npz file."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import IO, TYPE_CHECKING, Final

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from vision.measure import Measurement

Array = NDArray[np.float64]

VERSION: Final = 1


@dataclass(frozen=True, eq=False)
class Angle:
    """One angle over time, degrees (`reach`: % of the arm's length), each (frames,)."""

    value: Array
    u95: Array
    """Its expanded uncertainty, from all of its parts; nan where the view shows no angles."""
    sd: Array
    """Standard deviation of its random part alone: what moves from frame to frame, and so matters to a boundary."""


@dataclass(frozen=True, eq=False)
class Series:
    """The athlete over time. Points are shares of the picture's width and height, so that they fit any size of it."""

    time: Array
    """(frames,) seconds on the clip's clock."""
    present: NDArray[np.bool_]
    """(frames,) whether the athlete was seen."""
    driving: str
    """The angle whose turning makes a rep; empty where the movement has none."""
    tilt: str
    """`body` or `lean`: what the movement's line is told by."""
    refusal: str
    """Why this view shows no angles; empty where it does."""
    angles: Mapping[str, Angle]
    joint_names: tuple[str, ...]
    """Of the side toward the lens."""
    joints: Array
    """(frames, joints, 2)."""
    line: Array
    """(frames, 2, 2) the movement's body line, its far end first."""
    level: Array
    """(frames, 2, 2) what its angle is taken from: a level line through that end, or a plumb one for a lean."""


def write_series(measurement: "Measurement", path: Path) -> None:
    """Write the series of a measurement; 32 bits hold more than was measured."""
    from vision.band import angle_u95
    from vision.evidence import NEAR_SIDE, overlay

    motion, movement = measurement.motion, measurement.movement
    facts = measurement.document.clip
    drawn = overlay(measurement, 1.0)
    size = np.array([facts.width, facts.height])
    arrays: dict[str, NDArray[np.generic]] = {
        "version": np.array(VERSION),
        "time": motion.time,
        "present": motion.present,
        "driving": np.array(movement.reps.driving if movement.reps else ""),
        "tilt": np.array(movement.tilt),
        "refusal": np.array((motion.view.refusal or "") if motion.view.oblique else ""),
        "joint_names": np.array(NEAR_SIDE),
    }
    for name, points in (("joints", drawn.limbs), ("line", drawn.line), ("level", drawn.level)):
        arrays[name] = ((points + 0.5) / size).astype(np.float32)
    for name in motion.sd:
        u95 = np.full(len(motion.time), np.nan) if motion.view.oblique else angle_u95(measurement, name)
        parts = {"value": motion.angles[name], "u95": u95, "sd": motion.sd[name]}
        arrays |= {f"{name}.{part}": values.astype(np.float32) for part, values in parts.items()}
    with path.open("wb") as file:
        np.savez_compressed(file, allow_pickle=False, **arrays)


def read_series(file: Path | IO[bytes]) -> Series:
    """Read a series.

    Raises:
        ValueError: the file is no motion series of this version.
    """
    with np.load(file, allow_pickle=False) as arrays:
        if "version" not in arrays or int(arrays["version"]) != VERSION:
            raise ValueError("not a motion series of this version")
        names = [name.removesuffix(".value") for name in arrays if name.endswith(".value")]
        return Series(
            time=arrays["time"],
            present=arrays["present"],
            driving=str(arrays["driving"]),
            tilt=str(arrays["tilt"]),
            refusal=str(arrays["refusal"]),
            angles={name: Angle(*(arrays[f"{name}.{part}"] for part in ("value", "u95", "sd"))) for name in names},
            joint_names=tuple(map(str, arrays["joint_names"])),
            joints=arrays["joints"],
            line=arrays["line"],
            level=arrays["level"],
        )
