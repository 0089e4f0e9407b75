"""Goniometry on triangles small enough to check by hand. Points are x right, y down."""

from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray

from vision import angles

UPRIGHT: dict[str, tuple[float, float]] = {
    "ear": (0.1, -8.8),
    "shoulder": (0, -8),
    "elbow": (0, -6),
    "wrist": (0, -4),
    "hip": (0, -5),
    "knee": (0, -2.5),
    "ankle": (0, 0),
}
"""Someone standing whose right side is toward the camera: the belly faces picture right."""

BENDS: dict[str, dict[str, tuple[float, float]]] = {
    "hip": {"knee": (2.5, -5)},  # thigh raised level, ahead of the belly
    "knee": {"ankle": (-2.5, -2.5)},  # heel behind, shank level
    "elbow": {"wrist": (2, -6)},  # forearm level, ahead of the belly
    "shoulder": {"elbow": (2, -8)},  # upper arm level, ahead of the belly
}


def seen(body: dict[str, Any], near: str, turn: float) -> dict[str, NDArray[np.float64]]:
    """The same body turned in the picture and, for the left side, mirrored."""
    c, s = np.cos(np.radians(turn)), np.sin(np.radians(turn))
    mirror = np.diag([1 if near == "right" else -1, 1])
    return {name: np.array([[c, -s], [s, c]]) @ mirror @ np.array(point, dtype=float) for name, point in body.items()}


def flexion(joint: str, body: dict[str, NDArray[np.float64]], near: Any) -> float:
    measure, a, b, c = {
        "hip": (angles.hip_flexion, "shoulder", "hip", "knee"),
        "knee": (angles.knee_flexion, "hip", "knee", "ankle"),
        "elbow": (angles.elbow_flexion, "shoulder", "elbow", "wrist"),
        "shoulder": (angles.shoulder_flexion, "hip", "shoulder", "elbow"),
    }[joint]
    return float(measure(body[a], body[b], body[c], near))


@pytest.mark.parametrize("near", ["left", "right"])
@pytest.mark.parametrize("turn", [0, 30, 90, 180, 270])
@pytest.mark.parametrize("joint", ["hip", "knee", "elbow", "shoulder"])
def test_flexion_whichever_way_up(joint: str, turn: float, near: str) -> None:
    """Upright, level on belly or back, upside down: straight is 0 and a right-angled bend forwards is 90."""
    assert flexion(joint, seen(UPRIGHT, near, turn), near) == pytest.approx(0)
    assert flexion(joint, seen(UPRIGHT | BENDS[joint], near, turn), near) == pytest.approx(90)


@pytest.mark.parametrize("near", ["left", "right"])
def test_hyperextension_is_negative(near: Any) -> None:
    sagging = seen(UPRIGHT | {"hip": (0.5, -4)}, near, 90)
    # trunk leans atan(0.5/4), thigh atan(0.5/1.5) the other way
    expected = -np.degrees(np.arctan(0.5 / 4) + np.arctan(0.5 / 1.5))
    assert angles.hip_flexion(sagging["shoulder"], sagging["hip"], sagging["knee"], near) == pytest.approx(expected)
    locked = seen(UPRIGHT | {"ankle": (0.25, 0)}, near, 0)
    expected = -np.degrees(np.arctan(0.1))
    assert angles.knee_flexion(locked["hip"], locked["knee"], locked["ankle"], near) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("elbow", "expected"), [((0, -10), 180), ((2, -10), 135), ((-2, -10), 225), ((-2, -8), -90 + 360), ((-1, -7), -45)]
)
@pytest.mark.parametrize("near", ["left", "right"])
def test_shoulder_beyond_overhead_and_behind(elbow: tuple[float, float], expected: float, near: Any) -> None:
    body = seen(UPRIGHT | {"elbow": elbow}, near, 0)
    assert angles.shoulder_flexion(body["hip"], body["shoulder"], body["elbow"], near) == pytest.approx(expected)


@pytest.mark.parametrize("mirror", [1, -1])
@pytest.mark.parametrize(
    ("high", "expected"), [((4, -3), 36.8698976), ((4, 0), 0), ((4, 3), -36.8698976), ((0, -1), 90), ((0, 1), -90)]
)
def test_tilt_is_folded(high: tuple[float, float], expected: float, mirror: int) -> None:
    """The 3-4-5 triangle, to the left and to the right."""
    assert angles.tilt(np.zeros(2), np.array([high[0] * mirror, high[1]])) == pytest.approx(expected)


