"""What a clip really shows: the truth file that lies beside it."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from models.movements import Movement, load_movement
from sample_clips.camera import Camera
from sample_clips.camera import angles_of as turns_of
from sample_clips.figure import Figure
from sample_clips.fine import Fine, angles_of, fine_series, rounded
from sample_clips.hold_truth import holds
from sample_clips.rep_truth import reps

Array = NDArray[np.float64]
NAMES = ("nose",) + tuple(
    f"{side}_{point}"
    for point in ("ear", "shoulder", "elbow", "wrist", "index", "hip", "knee", "ankle", "heel", "toe")
    for side in ("left", "right")
)


def movement_of(figure: Figure) -> Movement:
    """The catalogue's entry for what the figure does."""
    exercise = figure.recipe.exercise
    return load_movement(exercise.movement).as_variant(exercise.variant or None)


def write_truth(figure: Figure, camera: Camera, time: Array) -> dict[str, Any]:
    """The truth of a clip whose frames are shown at `time` (N,) seconds."""
    movement = movement_of(figure)
    joints = figure.joints(time)
    recipe = figure.recipe
    start, end, events = _events(figure, movement, fine_series(figure, movement))
    return {
        "truth": "plumbrep.truth/2",
        "clip": f"{recipe.name}.mp4",
        "sensor": f"{recipe.name}.mp4.sensor.json" if recipe.phone.sensor else None,
        "movement": movement.name,
        "recipe": recipe.model_dump(mode="json"),
        "athlete": {"height_cm": round(100 * figure.body.height, 2)},
        "camera": _camera(camera),
        "near_side": recipe.facing,
        "frames": {
            "time": _round(time, 6),
            "joints": {n: {"m": _round(joints[n], 5), "px": _round(camera.project(joints[n]), 2)} for n in NAMES},
            "centre_of_mass": _round(joints["centre_of_mass"], 5),
            "angles": {
                name: _round(angle, 3)
                for name, angle in angles_of(figure, joints, movement).items()
                if not np.isnan(angle).any()
            },
            **_turns(camera),
        },
        "sets": [{"start": start, "end": end, **events}],
    }


def _events(figure: Figure, movement: Movement, fine: Fine) -> tuple[float, float, dict[str, Any]]:
    if figure.recipe.exercise.hold is None:
        done = reps(figure, movement, fine)
        return done[0]["start"], done[-1]["end"], {"reps": done, "holds": []}
    held = holds(movement, fine)
    return held[0]["start"], held[-1]["end"], {"reps": [], "holds": held}


def _camera(camera: Camera) -> dict[str, Any]:
    """How the picture is turned, over the clip on the whole, and where the lens stood."""
    phone, turns = camera.phone, turns_of(camera.axes)
    still = phone.stabilised == "none"
    return {
        "roll": phone.roll if still else rounded(np.median(turns["roll"])),
        "pitch": rounded(camera.pitch) if still else rounded(np.median(turns["pitch"])),
        "yaw": phone.yaw,
        "height": phone.lens_height,
        "distance": rounded(camera.distance),
        "focal_px": rounded(camera.focal_px, 3),
        "shake_deg": phone.shake_deg,
        "shake_mm": 1000 * phone.shake_m,
        "stabilised": phone.stabilised,
    }


def _turns(camera: Camera) -> dict[str, Any]:
    """Roll, pitch and yaw at each frame: of the picture, and of the phone itself where its video is stabilised."""
    phone = camera.phone
    turns = {"picture": {name: _round(angle, 3) for name, angle in turns_of(camera.axes).items()}}
    if phone.stabilised != "none":
        turns["phone"] = {name: _round(angle, 3) for name, angle in turns_of(camera.held).items()}
    return turns


def _round(values: Array, digits: int) -> list[Any]:
    rounded: list[Any] = np.round(values, digits).tolist()
    return rounded
