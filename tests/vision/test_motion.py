from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Side
from models.movements import load_movement
from models.movements.movement import Angle
from tests.vision.bodies import (
    AFAR,
    ARM,
    LEGS,
    LENGTH,
    PIXELS,
    SIZE,
    Pose,
    blend,
    body,
    figure,
    motion,
    push_up,
    still_phone,
)
from vision.camera import PhoneMotion, carry
from vision.level import Level
from vision.motion import read_motion
from vision.skeleton import INDEX, JOINTS
from vision.smooth import smooth_body
from vision.track import GAP, Tracks
from vision.uncertainty import DISAGREED

Array = NDArray[np.float64]

TIME = np.arange(0, 3, 1 / 30)
SIDES_SEEN: tuple[Side, Side] = ("left", "right")


@pytest.mark.parametrize("near", SIDES_SEEN)
@pytest.mark.parametrize(
    ("movement", "pose", "line"),
    [
        ("push-up", Pose(75, 80, 20, -10, 5), None),
        ("row", Pose(-60, 90, 40, 15, 10), None),
        ("dip", Pose(15, -30, 90, 40, 60), 15),
        ("pull-up", Pose(-5, 170, 60, 10, 30), -5),
        ("squat", Pose(40, 90, 0, 110, 100), 40),
        ("front-lever", Pose(-92, 60, -5, 5, 3), None),
    ],
)
def test_angles_are_those_that_made_the_figure(movement: str, pose: Pose, line: float | None, near: Side) -> None:
    seen = motion(TIME, figure(TIME, pose, near, "wrist"), load_movement(movement), near)
    assert seen.near == near
    for name in ("shoulder", "elbow", "hip", "knee"):
        assert seen.angles[name] == pytest.approx(getattr(pose, name), abs=0.03)
    if line is not None:
        assert seen.angles["lean"] == pytest.approx(line, abs=1e-6)
    assert seen.angles["trunk"] == pytest.approx(90 - abs(float(np.asarray(pose.forward))), abs=1e-6)


@pytest.mark.parametrize("near", SIDES_SEEN)
def test_lean_of_a_handstand(near: Side) -> None:
    """Upside down, over-balanced by 7 degrees: the ankles have gone past the shoulders on the belly's side."""
    seen = motion(TIME, figure(TIME, Pose(180 - 7, 180), near, "wrist"), load_movement("handstand"), near)
    assert abs(float(seen.angles["lean"][0])) == pytest.approx(7, abs=1e-6)
    other = motion(TIME, figure(TIME, Pose(180 + 7, 180), near, "wrist"), load_movement("handstand"), near)
    assert other.angles["lean"] == pytest.approx(-seen.angles["lean"])
    ankle = seen.joints[0, INDEX[f"{near}_ankle"]] - seen.joints[0, INDEX[f"{near}_shoulder"]]
    belly = -1 if near == "right" else 1  # upside down, a lens to the right sees the belly on the picture's left
    assert np.sign(ankle[0] * belly) == np.sign(seen.angles["lean"][0])


@pytest.mark.parametrize("near", SIDES_SEEN)
@pytest.mark.parametrize("start", [4.0, -4.0], ids=["from a forward lean", "from a backward lean"])
@pytest.mark.parametrize("arm", [180.0, -180.0], ids=["arms up in front", "arms up behind"])
def test_no_way_into_a_handstand_leaves_a_full_turn_in_an_angle(near: Side, start: float, arm: float) -> None:
    time = np.arange(0, 6, 1 / 30)
    turn = blend(time, [(0, start), (1, start), (3, 180), (6, 180)])
    swing = blend(time, [(0, 0), (1, 0), (3, arm), (6, arm)])
    seen = motion(time, figure(time, Pose(turn, swing), near, "hip"), load_movement("handstand"), near)
    held = time > 4
    assert seen.angles["lean"][held] == pytest.approx(0, abs=0.1)
    assert seen.angles["shoulder"][held] == pytest.approx(180, abs=0.1)


def test_body_line_of_a_push_up() -> None:
    seen = motion(TIME, push_up(TIME, np.linspace(0, 90, len(TIME))), load_movement("push-up"))
    assert seen.angles["body"][0] == pytest.approx(np.degrees(np.arcsin(ARM / (LENGTH["trunk"] + LEGS))))
    assert (np.diff(seen.angles["body"]) < 0).all()
    assert seen.angles["elbow"] == pytest.approx(np.linspace(0, 90, len(TIME)), abs=1e-6)
    assert seen.angles["hip"] == pytest.approx(0, abs=1e-6)
    for joint in ("left_wrist", "left_ankle"):
        assert np.ptp(seen.joints[:, INDEX[joint]], axis=0) == pytest.approx([0, 0], abs=1e-6)