@pytest.mark.parametrize("roll", [-8, 8])
def test_floor_is_level_in_the_world(roll: float) -> None:
    """A phone rolled by some degrees turns body and gravity alike: tilt and lean stay."""
    c, s = np.cos(np.radians(roll)), np.sin(np.radians(roll))
    turn = np.array([[c, -s], [s, c]])
    low, high, down = turn @ [0, 0], turn @ [4, -3], turn @ [0, 1]
    assert angles.tilt(low, high, down) == pytest.approx(36.8698976)
    assert angles.lean(low, high, "right", down) == pytest.approx(90 - 36.8698976)


@pytest.mark.parametrize("near", ["left", "right"])
def test_lean_standing(near: Any) -> None:
    body = seen(UPRIGHT | {"shoulder": (8 * np.tan(np.radians(10)), -8)}, near, 0)
    assert angles.lean(body["ankle"], body["shoulder"], near) == pytest.approx(10)


@pytest.mark.parametrize("near", ["left", "right"])
def test_lean_upside_down(near: Any) -> None:
    """Turned by 180 degrees the belly of a right side faces picture left; over-balanced ankles lie toward it."""
    body = seen(UPRIGHT | {"ankle": (8 * np.tan(np.radians(10)), 0)}, near, 180)
    towards_belly = body["ankle"][0] - body["shoulder"][0]
    assert np.sign(towards_belly) == (-1 if near == "right" else 1)
    assert angles.lean(body["ankle"], body["shoulder"], near, inverted=True) == pytest.approx(10)


@pytest.mark.parametrize("near", ["left", "right"])
def test_lean_is_not_folded(near: Any) -> None:
    body = seen(UPRIGHT, near, 120 if near == "right" else -120)
    assert angles.lean(body["ankle"], body["shoulder"], near) == pytest.approx(120)


def test_inner_angle_in_space() -> None:
    assert angles.inner_angle(np.zeros(3), np.array([0, 0, 1.0]), np.array([1.0, 0, 2])) == pytest.approx(45)


def test_series_keep_their_shape_and_gaps() -> None:
    low, high = np.zeros((5, 3, 2)), np.ones((5, 3, 2))
    high[2, 1] = np.nan
    tilted = angles.tilt(low, high)
    assert tilted.shape == (5, 3)
    assert np.isnan(tilted).sum() == 1


WINTER: dict[int, Any] = {  # frame: hip, knee, fibula head, ankle (m, y up); thigh, leg and knee angle (degrees)
    1: ((0.4474, 0.7870), (0.4075, 0.4754), (0.3570, 0.4052), (0.0939, 0.2143), 82.7, 39.8, 46.7),
    28: ((1.0183, 0.7959), (1.1223, 0.5042), (1.1384, 0.4220), (1.2539, 0.1081), 109.6, 108.4, -0.6),
    50: ((1.4239, 0.8255), (1.4018, 0.5105), (1.3725, 0.4246), (1.3059, 0.1009), 86.0, 76.8, 7.6),
    70: ((1.8505, 0.7851), (1.8097, 0.4730), (1.7572, 0.4024), (1.4928, 0.2175), 82.5, 38.9, 47.6),
    97: ((2.4163, 0.7908), (2.5257, 0.4999), (2.5429, 0.4186), (2.6677, 0.1009), 110.6, 109.6, -0.8),
}


@pytest.mark.parametrize("frame", WINTER)
def test_walking_of_winter(frame: int) -> None:
    """Winter 2009, appendix tables A.2 (points), A.3 (thigh and leg angles) and A.4 (knee angle), five frames.

    Printed to 0.1 degree from coordinates of 0.1 mm. The walker shows the right side and walks to the right. Winter
    counts thigh and leg from the x axis, distal to proximal; in the knee angle the leg runs from the fibula head.
    """
    hip, knee, fibula, ankle = (np.array([x, -y]) for x, y in WINTER[frame][:4])
    thigh, leg, bend = WINTER[frame][4:]
    assert 90 - angles.lean(knee, hip, "right") == pytest.approx(thigh, abs=0.07)
    assert 90 - angles.lean(ankle, knee, "right") == pytest.approx(leg, abs=0.07)
    assert angles.knee_flexion(hip, knee, knee + ankle - fibula, "right") == pytest.approx(bend, abs=0.1)
