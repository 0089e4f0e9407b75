"""The committed clips and their truth agree with each other, and the truth with the definitions.

What is compared with what: times with the clip's own, pixels with joints seen through the stated camera, angles and
boundaries with values worked out here anew from the joints in metres (plain trigonometry, no code of the renderer).
"""

import json
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any

import av
import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from models.movements import load_movement

Array = NDArray[np.float64]
FOLDER = Path(__file__).parents[2] / "sample_clips"
TRUTHS = sorted(FOLDER.glob("*.truth.json"))
SEGMENTS = (("shoulder", "elbow"), ("elbow", "wrist"), ("hip", "knee"), ("knee", "ankle"), ("heel", "ankle"))
LIMIT = 3_000_000

clips = pytest.mark.parametrize("path", TRUTHS, ids=[path.name.split(".")[0] for path in TRUTHS])


@cache
def read(path: Path) -> dict[str, Any]:
    content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return content


def joint(truth: dict[str, Any], name: str) -> Array:
    return np.array(truth["frames"]["joints"][name]["m"])


def middle(truth: dict[str, Any], name: str) -> Array:
    return (joint(truth, f"left_{name}") + joint(truth, f"right_{name}")) / 2


def clip_of(path: Path) -> Path:
    return path.with_name(path.name.removesuffix(".truth.json"))


def test_at_least_eighteen_clips_are_committed() -> None:
    assert len(TRUTHS) >= 18


def test_the_clips_show_what_phones_and_people_do() -> None:
    """Each way of filming and each fault that a user's clip may have is there at least once."""
    phones = [read(path)["recipe"]["phone"] for path in TRUTHS]
    exercises = [read(path)["recipe"]["exercise"] for path in TRUTHS]
    statuses = {rep["status"] for path in TRUTHS for rep in read(path)["sets"][0]["reps"]}
    assert {phone["height"] > phone["width"] for phone in phones} == {True, False}
    assert any(phone["variable_rate"] for phone in phones)
    assert any(6 <= abs(phone["roll"]) <= 8 for phone in phones)
    assert any(
        phone["lens_height"] < 0.2 and read(path)["camera"]["pitch"] > 5
        for phone, path in zip(phones, TRUTHS, strict=True)
    )
    assert any(phone["shake_m"] > 0 for phone in phones)
    assert any(phone["sensor"] for phone in phones)
    assert {read(path)["near_side"] for path in TRUTHS} == {"left", "right"}
    assert any(rep["stops"] for exercise in exercises for rep in exercise["reps"])
    assert {"whole", "short", "cut_off"} <= statuses


def test_one_clip_is_ten_bit_with_a_rotation_flag() -> None:
    with av.open(str(FOLDER / "front-lever-full.mp4")) as container:
        stream = container.streams.video[0]
        frame = next(container.decode(video=0))
        assert (stream.codec_context.name, stream.pix_fmt) == ("hevc", "yuv420p10le")
        assert abs(frame.rotation) == 90
        assert (stream.width, stream.height) == (720, 1280)


@clips
def test_each_clip_is_small_and_named_by_its_truth(path: Path) -> None:
    clip = clip_of(path)
    assert clip.name == read(path)["clip"]
    assert 100_000 < clip.stat().st_size < LIMIT


@clips
def test_times_are_those_of_the_clip(path: Path) -> None:
    with av.open(str(clip_of(path))) as container:
        stream = container.streams.video[0]
        base = stream.time_base
        assert base is not None
        stamps = sorted(packet.pts for packet in container.demux(stream) if packet.pts is not None)
    times = (np.array(stamps) - stamps[0]) * float(base)
    assert np.allclose(times, read(path)["frames"]["time"], atol=1e-5)


@clips
def test_pixels_are_the_joints_seen_by_the_stated_camera(path: Path) -> None:
    """A pinhole with the stated yaw, pitch, roll and focal length; where it stands is found from one joint."""
    truth = read(path)
    phone, camera = truth["recipe"]["phone"], truth["camera"]
    if phone["shake_deg"] or phone["shake_m"]:
        pytest.skip("the hand's shake is not stated frame by frame")
    yaw, pitch, roll = (np.radians(camera[name]) for name in ("yaw", "pitch", "roll"))
    ahead = np.array([-np.sin(yaw) * np.cos(pitch), np.cos(yaw) * np.cos(pitch), np.sin(pitch)])
    level = np.array([np.cos(yaw), np.sin(yaw), 0.0])
    upward = np.cross(level, ahead)
    right = level * np.cos(roll) - upward * np.sin(roll)
    up = upward * np.cos(roll) + level * np.sin(roll)
    position = _stand(truth, right, up, ahead)
    assert position[2] == pytest.approx(camera["height"], abs=0.003)
    for name in ("nose", "left_wrist", "right_hip", "left_ankle", "right_shoulder"):
        seen = joint(truth, name) - position
        depth = seen @ ahead
        u = (phone["width"] - 1) / 2 + camera["focal_px"] * (seen @ right) / depth
        v = (phone["height"] - 1) / 2 - camera["focal_px"] * (seen @ up) / depth
        assert np.allclose(np.stack([u, v], 1), truth["frames"]["joints"][name]["px"], atol=0.3)


