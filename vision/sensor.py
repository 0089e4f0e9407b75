"""Which way is down, by the phone's own motion sensor, compared with what the picture shows.

The sensor tells gravity at each moment; the picture tells how it turned meanwhile (`vision.camera`). Carried to the
first picture, the sensor's gravity must stand still, and must agree with the edges of the scene. Where it does not, the
picture is not what the lens saw (stabilised or horizon-locked video), or the track is another clip's.
"""

from dataclasses import replace
from typing import Final

import numpy as np
from numpy.typing import NDArray

from models.body.figure import seam
from models.errors import SensorError
from models.sensor import Clock, SensorTrack
from vision.camera import PhoneMotion, turns_to_first
from vision.level import Level, gravity_of, roll_pitch
from vision.uncertainty import COVERAGE

Array = NDArray[np.float64]

SENSOR_U: Final = 0.5
"""Degrees, standard: roll and pitch by the sensor of a phone that does not say better (common practice, no source)."""
UNKNOWN_LAG: Final = 0.3
"""Seconds, standard, between the sensor's clock and the clip's where the track does not tell."""
MOST_GAP: Final = 1.0
"""Seconds without a sample after which nobody knows how the phone was turned."""
STEADY: Final = 0.3
"""Degrees, standard, by which the sensor's gravity seems to turn in a steadied picture: noise, and a hand that shifts."""
APART: Final = 3.0
"""Standard uncertainties beyond which sensor and picture contradict each other."""


def level_by_sensor(track: SensorTrack, time: Array, phone: PhoneMotion, scene: Level) -> Level:
    """The level in the steadied picture: by the sensor, or by the scene's edges where the sensor contradicts them.

    Gravity is given by frame where the phone turned and the background was too plain to steady the picture by.

    Args:
        track: What the sensor recorded.
        time: (frames,) seconds on the clip's clock.
        phone: How the picture moved.
        scene: The level that the scene's edges tell, or the one assumed.

    Raises:
        SensorError: the track does not cover the clip.
    """
    require_samples(track, time)
    clock = _clock(track)
    turns = turns_to_first(phone, scene.focal, scene.centre)
    early, now, late = (
        np.einsum("fij,fj->fi", turns, gravity_at(track, time + clock.offset + lag)) for lag in (-clock.u, 0.0, clock.u)
    )
    steadied = phone.known or bool((_unrest(now) <= STEADY).all())
    lag_u = _half_way(_mean(early), _mean(late)) if steadied else _rms(_half_way(early, late))
    u = np.hypot(track.u or SENSOR_U, lag_u)
    told = replace(
        scene,
        gravity=_mean(now) if steadied else now,
        roll_u=float(u[0]),
        pitch_u=float(u[1]),
        source="sensor",
    )
    expected = np.hypot(STEADY, _rms(_half_way(early, late)))
    restless = steadied and bool((_unrest(now) > APART * expected).any())
    return _compared(_with_lens(told, scene), scene, restless=restless)


def require_samples(track: SensorTrack, time: Array) -> None:
    """Check that the track covers times (frames,) on the clip's clock.

    Raises:
        SensorError: there is no sample near one of them.
    """
    at = np.array([sample.time for sample in track.samples])
    wanted = time + _clock(track).offset
    edges = np.concatenate([[-np.inf], at, [np.inf]])
    after = np.searchsorted(at, wanted)
    far = np.minimum(wanted - edges[after], edges[after + 1] - wanted)
    if far.max() > MOST_GAP:
        raise SensorError(
            f"the sensor track does not cover the clip: it has no sample within {MOST_GAP:g} s of the clip's "
            f"{time[np.argmax(far)]:.1f} s; give the track that was recorded with this clip"
        )


def gravity_at(track: SensorTrack, time: Array) -> Array:
    """Unit vectors (n, 3) of gravity in the camera's frame at times (n,) on the sensor's clock.

    Between samples it turns evenly; before the first and after the last it stays.
    """
    at, roll, pitch = np.array([(sample.time, sample.roll, sample.pitch) for sample in track.samples]).T
    known = gravity_of(roll, pitch)
    found = np.stack([np.interp(time, at, axis) for axis in known.T], axis=1)
    return np.asarray(found / np.linalg.norm(found, axis=1, keepdims=True))


def _clock(track: SensorTrack) -> Clock:
    return track.clock or Clock(offset=0, u=UNKNOWN_LAG)


def _compared(told: Level, scene: Level, *, restless: bool) -> Level:
    """The sensor's level where nothing speaks against it; else the scene's, as doubtful as the two are apart."""
    apart = 2 * _half_way(_mean(scene.gravity.reshape(-1, 3)), _mean(told.gravity.reshape(-1, 3)))
    u = np.hypot([told.roll_u, told.pitch_u], [scene.roll_u, scene.pitch_u])
    seen = scene.source == "scene"
    if not restless and not (seen and (np.abs(apart) > APART * u).any()):
        return told
    kept = scene if seen else told
    wide = np.hypot([kept.roll_u, kept.pitch_u], apart / COVERAGE)
    note = (
        f"the phone's sensor tells roll {told.roll:.1f} and pitch {told.pitch:.1f} degrees, "
        f"the picture {scene.roll:.1f} and {scene.pitch:.1f}"
        if seen
        else "the picture does not turn as the phone's sensor tells"
    )
    why = "stabilised or horizon-locked video, or another clip's track; angles carry the doubt"
    return replace(kept, roll_u=float(wide[0]), pitch_u=float(wide[1]), notes=(*kept.notes, f"{note}: {why}"))


def _with_lens(told: Level, scene: Level) -> Level:
    """The sensor's level with the focal length that the scene's edges tell once the pitch is known."""
    tied = scene.pitch_focal * scene.pitch_u * scene.focal_u
    slope = tied / (scene.pitch_u**2 + told.pitch_u**2)
    focal_u = float(np.sqrt(scene.focal_u**2 - slope * tied))
    focal = scene.focal * float(np.exp(slope * (told.pitch - scene.pitch)))
    return replace(told, focal=focal, focal_u=focal_u, pitch_focal=slope * told.pitch_u / focal_u if focal_u else 0.0)


def _mean(gravity: Array) -> Array:
    """Unit vector (3,) of the mean of unit vectors (frames, 3)."""
    mean = gravity.mean(axis=0)
    return np.asarray(mean / np.linalg.norm(mean))


def _half_way(early: Array, late: Array) -> Array:
    """Half of the turn (..., 2) in roll and pitch from one gravity (..., 3) to another, degrees."""
    turn = np.stack(roll_pitch(late), axis=-1) - np.stack(roll_pitch(early), axis=-1)
    return seam(turn) / 2


def _unrest(gravity: Array) -> Array:
    """How far (2,) gravity (frames, 3) turns about its mean in roll and in pitch: RMS, degrees."""
    return 2 * _rms(_half_way(np.broadcast_to(_mean(gravity), gravity.shape), gravity))


def _rms(turns: Array) -> Array:
    return np.asarray(np.sqrt(np.mean(np.square(turns), axis=0)))
