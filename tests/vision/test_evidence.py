from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Final

import numpy as np
import pytest

from models.document import Document
from models.errors import ClipError
from models.movements import load_movement
from models.movements.movement import Angle
from tests.by_hand import PUSH_UP_ELBOW, plank, push_ups
from tests.vision import clips
from vision.clip import open_clip
from vision.encode import write_clip
from vision.evidence import LONGER_SIDE, NEAR_SIDE, annotate, overlay
from vision.measure import Measurement
from vision.motion import Motion
from vision.outlined import BLUE, DARK, LIGHT, Pen, draw_lines, draw_marks, write_words
from vision.skeleton import INDEX, JOINTS
from vision.view import View

WIDTH: Final = 640
HEIGHT: Final = 360

# Where the near (left) joints of a push-up stand in the picture, and by how much the far ones lie beside them.
STANDING: Final = {
    "ear": (520, 130),
    "shoulder": (470, 160),
    "elbow": (460, 230),
    "wrist": (470, 300),
    "index": (490, 304),
    "hip": (300, 220),
    "knee": (200, 255),
    "ankle": (90, 290),
    "heel": (80, 300),
    "toe": (105, 310),
}
FAR: Final = np.array([6.0, -8.0])


def motion() -> Motion:
    """A body that stands still in the picture while its angles follow the push-ups written by hand."""
    time = np.arange(0, 15, 0.1)
    n = len(time)
    joints = np.zeros((len(JOINTS), 2))
    for name, point in STANDING.items():
        joints[INDEX[f"left_{name}"]] = point
        joints[INDEX[f"right_{name}"]] = np.array(point) + FAR
    at, degrees = zip(*PUSH_UP_ELBOW, strict=True)
    angles: dict[Angle, np.ndarray] = {name: np.full(n, 2.0) for name in ("trunk", "legs", "shoulder", "hip", "knee")}
    angles |= {"body": np.full(n, 17.63), "elbow": np.interp(time, at, degrees)}
    return Motion(
        time=time,
        joints=np.tile(joints, (n, 1, 1)),
        joints_sd=np.ones((n, len(JOINTS))),
        rays=np.zeros((n, len(JOINTS), 2)),
        world=np.zeros((n, len(JOINTS), 3)),
        visibility=np.ones((n, len(JOINTS))),
        present=time > 0.45,
        near="left",
        view=View("left", 3.0, 6.0),
        from_first=np.tile(np.eye(2, 3), (n, 1, 1)),
        angles=angles,
        sd={name: np.full(n, 4.0 if name in ("elbow", "shoulder", "hip", "knee") else 0.5) for name in angles},
        placing_sd={name: np.zeros_like(value) for name, value in angles.items()},
        level_sd={name: np.full(n, 0.25) for name in angles},
        centre_of_mass=np.zeros((n, 2)),
        down=np.array([0.0, 1.0]),
    )


def measured(document: Document | None = None, **changes: object) -> Measurement:
    document = document or push_ups()
    return Measurement(document, replace(motion(), **changes), load_movement(document.movement))  # type: ignore[arg-type]


def filmed(path: Path, shade: int) -> Measurement:
    """Write a plain clip of 150 frames at 10 a second, and a measurement of it."""
    picture = np.full((HEIGHT, WIDTH, 3), shade, np.uint8)
    write_clip(path, ((index / 10, picture) for index in range(150)))
    return measured(push_ups().model_copy(update={"clip": open_clip(path).facts}))


# What is drawn where


def test_the_body_line_runs_from_the_ankle_to_the_shoulder_of_the_near_side() -> None:
    line = overlay(measured(), 1.0).line[5]
    assert line == pytest.approx(np.array([STANDING["ankle"], STANDING["shoulder"]]))


def test_a_variant_has_its_own_body_line() -> None:
    on_the_knees = replace(measured(), movement=load_movement("push-up").as_variant("knees"))
    line = overlay(on_the_knees, 1.0).line[5]
    assert line == pytest.approx(np.array([STANDING["knee"], STANDING["shoulder"]]))


def test_the_hip_is_drawn_where_the_angles_are_read_from() -> None:
    """4.4 % of the trunk's length behind the landmark: the left side near and the head at the right, that is down."""
    made = overlay(measured(), 1.0)
    shoulder, hip = (np.array(STANDING[point]) for point in ("shoulder", "hip"))
    moved = made.limbs[5, NEAR_SIDE.index("hip")] - hip
    assert moved @ (shoulder - hip) == pytest.approx(0, abs=1e-9)
    assert np.linalg.norm(moved) == pytest.approx(0.044 * np.linalg.norm(shoulder - hip))
    assert moved[1] > 0


