"""A made-up arm and leg whose joints are known, seen through bad landmarks."""

from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from vision.body_fit import FLARED, SHORTER, Segment, fit
from vision.fuse import fuse

Array = NDArray[np.float64]

TIME = np.arange(0, 4, 1 / 30)
THIGH, SHANK = 110.0, 105.0
SEGMENTS = ((0, 1, SHORTER), (1, 2, SHORTER))
SD = 4.0
ACCELERATION = 400.0


def leg(flare: float = 0.0) -> Array:
    """Hip, knee and ankle (frames, 3, 2) of a squat; the knee turned out of the picture plane by `flare` degrees."""
    bent = np.radians(45 - 45 * np.cos(np.pi * TIME))
    ankle = np.broadcast_to([300.0, 500.0], (len(TIME), 2))
    out = np.cos(np.radians(flare) * bent / bent.max())
    knee = ankle + SHANK * np.stack([out * np.sin(bent / 2), -np.cos(bent / 2)], 1)
    hip = knee + THIGH * np.stack([-out * np.sin(bent / 2), -np.cos(bent / 2)], 1)
    return np.stack([hip, knee, ankle], 1)


def fitted(true: Array, landmarks: Array, flow: Array | None = None, segments: Sequence[Segment] = SEGMENTS) -> Array:
    count = true.shape[1]
    moved = np.full_like(true, np.nan) if flow is None else flow
    flow_sd = np.full((len(TIME), count), np.inf if flow is None else 0.3)
    return fit(TIME, landmarks, np.full((len(TIME), count), SD), moved, flow_sd, ACCELERATION, segments)


def each_alone(landmarks: Array) -> Array:
    """The joints smoothed one by one, as if there were no body."""
    nothing = np.full_like(landmarks[:, 0], np.nan), np.full(len(TIME), np.inf)
    sd = np.full(len(TIME), SD)
    return np.stack([fuse(TIME, landmarks[:, j], sd, *nothing, ACCELERATION)[0] for j in range(3)], axis=1)


def seen(true: Array, every: int = 3, noise: float = SD, seed: int = 0) -> Array:
    landmarks = true + np.random.default_rng(seed).normal(0, noise, true.shape)
    landmarks[np.arange(len(TIME)) % every != 0] = np.nan
    return landmarks


def worst(found: Array, true: Array, joint: int = 1) -> float:
    return float(np.linalg.norm(found[:, joint] - true[:, joint], axis=1).max())


def test_good_landmarks_are_kept() -> None:
    true = leg()
    assert worst(fitted(true, seen(true, noise=0.0)), true) < 3


def test_a_knee_that_slides_along_the_leg_is_held_by_the_lengths() -> None:
    """For half a second the landmarker takes a place down the shank for the knee."""
    true = leg()
    landmarks = seen(true, noise=0.5)
    slid = (TIME > 1.7) & (TIME < 2.3)  # the leg is straight here
    landmarks[slid, 1] += [0, 40]
    assert worst(fitted(true, landmarks), true) < 0.5 * worst(each_alone(landmarks), true)


def test_one_wrong_look_does_no_harm() -> None:
    true = leg()
    landmarks = seen(true, noise=0.5)
    landmarks[60] += 150
    assert worst(fitted(true, landmarks), true) < 6


def test_flow_bridges_a_second_without_landmarks() -> None:
    true = leg()
    landmarks = seen(true, noise=0.5)
    landmarks[(TIME > 0.5) & (TIME < 1.5)] = np.nan
    flow = np.concatenate([np.full((1, 3, 2), np.nan), np.diff(true, axis=0)])
    assert worst(fitted(true, landmarks, flow=flow), true) < 3
    assert worst(fitted(true, landmarks), true) > 6


@pytest.mark.parametrize("flare", [20.0, 40.0])
def test_a_limb_that_turns_out_of_the_picture_may_look_shorter(flare: float) -> None:
    true = leg(flare)
    arm = ((0, 1, FLARED), (1, 2, FLARED))
    assert worst(fitted(true, seen(true, noise=0.0), segments=arm), true) < 4


def test_lengths_come_out_the_same_in_all_frames() -> None:
    true = leg()
    landmarks = seen(true, noise=SD)

    def spread(found: Array) -> list[float]:
        return [float(np.std(np.linalg.norm(found[:, a] - found[:, b], axis=1))) for a, b, _ in SEGMENTS]

    assert np.max(spread(fitted(true, landmarks))) < 0.7 * np.min(spread(each_alone(landmarks)))
