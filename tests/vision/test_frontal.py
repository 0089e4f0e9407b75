"""Sideways bodies in space, seen from the front or the back; their angles by three-dimensional definitions."""

import numpy as np
import pytest
from numpy.typing import NDArray

from models.movements import load_movement
from sample_clips.angles import body_angles
from vision.frontal import angles_in_frontal_plane
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]

FLAG = load_movement("human-flag")
AHEAD = np.array([1.0, 0.0, 0.0])


def flag(level: float, side_bend: float, raised: float, elbow: float, top: float, frames: int = 3) -> dict[str, Array]:
    """Joint centres by name (frames, 3), metres, z up, belly toward +x, the body out to +y or -y (`top`: left or right up)."""

    def way(degrees: float) -> Array:
        """In the frontal plane: 0 away from the pole, 90 up."""
        turn = np.radians(degrees)
        return np.array([0.0, np.cos(turn), np.sin(turn)])

    trunk = way(-level)  # from shoulders to hips
    across = way(90 - level)
    joints: dict[str, Array] = {}
    for name, sign in (("upper", 1), ("lower", -1)):
        shoulder = np.array([0.0, 0.2, 1.4]) + 0.18 * sign * across
        hip = shoulder + 0.5 * trunk - 0.1 * sign * across
        arm = way(-level + sign * raised)
        fore = way(-level + sign * (raised + elbow))
        leg = way(-level - side_bend)
        joints |= {
            f"{name}_shoulder": shoulder, f"{name}_elbow": shoulder + 0.3 * arm, f"{name}_wrist": shoulder + 0.3 * arm + 0.25 * fore,
            f"{name}_hip": hip, f"{name}_knee": hip + 0.42 * leg, f"{name}_ankle": hip + 0.85 * leg,
        }  # fmt: skip
    # With the belly toward +x and the head toward the pole at -y, the left side is up.
    sides = {"upper": "left", "lower": "right"} if top > 0 else {"upper": "right", "lower": "left"}
    mirror = np.array([1.0, top, 1.0])
    named = {f"{sides[key.split('_')[0]]}_{key.split('_')[1]}": point * mirror for key, point in joints.items()}
    return {name: np.tile(point, (frames, 1)) for name, point in named.items()}


def seen(joints: dict[str, Array], *, front: bool) -> Array:
    """Pixels (frames, joints, 2) from the front (the lens at +x) or from the back."""
    found = np.zeros((3, len(INDEX), 2))
    for name, points in joints.items():
        right = points[:, 1] if front else -points[:, 1]
        found[:, INDEX[name]] = np.stack([right, -points[:, 2]], axis=1) * 300 + [400, 500]
    return found


@pytest.mark.parametrize("front", [True, False], ids=["front", "back"])
@pytest.mark.parametrize("top", [1.0, -1.0], ids=["left up", "right up"])
@pytest.mark.parametrize(
    ("level", "side_bend", "raised", "elbow"), [(0, 0, 120, 5), (-50, 10, 100, 0), (20, -15, 140, 30)]
)
def test_angles_are_those_of_the_body_in_space(
    level: float, side_bend: float, raised: float, elbow: float, top: float, *, front: bool
) -> None:
    joints = flag(level, side_bend, raised, elbow, top)
    true = body_angles(joints, FLAG)
    found = angles_in_frontal_plane(seen(joints, front=front), FLAG)
    for name in ("body", "trunk", "legs", "shoulder", "elbow", "hip", "knee"):
        assert found[name] == pytest.approx(true[name], abs=1e-4), name


@pytest.mark.parametrize("front", [True, False])
def test_hips_that_sag_below_the_line_are_negative(*, front: bool) -> None:
    """The thighs then point up again from a trunk that hangs down."""
    found = angles_in_frontal_plane(seen(flag(10, -20, 120, 0, 1.0), front=front), FLAG)
    assert found["hip"] == pytest.approx(-20)
    assert found["trunk"] == pytest.approx(10)


def test_both_sides_count_alike() -> None:
    joints = flag(0, 0, 120, 0, 1.0)
    joints["left_wrist"] = joints["left_wrist"] + np.array([0, 0.1, 0])
    bent = angles_in_frontal_plane(seen(joints, front=True), FLAG)["elbow"]
    straight = angles_in_frontal_plane(seen(flag(0, 0, 120, 0, 1.0), front=True), FLAG)["elbow"]
    alone = body_angles(joints, FLAG, arms=("left",))["elbow"]
    assert straight == pytest.approx(0, abs=1e-4)
    assert bent == pytest.approx(alone / 2, abs=1e-4)


def test_what_lies_toward_the_lens_does_not_matter_from_afar() -> None:
    joints = flag(5, 5, 110, 10, 1.0)
    ahead = {name: points + AHEAD * 0.2 for name, points in joints.items()}
    assert seen(joints, front=True) == pytest.approx(seen(ahead, front=True))
    assert {name.partition("_")[0] for name in joints} == set(SIDES)