def test_on_the_knees_the_line_ends_at_the_knees() -> None:
    joints = figure(TIME, Pose(70, 70, 0, 0, 80), "left", "wrist")
    kneeling = motion(TIME, joints, load_movement("push-up").as_variant("knees"))
    assert kneeling.angles["body"] == pytest.approx(20, abs=1e-6)


def test_a_rolled_picture_shows_the_same_angles_once_level() -> None:
    movement = load_movement("push-up")
    joints = push_up(TIME, 30.0)
    straight = motion(TIME, joints, movement)
    roll = np.radians(6)
    turn = np.array([[np.cos(roll), np.sin(roll)], [-np.sin(roll), np.cos(roll)]])
    gravity = np.array([np.sin(roll), np.cos(roll), 0])
    level = Level(gravity, AFAR.focal, np.array(SIZE) / 2, 0.3, 2, "sensor")
    tracks = body(TIME, joints)
    middle = np.array(SIZE) / 2
    rolled = body(TIME, joints)
    rolled.joints[:] = (tracks.joints - middle) @ turn.T + middle
    rolled.world[..., :2] = tracks.world[..., :2] @ turn.T
    seen = read_motion(rolled, movement, still_phone(len(TIME)), level, 1.0)
    names: tuple[Angle, ...] = ("body", "trunk", "legs", "elbow", "shoulder")
    for name in names:
        assert seen.angles[name] == pytest.approx(straight.angles[name], abs=1e-6)
    assert seen.down == pytest.approx(gravity[:2])


def test_points_are_in_pixels_of_the_clip() -> None:
    tracks = body(TIME, push_up(TIME, 0.0))
    half = read_motion(
        tracks,
        load_movement("push-up"),
        still_phone(len(TIME)),
        Level(np.array([0.0, 1, 0]), AFAR.focal, np.array(SIZE) / 2, 1, 1, "sensor"),
        0.5,
    )
    assert half.joints == pytest.approx(tracks.joints * 2)
    assert half.joints_sd == pytest.approx(tracks.joints_sd * 2)
    assert half.centre_of_mass[0] == pytest.approx(half.joints[0].mean(0), abs=0.5 * PIXELS)


def test_the_sd_of_an_angle_is_that_of_its_segments_directions() -> None:
    seen = motion(TIME, push_up(TIME, 0.0), load_movement("push-up"))
    arm, fore = (np.hypot(1, 1) / (LENGTH[name] * PIXELS) for name in ("upper arm", "forearm"))
    assert seen.sd["elbow"] == pytest.approx(np.degrees(np.hypot(arm, fore)))
    # The near side stands for both.
    assert seen.sd["body"] == pytest.approx(np.degrees(np.hypot(1, 1) / ((LENGTH["trunk"] + LEGS) * PIXELS)))


def test_where_two_models_disagree_about_a_joint_its_angle_is_in_doubt() -> None:
    sure = body(TIME, push_up(TIME, 0.0))
    disagreement = sure.disagreement.copy()
    disagreement[10, INDEX["left_elbow"]] = 20.0
    found = read_motion(
        replace(sure, disagreement=disagreement), load_movement("push-up"), still_phone(len(TIME)), AFAR, 1.0
    )
    assert not found.placing_sd["knee"].any()
    u = found.placing_sd["elbow"]
    assert np.flatnonzero(u).tolist() == [10]
    arm, fore = (DISAGREED * 20 / (LENGTH[name] * PIXELS) for name in ("upper arm", "forearm"))
    assert u[10] == pytest.approx(np.degrees(np.hypot(arm, fore)))


def test_from_the_front_joints_bend_in_depth() -> None:
    movement = load_movement("squat")
    knee = np.linspace(5, 100, len(TIME))
    seen = motion(TIME, figure(TIME, Pose(20, 10, 0, knee, knee), "left", "ankle"), movement, yaw=70)
    assert seen.view.oblique
    assert seen.angles["knee"] == pytest.approx(knee, abs=1e-6)
    assert seen.angles["trunk"] == pytest.approx(70, abs=1e-6)
    assert seen.angles["lean"] == pytest.approx(20, abs=1e-6)


def tracks_of(time: Array, path: Array, *, every: int, noise: float, seed: int, camera: Array | None = None) -> Tracks:
    """What the landmarker and the flow would report of joints (frames, joints, 2) in pixels."""
    random = np.random.default_rng(seed)
    n, j = path.shape[:2]
    landmarks = path + random.normal(0, noise, path.shape)
    landmarks[np.arange(n) % every > 0] = np.nan
    flow = np.concatenate([np.full((1, j, 2), np.nan), np.diff(path, axis=0) + random.normal(0, 0.05, (n - 1, j, 2))])
    world = np.zeros((n, j, 3))
    world[np.isnan(landmarks[:, 0, 0])] = np.nan
    visibility = np.where(np.isnan(landmarks[..., 0]), np.nan, 1.0)
    steps = np.tile(np.eye(2, 3), (n, 1, 1)) if camera is None else camera
    background = np.full(n, 80)
    return Tracks(
        time=time, landmarks=landmarks, world=world, visibility=visibility, disagreement=0 * visibility,
        flow=flow, flow_sd=np.full((n, j), 0.05),
        camera=steps, background=background, size=SIZE, scale=1.0, looks=(), others=0.0,
    )  # fmt: skip


