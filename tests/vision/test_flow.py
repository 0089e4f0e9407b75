"""Pictures are cut from a noise texture at exactly known places, so what moved where is known to a hundredth of a pixel."""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from vision.camera import carry
from vision.flow import FLOOR, Step, background_points, step
from vision.skeleton import INDEX, JOINTS

Array = NDArray[np.float64]
Grey = NDArray[np.uint8]

WIDTH, HEIGHT = 640, 480
NO_POINTS = np.zeros((0, 2), np.float32)

# Limbs of one side, far enough apart that no window sees two of them. The other side lies just beside it.
PLACES = {
    "ear": (120, 110),
    "shoulder": (170, 150),
    "elbow": (160, 260),
    "wrist": (90, 330),
    "index": (70, 350),
    "hip": (320, 190),
    "knee": (430, 240),
    "ankle": (530, 280),
    "heel": (540, 290),
    "toe": (535, 330),
}


def body() -> Array:
    """Joints (joints, 2) of a body lying across the picture."""
    joints = np.zeros((len(JOINTS), 2))
    joints[INDEX["nose"]] = 100, 130
    for name, place in PLACES.items():
        joints[INDEX[f"left_{name}"]] = place
        joints[INDEX[f"right_{name}"]] = np.array(place) + [4, -3]
    return joints


def texture(seed: int) -> Grey:
    """Noise of cloth-like grain."""
    noise = np.random.default_rng(seed).uniform(0, 255, (HEIGHT, WIDTH)).astype(np.float32)
    smooth = cv2.GaussianBlur(noise, (0, 0), 2.0)
    return np.asarray(cv2.normalize(smooth, None, 0, 255, cv2.NORM_MINMAX), np.uint8)


def moved_by(picture: Grey, similarity: Array, sigma: float = 0.0) -> Grey:
    """The picture after its points moved by a similarity (2, 3), with grain of its own."""
    moved = cv2.warpAffine(
        picture, similarity, (WIDTH, HEIGHT), flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REFLECT_101
    )
    grain = np.random.default_rng(99).normal(0, sigma, moved.shape)
    return np.clip(moved + grain, 0, 255).astype(np.uint8)


def similarity(degrees: float, shift: tuple[float, float], centre: tuple[float, float], scale: float = 1.0) -> Array:
    """Turn clockwise about a centre, grow, and shift: (2, 3)."""
    turn = np.radians(degrees)
    matrix = scale * np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    return np.concatenate([matrix, (np.array(centre) - matrix @ centre + shift)[:, None]], axis=1)


def joined(background: Grey, cloth: Grey, joints: Array, limb: tuple[str, ...], width: int = 60) -> Grey:
    """A limb's cloth, as wide as `width`, in front of the background."""
    mask = np.zeros((HEIGHT, WIDTH), np.uint8)
    places = joints[[INDEX[f"left_{name}"] for name in limb]]
    cv2.polylines(mask, [np.round(places).astype(np.int32)], False, 255, width)
    return np.where(mask > 0, cloth, background).astype(np.uint8)


def errors(found: Step, expected: Array, names: tuple[str, ...]) -> Array:
    """Miss (names, 2) of the joints' displacement, in its stated standard deviations."""
    which = [INDEX[name] for name in names]
    return np.asarray(np.abs(found.joints[which] - expected[which]) / found.sd[which, None])


LIMBS = tuple(f"{side}_{name}" for side in ("left", "right") for name in PLACES if name not in ("ear", "heel"))


@pytest.mark.parametrize("shift", [(0.0, 0.0), (0.37, -0.21), (2.6, 1.45), (-7.3, 4.8)])
def test_a_body_that_shifts(shift: tuple[float, float]) -> None:
    picture, joints = texture(1), body()
    found = step(picture, moved_by(picture, similarity(0, shift, (0, 0)), sigma=2.0), joints, NO_POINTS)
    expected = np.broadcast_to(shift, joints.shape)
    assert (errors(found, expected, LIMBS) < 3).all()
    assert np.abs(found.joints[[INDEX[name] for name in LIMBS]] - shift).max() < 0.1


@pytest.mark.parametrize("degrees", [-3.0, 0.8, 2.0])
def test_a_body_that_turns(degrees: float) -> None:
    """The displacement along a straight segment that turns is a straight line from end to end."""
    picture, joints = texture(2), body()
    turn = similarity(degrees, (0.4, 0.3), (300, 230))
    found = step(picture, moved_by(picture, turn, sigma=2.0), joints, NO_POINTS)
    expected = carry(turn, joints) - joints
    assert np.abs(expected).max() > 2
    assert (errors(found, expected, LIMBS) < 3).all()