def test_points_follow_the_size_of_the_picture_by_its_pixels_centres() -> None:
    """The centre of the first pixel, 0, is 0.5 pixels from the edge; at half the size that is 0.25, so at -0.25."""
    made = overlay(measured(), 0.5)
    assert made.limbs[0, 0] == pytest.approx((np.array(STANDING["ear"]) + 0.5) / 2 - 0.5)


def test_points_follow_the_phone() -> None:
    shaken = np.tile(np.array([[1.0, 0.0, 12.0], [0.0, 1.0, -7.0]]), (150, 1, 1))
    made = overlay(measured(from_first=shaken), 1.0)
    assert made.limbs[3, 1] == pytest.approx(np.array(STANDING["shoulder"]) + [12, -7])


@pytest.mark.parametrize("degrees", [0.0, 5.0, -8.0])
def test_the_reference_is_level_in_the_world_and_as_long_as_the_body_line(degrees: float) -> None:
    roll = np.radians(degrees)
    made = overlay(measured(down=np.array([np.sin(roll), np.cos(roll)])), 1.0)
    level = made.level[7]
    along = level[1] - level[0]
    assert level[0] == pytest.approx(made.line[7, 0])
    assert np.linalg.norm(along) == pytest.approx(np.linalg.norm(made.line[7, 1] - made.line[7, 0]))
    assert np.degrees(np.arctan2(along[1], along[0])) == pytest.approx(-degrees)


def test_a_turn_of_the_phone_turns_the_reference_with_the_picture() -> None:
    c, s = np.cos(0.1), np.sin(0.1)
    turned = np.tile(np.array([[c, -s, 0.0], [s, c, 0.0]]), (150, 1, 1))
    level = overlay(measured(from_first=turned), 1.0).level[0]
    along = level[1] - level[0]
    assert np.arctan2(along[1], along[0]) == pytest.approx(0.1)


def test_a_lean_is_taken_from_a_plumb_line() -> None:
    document = push_ups().model_copy(update={"movement": "handstand"})
    angles = motion().angles | {"lean": np.full(150, 3.0)}
    lean = {
        "sd": motion().sd | {"lean": np.full(150, 0.5)},
        "placing_sd": motion().placing_sd | {"lean": np.full(150, 0.5)},
        "level_sd": motion().level_sd | {"lean": np.full(150, 0.5)},
    }
    made = overlay(measured(document, angles=angles, **lean), 1.0)
    along = made.level[0, 1] - made.level[0, 0]
    assert along[0] == pytest.approx(0)
    assert along[1] < 0


# What is written


def test_words_name_the_rep_its_stroke_and_the_angles_with_their_u95() -> None:
    """Line: 1.96 * hypot(0.5, 0.9, 0.5 / 1.96) = 2.1, the roll's U95 being 0.5. Elbow: 1.96 * hypot(4, 3, 2.5) = 11.0."""
    words = overlay(measured(), 1.0).words
    assert words[25] == ["rep 1, met", "lowering 1.5 s", "body 17.6° ±2.1°", "elbow 50° ±11°"]
    assert words[123][:2] == ["rep 3, missed", "lowering 1.3 s"]
    assert words[2] == ["no athlete seen"]


def test_a_hold_shows_the_angles_that_must_keep_still() -> None:
    words = overlay(measured(plank()), 1.0).words[80]
    assert words[:2] == ["hold 1", "still 5.0 s"]
    assert {word.split()[0] for word in words[2:]} == {"body", *load_movement("push-up").hold.still}


def test_a_view_that_shows_no_angle_gets_none_and_says_why() -> None:
    words = overlay(measured(view=View("left", 57.0, 6.0)), 1.0).words[25]
    assert words == [
        "rep 1, met",
        "lowering 1.5 s",
        "no angles: the view is turned 57 degrees from the athlete's side; film from the side",
    ]


# The clip that comes out