def test_landmarks_and_flow_make_one_smooth_body() -> None:
    time = np.arange(0, 6, 1 / 30)
    true = body(time, push_up(time, blend(time, [(0, 5), (1, 5), (4, 90), (6, 90)]))).joints
    found = smooth_body(tracks_of(time, true, every=3, noise=4.0, seed=1), still_phone(len(time)))
    error = np.linalg.norm(found.joints - true, axis=-1)
    assert np.sqrt(np.mean(error**2)) < 2.5  # a landmark alone misses by 4 * sqrt(2)
    assert found.joints_sd.max() < 10
    # What flickers from frame to frame is far less than the landmarks' own noise.
    assert np.std(np.diff(found.joints - true, axis=0)) < 0.2


def test_a_shaken_phone_leaves_the_body_where_it_was() -> None:
    time = np.arange(0, 6, 1 / 30)
    true = body(time, push_up(time, blend(time, [(0, 5), (1, 5), (4, 90), (6, 90)]))).joints
    shift = 15 * np.stack([np.sin(5 * time), np.cos(7 * time) - 1], axis=1)
    to_first, steps = np.tile(np.eye(2, 3), (2, len(time), 1, 1))
    to_first[:, :, 2] = -shift
    steps[1:, :, 2] = np.diff(shift, axis=0)
    phone = PhoneMotion(to_first, 15.0, known=True)
    shaken = tracks_of(time, true + shift[:, None], every=3, noise=1.0, seed=2, camera=steps)
    found = smooth_body(shaken, phone)
    assert np.sqrt(np.mean(np.sum((found.joints - true) ** 2, axis=-1))) < 1.5
    seen = read_motion(
        found,
        load_movement("push-up"),
        phone,
        Level(np.array([0.0, 1, 0]), AFAR.focal, np.array(SIZE) / 2, 1, 1, "assumed"),
        1.0,
    )
    assert seen.in_picture() == pytest.approx(carry(phone.from_first()[:, None], found.joints))
    assert np.median(np.linalg.norm(seen.in_picture() - true - shift[:, None], axis=-1)) < 1.5


def test_the_athlete_is_absent_where_no_landmark_was_seen_for_long() -> None:
    time = np.arange(0, 8, 1 / 30)
    true = body(time, push_up(time, np.full(len(time), 5.0))).joints
    tracks = tracks_of(time, true, every=1, noise=1.0, seed=3)
    gone = (time > 3) & (time < 5)
    for values in (tracks.landmarks, tracks.world, tracks.visibility):
        values[gone] = np.nan
    found = smooth_body(tracks, still_phone(len(time)))
    assert not found.present[(time > 3 + GAP / 2 + 0.05) & (time < 5 - GAP / 2 - 0.05)].any()
    assert found.present[(time < 3) | (time > 5)].all()
    assert len(JOINTS) == found.joints.shape[1]


def test_rays_are_what_a_level_lens_sees() -> None:
    """A phone rolled by 5 degrees sees the figure turned; its rays stand upright again."""
    joints = figure(TIME, Pose(0, 20, 30, 10, 20), "left", "ankle")
    plain = motion(TIME, joints, load_movement("squat"))
    focal, centre = AFAR.focal, (np.array(SIZE) - 1) / 2
    from_hip = plain.rays - plain.rays[:, :1]
    assert from_hip == pytest.approx((plain.joints - plain.joints[:, :1]) / focal, abs=1e-8)
    turn = np.radians(5)
    rolled = Level(np.array([np.sin(turn), np.cos(turn), 0]), focal, centre, 0.3, 0.3, "scene")
    seen = motion(TIME, joints, load_movement("squat"), level=rolled)
    across, upright = (plain.rays[:, INDEX["left_hip"]] - plain.rays[:, INDEX["left_ankle"]]).T
    cosine, sine = np.cos(turn), np.sin(turn)
    expected = np.stack([cosine * across - sine * upright, sine * across + cosine * upright], axis=1)
    assert seen.rays[:, INDEX["left_hip"]] - seen.rays[:, INDEX["left_ankle"]] == pytest.approx(expected, abs=1e-6)


def test_the_floor_lies_square_to_gravity_toward_the_right() -> None:
    seen = motion(TIME, push_up(TIME, 40.0), load_movement("push-up"))
    assert seen.floor == pytest.approx([1, 0])
    assert seen.floor @ seen.down == pytest.approx(0)
