"""A clip in, its measurement document out."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import partial
from hashlib import sha256
from importlib.metadata import version
from pathlib import Path

from models.document import Camera, Document, Hold, MadeBy, Rep, Set
from models.movements import Movement
from models.pose import landmark_model_sha256, weights_path
from models.quantity import Q, Unmeasured
from models.sensor import SensorTrack
from vision import flow, holds, looks, reps, scale, smooth, summary
from vision.clip import Clip, open_clip
from vision.demand import with_demand
from vision.level import Level
from vision.motion import Motion
from vision.sensor import require_samples
from vision.uncertainty import quantity
from vision.watch import Asked, Watched, holding, watch

Progress = Callable[[str, float], None]


@dataclass(frozen=True)
class Measurement:
    """What one clip shows: the document, the motion it was read from, and the movement it was read as."""

    document: Document
    motion: Motion
    movement: Movement


def measure(
    path: Path,
    movement: Movement | None,
    *,
    hold: bool | None = None,
    height_cm: float | None = None,
    sensor: SensorTrack | None = None,
    weights: Path | None = None,
    progress: Progress | None = None,
) -> Measurement:
    """Measure a clip.

    Args:
        path: The clip.
        movement: What the athlete does in it; None: whatever it looks like, if that is clear.
        hold: Look for holds (True) or reps (False); what the movement is usually done as when not told.
        height_cm: The athlete's standing height; without it lengths are in % of height.
        sensor: Roll and pitch of the phone over time, recorded with the clip.
        weights: Landmark weights; fetched when not given.
        progress: Called with the stage's name and how much of it is done, 0 to 1.

    Raises:
        ClipError: the file is not a clip that can be measured.
        AthleteError: no athlete in it can be measured, or never in the position of the movement.
        MovementError: reps were asked for, and the movement has none; or it is not told and not clear.
        SensorError: the sensor track does not cover the clip.
        WeightsError: the landmark weights cannot be had.
    """
    if movement is not None:
        hold = holding(movement, hold=hold)
    clip = open_clip(path)
    if sensor is not None:
        require_samples(sensor, clip.times)
    bundle = weights_path(weights)
    seen = watch(clip, bundle, Asked(movement, hold, sensor), progress and partial(progress, "following the athlete"))
    moved, movement = seen.motion, seen.movement
    sets = _hold_sets(moved, movement, height_cm) if seen.hold else _rep_sets(moved, movement, seen.upright, height_cm)
    document = Document(
        movement=movement.name,
        made_by=MadeBy(
            program=version("plumbrep"),
            landmark_model=landmark_model_sha256(bundle),
            settings=_settings(movement, seen.hold, height_cm)
            | {"suggested": seen.suggested is not None, "sensor": sensor is not None},
        ),
        clip=clip.facts,
        camera=_camera(seen, height_cm),
        sets=tuple(sets),
        not_measured=movement.not_measured,
        notes=_notes(clip, seen),
    )
    return Measurement(document, moved, movement)


def _rep_sets(moved: Motion, movement: Movement, upright: Level, height_cm: float | None) -> list[Set]:
    parted = summary.split(reps.find_cycles(moved, movement))
    sets = [reps.describe(moved, movement, upright, cycles) for cycles in parted]
    asked = [[with_demand(rep, movement, height_cm) for rep in found] for found in sets]
    return [_set(n, moved, movement, found, []) for n, found in enumerate(asked, start=1)]


def _hold_sets(moved: Motion, movement: Movement, height_cm: float | None) -> list[Set]:
    described = holds.describe(moved, movement, holds.find_holds(moved, movement), height_cm)
    found = [with_demand(hold, movement, height_cm) for hold in described]
    return [_set(n, moved, movement, [], part) for n, part in enumerate(summary.split(found), start=1)]


def _set(n: int, moved: Motion, movement: Movement, found: list[Rep], held: list[Hold]) -> Set:
    spans = found or held
    return Set(
        n=n,
        start=spans[0].start,
        end=spans[-1].end,
        near_side=moved.near,
        reps=tuple(found),
        holds=tuple(held),
        summary=summary.summarise(movement, found, held),
    )


def _camera(seen: Watched, height_cm: float | None) -> Camera:
    upright, view, height = seen.upright, seen.motion.view, seen.motion.height
    metres: Q = Unmeasured(reason="the athlete's height is not known")
    if height_cm is not None:
        size = height_cm / 100 / height
        metres = quantity(size, "m/px", scale.PROPORTION_U * size, scale.STATED_HEIGHT_U / height)
    return Camera(
        roll=quantity(upright.roll, "deg", upright.roll_u),
        pitch=quantity(upright.pitch, "deg", upright.pitch_u),
        yaw=quantity(view.yaw, "deg", view.u),
        level_from=upright.source,
        shake=quantity(100 * seen.phone.shake / seen.scale / height, "% of height", 0.1)
        if seen.phone.known
        else Unmeasured(reason="the background is too plain to tell"),
        metres_per_pixel=metres,
    )


def _settings(movement: Movement, holding: bool, height_cm: float | None) -> dict[str, object]:
    """Every setting that shapes the numbers."""
    return {
        "line": movement.line,
        # An own movement may be rewritten under its name.
        "movement_sha256": sha256(movement.model_dump_json().encode()).hexdigest(),
        "hold": holding,
        "height_cm": height_cm,
        "landmark_rate": looks.LANDMARK_RATE,
        "longer_side": looks.LONGER_SIDE,
        "flow_window": flow.WINDOW,
        "landmark_sd": smooth.LANDMARK_SD,
        "slip": smooth.SLIP,
        "acceleration": smooth.ACCELERATION,
    }


def _notes(clip: Clip, seen: Watched) -> tuple[str, ...]:
    notes = [] if seen.suggested is None else [seen.suggested]
    notes += [*clip.notes, *seen.upright.notes]
    if seen.by_larger:
        notes.append("the athlete was hard to see, and found only at the second try, by the larger landmark model")
    if seen.upright.source == "assumed":
        notes.append("the phone was taken to be level; every angle to the floor carries that doubt")
    if not seen.phone.known:
        notes.append("the background is too plain to take the phone's own motion out")
    return tuple(notes)