def _stand(truth: dict[str, Any], right: Array, up: Array, ahead: Array) -> Array:
    """Where the phone stands: the point nearest to the lines of sight of all joints of the first frame."""
    phone, focal = truth["recipe"]["phone"], truth["camera"]["focal_px"]
    total, at = np.zeros((3, 3)), np.zeros(3)
    for both in truth["frames"]["joints"].values():
        u, v = both["px"][0]
        sight = ahead + right * (u - (phone["width"] - 1) / 2) / focal - up * (v - (phone["height"] - 1) / 2) / focal
        sight = sight / np.linalg.norm(sight)
        across = np.eye(3) - np.outer(sight, sight)
        total += across
        at += across @ np.array(both["m"][0])
    return np.asarray(np.linalg.solve(total, at))


@clips
def test_segments_keep_their_length(path: Path) -> None:
    truth = read(path)
    for side in ("left", "right"):
        for first, second in SEGMENTS:
            length = np.linalg.norm(joint(truth, f"{side}_{first}") - joint(truth, f"{side}_{second}"), axis=1)
            assert np.ptp(length) < 0.0005, f"{side} {first}-{second}"


@clips
def test_the_body_is_as_tall_as_stated(path: Path) -> None:
    """Thigh, shank and trunk make up 0.72 to 0.86 of standing height less head and foot (plausibility only)."""
    truth = read(path)
    height = truth["athlete"]["height_cm"] / 100
    parts = (("shoulder", "hip"), ("hip", "knee"), ("knee", "ankle"))
    long = sum(float(np.linalg.norm(middle(truth, a)[0] - middle(truth, b)[0])) for a, b in parts)
    assert 0.68 * height < long < 0.86 * height


@clips
def test_angles_are_those_of_the_joints(path: Path) -> None:
    truth = read(path)
    expected = _angles(truth)
    for name, stored in truth["frames"]["angles"].items():
        assert np.allclose(stored, expected[name], atol=0.06), name


def _angles(truth: dict[str, Any]) -> dict[str, Array]:
    """Athletes move in the plane x-z, those who hang sideways too: the angles are those of that plane.

    Elbow and knee are those of space. One leg that works counts alone, which is the near one.
    """
    movement = load_movement(truth["movement"]).as_variant(truth["recipe"]["exercise"]["variant"] or None)
    front = 1.0 if truth["near_side"] == "right" else -1.0
    legs = (truth["near_side"],) if "single-leg" in truth["movement"] else ("left", "right")
    low = middle(truth, {"ankles-shoulders": "ankle", "hips-shoulders": "hip"}[movement.line])
    line = middle(truth, "shoulder") - low
    trunk = middle(truth, "shoulder") - middle(truth, "hip")
    angles = {
        "body": _tilt(line),
        "lean": np.degrees(np.arctan2(front * line[:, 0], np.abs(line[:, 2]))),
        "trunk": _tilt(trunk),
        "legs": _tilt(np.mean([joint(truth, f"{side}_hip") - joint(truth, f"{side}_ankle") for side in legs], axis=0)),
        "elbow": _bend(truth, ("left", "right"), "shoulder", "elbow", "wrist"),
        "knee": _bend(truth, legs, "hip", "knee", "ankle"),
        "reach": np.mean([_reach(truth, side) for side in ("left", "right")], axis=0),
    }
    if movement.plane == "frontal":
        return angles | _sideways(truth)
    # Upside down the line's upper end is the feet's, and the belly faces the other way: both turn the sign.
    turns = {"hip": (legs, "hip", "knee"), "shoulder": (("left", "right"), "shoulder", "elbow")}
    for name, (sides, start, end) in turns.items():
        found = []
        for side in sides:
            limb = joint(truth, f"{side}_{end}") - joint(truth, f"{side}_{start}")
            trunk_side = joint(truth, f"{side}_shoulder") - joint(truth, f"{side}_hip")
            limb_angle = np.arctan2(front * limb[:, 0], -limb[:, 2])
            trunk_angle = np.arctan2(front * -trunk_side[:, 0], trunk_side[:, 2])
            found.append(np.mod(np.degrees(limb_angle - trunk_angle) + 90, 360) - 90)
        angles[name] = np.mean(found, axis=0)
    return angles