@pytest.mark.parametrize("limb", [("hip", "knee", "ankle", "toe"), ("shoulder", "elbow", "wrist", "index")])
@pytest.mark.parametrize("degrees", [0.5, 1.5])
def test_a_limb_turns_before_a_background_that_stands(limb: tuple[str, ...], degrees: float) -> None:
    still, cloth, joints = texture(3), texture(4), body()
    turn = similarity(degrees, (0, 0), PLACES[limb[0]])
    before = joined(still, cloth, joints, limb)
    after = joined(still, moved_by(cloth, turn, sigma=2.0), carry(turn, joints), limb)
    found = step(before, after, joints, background_points(before, joints))
    expected = carry(turn, joints) - joints
    turning = tuple(f"left_{name}" for name in limb[1:])
    assert np.abs(expected[[INDEX[name] for name in turning]]).max() > 1
    assert (errors(found, expected, turning) < 3).all()
    assert np.linalg.norm(found.joints[INDEX[f"left_{limb[0]}"]]) < 3 * found.sd[INDEX[f"left_{limb[0]}"]]
    assert carry(found.background, joints) == pytest.approx(joints, abs=0.1)


def test_the_stated_sd_is_never_below_its_floor() -> None:
    picture = texture(5)
    found = step(picture, picture, body(), NO_POINTS)
    known = np.isfinite(found.sd)
    assert known.any()
    assert (found.sd[known] >= FLOOR / np.sqrt(2) - 1e-9).all()  # two segments meet in a joint at most


def test_a_noisier_picture_is_trusted_less() -> None:
    picture, joints = texture(6), body()
    shift = similarity(0, (1.3, 0.4), (0, 0))
    clean = step(picture, moved_by(picture, shift), joints, NO_POINTS)
    noisy = step(picture, moved_by(picture, shift, sigma=25.0), joints, NO_POINTS)
    both = np.isfinite(clean.sd) & np.isfinite(noisy.sd)
    assert noisy.sd[both].mean() > 1.2 * clean.sd[both].mean()


@pytest.mark.parametrize(("degrees", "shift", "scale"), [(0.0, (3.2, -1.7), 1.0), (0.6, (-2.0, 5.5), 1.002)])
def test_the_motion_of_a_shaken_phone(degrees: float, shift: tuple[float, float], scale: float) -> None:
    picture, joints = texture(7), body()
    shaken = similarity(degrees, shift, (WIDTH / 2, HEIGHT / 2), scale)
    points = background_points(picture, joints)
    found = step(picture, moved_by(picture, shaken, sigma=2.0), joints, points)
    corners = np.array([[0, 0], [WIDTH, 0], [0, HEIGHT], [WIDTH, HEIGHT]], dtype=float)
    assert found.background_points > 30
    assert carry(found.background, corners) == pytest.approx(carry(shaken, corners), abs=0.25)


def test_the_phones_motion_is_found_though_something_else_moves() -> None:
    picture, joints = texture(8), body()
    shaken = similarity(0, (1.4, 0.9), (0, 0))
    after = moved_by(picture, shaken)
    after[380:, 400:] = moved_by(picture, similarity(0, (-4, 3), (0, 0)))[380:, 400:]
    found = step(picture, after, joints, background_points(picture, joints))
    middle = np.array([WIDTH / 2, HEIGHT / 2])
    assert carry(found.background, middle) == pytest.approx(carry(shaken, middle), abs=0.1)


def test_background_points_keep_away_from_the_body() -> None:
    joints = body()
    points = background_points(texture(9), joints)
    assert len(points) > 30
    inside = (points > joints.min(0)) & (points < joints.max(0))
    assert not inside.all(1).any()


def test_a_body_that_fills_the_picture_leaves_no_background() -> None:
    joints = body()
    joints[INDEX["nose"]], joints[INDEX["left_toe"]] = (0, 0), (WIDTH, HEIGHT)
    assert background_points(texture(10), joints).shape == (0, 2)


def test_a_plain_picture_tells_nothing() -> None:
    plain = np.full((HEIGHT, WIDTH), 128, np.uint8)
    joints = body()
    points = background_points(plain, joints)
    found = step(plain, plain, joints, points)
    assert len(points) == 0
    assert np.isnan(found.joints).all()
    assert np.isinf(found.sd).all()
    assert found.background == pytest.approx(np.eye(2, 3))
    assert found.background_points == 0


def test_a_cut_to_another_scene_tells_nothing() -> None:
    joints = body()
    before = texture(11)
    found = step(before, texture(12), joints, background_points(before, joints))
    assert found.background_points < 10
    # What little agrees by chance is not trusted.
    assert np.isnan(found.joints).any(1).mean() > 0.8