@pytest.mark.parametrize("shade", [0, 128, 255])
def test_every_frame_is_written_at_its_time_with_lines_that_read_on_any_shade(tmp_path: Path, shade: int) -> None:
    measurement = filmed(tmp_path / "in.mp4", shade)
    heard: list[tuple[str, float]] = []
    annotate(tmp_path / "in.mp4", measurement, tmp_path / "out.mp4", lambda stage, share: heard.append((stage, share)))
    out = open_clip(tmp_path / "out.mp4")
    assert out.times == pytest.approx(open_clip(tmp_path / "in.mp4").times, abs=1e-5)
    frames = [frame.image.astype(int) for frame in out.frames()]
    assert len(frames) == 150
    assert heard[-1] == ("drawing", 1.0)
    assert [share for _, share in heard] == sorted(share for _, share in heard)
    x, y = ((np.array(STANDING["ankle"]) + STANDING["shoulder"]) / 2).round().astype(int)
    across = frames[60][y - 8 : y + 9, x]
    assert np.abs(across - BLUE).sum(1).min() < 60
    assert np.abs(across - DARK).sum(1).min() < 120
    assert frames[60][340:, 560:].mean() == pytest.approx(shade, abs=3)  # far from the body nothing is drawn
    assert frames[2][200:].mean() == pytest.approx(shade, abs=3)  # nor where there is no athlete


def test_the_clip_must_be_the_one_that_was_measured(tmp_path: Path) -> None:
    clips.write(tmp_path / "in.mp4", clips.regular(30))
    with pytest.raises(ClipError, match="not the one that was measured"):
        annotate(tmp_path / "in.mp4", measured(), tmp_path / "out.mp4")
    assert not (tmp_path / "out.mp4").exists()


def test_a_clip_that_turns_out_damaged_leaves_nothing(tmp_path: Path) -> None:
    path = tmp_path / "in.mp4"
    clips.write(path, clips.regular(150, 10), options={"g": "30"})
    data = bytearray(path.read_bytes())
    middle = len(data) // 2
    data[middle : middle + 60] = np.random.default_rng(4).bytes(60)
    path.write_bytes(data)
    document = push_ups().model_copy(update={"clip": open_clip(path).facts})
    with pytest.raises(ClipError, match="damaged"):
        annotate(path, measured(document), tmp_path / "out.mp4")
    assert list(tmp_path.iterdir()) == [path]


def test_a_large_clip_comes_out_at_a_size_to_send(tmp_path: Path) -> None:
    picture = np.zeros((1080, 1920, 3), np.uint8)
    write_clip(tmp_path / "in.mp4", ((index / 10, picture) for index in range(12)))
    document = push_ups().model_copy(update={"clip": open_clip(tmp_path / "in.mp4").facts})
    annotate(tmp_path / "in.mp4", measured(document), tmp_path / "out.mp4")
    assert open_clip(tmp_path / "out.mp4").facts.width == LONGER_SIDE


# Strokes


def _canvases() -> Iterator[np.ndarray]:
    for shade in (0, 255):
        yield np.full((200, 300, 3), shade, np.uint8)


def _has(image: np.ndarray, colour: tuple[int, int, int]) -> bool:
    return bool((np.abs(image.astype(int) - colour).max(-1) <= 30).any())


def test_lines_marks_and_words_carry_light_and_dark() -> None:
    pen = Pen.for_picture(300, 200)
    for image in _canvases():
        draw_lines(image, [(np.array([[20.0, 100.0], [280.0, 100.0]]), LIGHT, 1.0)], pen)
        assert _has(image[90:110], LIGHT)
        assert _has(image[90:110], DARK)
        draw_marks(image, np.array([[150.0, 150.0]]), Pen.for_picture(1920, 1080))
        assert _has(image[140:160, 140:160], LIGHT)
        assert _has(image[140:160, 140:160], DARK)
        write_words(image, ["rep 1"], (5, 5), Pen.for_picture(640, 480))
        assert _has(image[:40], LIGHT)
        assert _has(image[:40], DARK)


def test_long_words_fold_inside_the_picture() -> None:
    image = np.zeros((200, 300, 3), np.uint8)
    write_words(
        image, ["no angles: the view is turned 57 degrees from the side; film from the side"], (5, 5), Pen(1, 1, 2, 16)
    )
    rows = np.flatnonzero((image == LIGHT).all(-1).any(1))
    assert rows.max() > 3 * 16
    assert not (image[:, -3:] == LIGHT).all(-1).any()


def test_points_far_outside_and_words_below_the_picture_do_no_harm() -> None:
    image = np.zeros((60, 80, 3), np.uint8)
    pen = Pen.for_picture(80, 60)
    draw_lines(image, [(np.array([[-1e9, 30.0], [1e9, 30.0]]), LIGHT, 1.0)], pen)
    write_words(image, ["below"], (5, 70), pen)
    write_words(image, [], (5, 5), pen)
    assert _has(image[28:33], LIGHT)
