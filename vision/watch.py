"""A clip -> the athlete's motion in it.

The smaller landmark model finds the athlete. Where it sees nobody, or not rightly, the larger one looks through the clip anew:
it sees some whom the smaller one does not, behind a post or with the head down. It takes too long to look at every clip so.
"""

from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from models.errors import AthleteError, MovementError, UnseenError
from models.movements import Movement
from models.pose import larger_bundle
from models.sensor import SensorTrack
from vision import level, recognise, smooth, track
from vision.camera import PhoneMotion, carry, phone_motion
from vision.clip import Clip
from vision.level import Level
from vision.motion import Motion, read_motion
from vision.position import refuse_elsewhere
from vision.refuse import refuse_torn
from vision.sensor import level_by_sensor
from vision.track import Tracks


@dataclass(frozen=True)
class Asked:
    """What is known of a clip before it is looked at."""

    movement: Movement | None
    """What the athlete does in it; None: whatever it looks like, if that is clear."""
    hold: bool | None
    """Whether to look for holds or for reps; None: what the movement is usually done as."""
    sensor: SensorTrack | None


@dataclass(frozen=True)
class Watched:
    """The athlete's motion, what it was read as, and how the phone stood."""

    motion: Motion
    movement: Movement
    hold: bool
    suggested: str | None
    """Why it was taken for that movement, where nobody said."""
    upright: Level
    phone: PhoneMotion
    scale: float
    """Pixels of the picture looked at per pixel of the clip's."""
    by_larger: bool = False
    """Whether only the larger landmark model found the athlete."""


def watch(clip: Clip, weights: Path, asked: Asked, progress: Callable[[float], None] | None = None) -> Watched:
    """Follow the athlete through a clip and read their motion.

    Raises:
        AthleteError: no athlete in it can be measured, or never in the position of the movement.
        MovementError: reps were asked for, and the movement has none; or it is not told and not clear.
        SensorError: the sensor track does not cover the clip.
    """
    follow = partial(track.track, clip, weights, progress, asked.movement)
    try:
        return _read(follow(), asked)
    except UnseenError:
        larger = larger_bundle(weights)
        if larger is not None:
            with suppress(AthleteError):
                return replace(_read(follow(finder=larger), asked), by_larger=True)
        raise


def holding(movement: Movement, *, hold: bool | None) -> bool:
    """Whether to look for holds, as asked or as the movement is usually done.

    Raises:
        MovementError: reps were asked for, and the movement has none.
    """
    wanted = movement.usual == "hold" if hold is None else hold
    if not wanted and movement.reps is None:
        raise MovementError(f"{movement.name} has no reps to count; measure it as a hold")
    return wanted


def _read(tracks: Tracks, asked: Asked) -> Watched:
    phone = phone_motion(tracks.camera, tracks.background, tracks.size)
    upright = level.from_scene(_steadied(tracks, phone), tracks.size)
    if asked.sensor is not None:
        upright = level_by_sensor(asked.sensor, tracks.time, phone, upright)
    body = smooth.smooth_body(tracks, phone)
    refuse_torn(body.scatter, tracks.extent)
    movement, hold, suggested = asked.movement, asked.hold, None
    if movement is None:
        suggestion = recognise.choose(recognise.suggest(body, phone, upright, tracks.scale))
        movement, suggested = suggestion.movement, suggestion.note
        hold = suggestion.kind == "hold" if hold is None else hold
    moved = read_motion(body, movement, phone, upright, tracks.scale)
    refuse_elsewhere(moved, movement)
    return Watched(moved, movement, holding(movement, hold=hold), suggested, upright, phone, tracks.scale)


def _steadied(tracks: Tracks, phone: PhoneMotion) -> list[NDArray[np.float64]]:
    """The scene's edges of each look, carried to the first picture."""
    return [carry(phone.to_first[frame], lines.reshape(-1, 2, 2)).reshape(-1, 4) for frame, lines in tracks.looks]