def _sideways(truth: dict[str, Any]) -> dict[str, Array]:
    """Arms against the trunk, and the side bend: positive with the hips above the line from shoulders to knees."""
    arms, hips = [], []
    trunk = (middle(truth, "hip") - middle(truth, "shoulder"))[:, [0, 2]]
    for side in ("left", "right"):
        arm, thigh = (
            joint(truth, f"{side}_{end}")[:, [0, 2]] - joint(truth, f"{side}_{start}")[:, [0, 2]]
            for start, end in (("shoulder", "elbow"), ("hip", "knee"))
        )
        arms.append(np.degrees(np.arccos(np.sum(trunk * arm, 1) / np.hypot(*trunk.T) / np.hypot(*arm.T))))
        bend = np.degrees(np.arctan2(*thigh.T[::-1]) - np.arctan2(*trunk.T[::-1]))
        below = np.where(trunk[:, 0] > 0, -1.0, 1.0)  # turned clockwise is downward when the feet are on the right
        hips.append(below * (np.mod(bend + 180, 360) - 180))
    return {"shoulder": np.mean(arms, axis=0), "hip": np.mean(hips, axis=0)}


def _reach(truth: dict[str, Any], side: str) -> Array:
    points = [joint(truth, f"{side}_{name}") for name in ("shoulder", "elbow", "wrist")]
    arm = sum(np.linalg.norm(a - b, axis=1) for a, b in pairwise(points))
    return np.asarray(100 * (points[0] - points[2])[:, 2] / arm)


def _tilt(line: Array) -> Array:
    return np.degrees(np.arcsin(line[:, 2] / np.linalg.norm(line, axis=1)))


def _bend(truth: dict[str, Any], who: tuple[str, ...], first: str, at: str, last: str) -> Array:
    sides = []
    for side in who:
        a = joint(truth, f"{side}_{at}") - joint(truth, f"{side}_{first}")
        b = joint(truth, f"{side}_{last}") - joint(truth, f"{side}_{at}")
        sides.append(np.degrees(np.arctan2(np.linalg.norm(np.cross(a, b), axis=1), np.sum(a * b, axis=1))))
    return np.mean(sides, axis=0)


@clips
def test_strokes_begin_and_end_where_the_speed_passes_v(path: Path) -> None:
    """By the definition, from the frames alone: a spline through the driving angle, to about half a frame."""
    truth = read(path)
    movement = load_movement(truth["movement"])
    time = np.array(truth["frames"]["time"])
    for rep in truth["sets"][0]["reps"]:
        assert movement.reps is not None
        spline = CubicSpline(time, truth["frames"]["angles"][movement.reps.driving])
        strokes = [stroke for name in ("lowering", "raising") if (stroke := rep[name])]
        v = _threshold(spline, strokes)
        for stroke in strokes:
            onward = np.sign(spline(stroke["end"]) - spline(stroke["start"]))
            for name in ("start", "end"):
                near = onward * spline(stroke[name] + np.linspace(-0.5, 0.5, 11) * np.median(np.diff(time)), 1)
                assert near.min() - 1 < v < near.max() + 1
            inside = np.linspace(stroke["start"] + 0.1, stroke["start"] + 0.3, 20)
            assert np.all(onward * spline(inside, 1) > 0.8 * v)


def _threshold(spline: CubicSpline, strokes: list[dict[str, float]]) -> float:
    speeds = []
    for stroke in strokes:
        time = np.linspace(stroke["start"], stroke["end"], 2000)
        way = np.abs(spline(time) - spline(stroke["start"]))
        inner = time[(way > 0.05 * way[-1]) & (way < 0.95 * way[-1])]
        speeds.append(0.9 * way[-1] / (inner[-1] - inner[0]))
    return float(np.clip(0.1 * min(speeds), 2, 6))


@clips
def test_status_follows_the_range(path: Path) -> None:
    truth = read(path)
    movement = load_movement(truth["movement"])
    for rep in truth["sets"][0]["reps"]:
        assert movement.reps is not None
        share = abs(rep["bent"][movement.reps.driving] - rep["straight"][movement.reps.driving]) / movement.reps.range
        if rep["status"] == "whole":
            assert share >= 0.5
        if rep["status"] == "short":
            assert 0.2 <= share < 0.5


@clips
def test_pauses_lie_between_strokes(path: Path) -> None:
    for rep in read(path)["sets"][0]["reps"]:
        lowering, raising = rep["lowering"], rep["raising"]
        if lowering and raising:
            first, second = sorted((lowering, raising), key=lambda stroke: float(stroke["start"]))
            between = rep["bottom_pause"] if first is lowering else rep["top_pause"]
            assert between == pytest.approx(second["start"] - first["end"], abs=2e-4)


@clips
def test_holds_stay_within_five_degrees(path: Path) -> None:
    truth = read(path)
    time = np.array(truth["frames"]["time"])
    for hold in truth["sets"][0]["holds"]:
        inside = (time >= hold["start"]) & (time <= hold["end"])
        for name in load_movement(truth["movement"]).hold.still:
            angle = np.array(truth["frames"]["angles"][name])[inside]
            assert np.median(angle) == pytest.approx(hold["posture"][name], abs=0.3)
            assert np.mean(np.abs(angle - np.median(angle)) <= 5.3) > 0.95


@clips
def test_holds_keep_enough_bits_for_sway(path: Path) -> None:
    truth = read(path)
    if truth["sets"][0]["holds"]:
        seconds = truth["frames"]["time"][-1]
        assert 8 * clip_of(path).stat().st_size / seconds > 1.9e6
