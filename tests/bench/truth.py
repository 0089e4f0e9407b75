"""The exact truth that lies beside a sample clip, `<clip>.truth.json`: what was drawn, and what a measurement must find."""

import json
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np

from models.document import Side
from models.movements import Movement, load_movement
from models.quantity import Frozen


class Stroke(Frozen):
    """`thirds` in shares, `stops` in seconds, `swing` in % of height, `hip_range` in degrees; None where the truth does
    not tell."""

    start: float | None
    end: float | None
    thirds: tuple[float, float, float] | None = None
    stops: float | None = None
    swing: float | None = None
    hip_range: float | None = None


class Worst(Frozen):
    """Of the hip over a rep: degrees, and % of the line from shoulder to ankle."""

    hip: float
    deviation: float


class Standard(Frozen):
    """Signed distance in % of height."""

    name: str
    distance: float | None


class Rep(Frozen):
    status: str
    start: float
    end: float
    lowering: Stroke | None
    raising: Stroke | None
    top_pause: float | None
    bottom_pause: float | None
    straight: dict[str, float | None]
    bent: dict[str, float | None]
    worst: Worst | None = None
    standards: tuple[Standard, ...] = ()


class Hold(Frozen):
    start: float
    end: float
    still: float
    posture: dict[str, float | None]
    drift: float
    sway: dict[str, float | None]


class Set(Frozen):
    start: float
    end: float
    reps: tuple[Rep, ...] = ()
    holds: tuple[Hold, ...] = ()


class Athlete(Frozen):
    height_cm: float


class Camera(Frozen):
    """Degrees and metres; `height` is the lens above the floor."""

    roll: float
    pitch: float
    yaw: float
    height: float


class Truth(Frozen):
    """One clip's truth. `frames` holds every joint in space and in the picture; `sensor` names the file beside it that
    holds what the phone's own sensor recorded."""

    clip: str
    sensor: str | None = None
    movement: str
    recipe: dict[str, Any]
    athlete: Athlete
    camera: Camera
    near_side: Side
    frames: dict[str, Any]
    sets: tuple[Set, ...]

    def as_measured(self) -> Movement:
        """The movement as its prescription would have it measured: the variant done, lowered only or not."""
        exercise = self.recipe["exercise"]
        movement = load_movement(self.movement).as_variant(exercise.get("variant") or None)
        if movement.reps is None or not exercise.get("lowering_only"):
            return movement
        lowered = movement.reps.model_copy(update={"first": "lowering", "lowering_only": True})
        return movement.model_copy(update={"reps": lowered})

    @property
    def is_hold(self) -> bool:
        return any(group.holds for group in self.sets)

    @property
    def flare(self) -> float:
        """Degrees by which the elbows stand away from the trunk."""
        return float(self.recipe["exercise"].get("flare", 0))

    @property
    def edges(self) -> bool:
        """Whether the room shows lines to level by."""
        return bool(self.recipe["room"].get("edges", True))

    @cached_property
    def body_height(self) -> float:
        """Metres from the floor to the middle of the trunk, median over the clip."""
        joints = self.frames["joints"]
        names = [f"{side}_{point}" for side in ("left", "right") for point in ("shoulder", "hip")]
        return float(np.median([np.asarray(joints[name]["m"])[:, 2] for name in names]))

    @property
    def good_view(self) -> bool:
        """Yaw at most 10 degrees, lens within 0.3 m of the body's height, phone level (roll 1, pitch 5 degrees)."""
        camera = self.camera
        turned = abs((camera.yaw + 90) % 180 - 90) > 10
        return (
            not turned
            and abs(camera.height - self.body_height) <= 0.3
            and abs(camera.roll) <= 1
            and abs(camera.pitch) <= 5
        )


def truth_path(clip: Path) -> Path:
    return clip.with_name(clip.name + ".truth.json")


def read_truth(clip: Path) -> Truth:
    return Truth.model_validate(json.loads(truth_path(clip).read_text(encoding="utf-8")))


def clips_in(folder: Path) -> list[Path]:
    """The clips of a folder that have a truth beside them, sorted by name."""
    paths = (path.with_name(path.name.removesuffix(".truth.json")) for path in folder.glob("*.truth.json"))
    return sorted(path for path in paths if path.exists())
