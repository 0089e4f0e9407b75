"""How each stroke was done and what it reached, worked out anew from the joints of the truth files' frames."""

import json
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.interpolate import CubicSpline

from models.movements import load_movement
from models.movements.standard import HIP_CREASE, KNEE_TOP

Array = NDArray[np.float64]
FOLDER = Path(__file__).parents[2] / "sample_clips"
TRUTHS = sorted(FOLDER.glob("*.truth.json"))
clips = pytest.mark.parametrize("path", TRUTHS, ids=[path.name.split(".")[0] for path in TRUTHS])


@cache
def read(path: Path) -> dict[str, Any]:
    content: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return content


def middle(truth: dict[str, Any], name: str) -> Array:
    joints = truth["frames"]["joints"]
    return (np.array(joints[f"left_{name}"]["m"]) + np.array(joints[f"right_{name}"]["m"])) / 2


def strokes(truth: dict[str, Any]) -> list[dict[str, Any]]:
    reps = truth["sets"][0]["reps"]
    return [stroke for rep in reps for name in ("lowering", "raising") if (stroke := rep[name])]


@clips
def test_thirds_are_shares_of_the_range(path: Path) -> None:
    truth = read(path)
    reps = load_movement(truth["movement"]).reps
    time = np.array(truth["frames"]["time"])
    for stroke in strokes(truth):
        assert reps is not None
        spline = CubicSpline(time, truth["frames"]["angles"][reps.driving])
        moments = np.linspace(stroke["start"], stroke["end"], 4000)
        way = np.abs(spline(moments) - spline(stroke["start"]))
        passed = [
            stroke["start"] + (moments[np.argmax(way >= s * way.max())] - stroke["start"]) for s in (1 / 3, 2 / 3)
        ]
        edges = [stroke["start"], *passed, stroke["end"]]
        assert np.allclose(stroke["thirds"], np.diff(edges) / (stroke["end"] - stroke["start"]), atol=0.03)
        assert sum(stroke["thirds"]) == pytest.approx(1, abs=1e-3)


def test_a_stop_is_told_and_a_drop_shows() -> None:
    stopped = read(FOLDER / "squat-set.mp4.truth.json")
    (stop,) = stopped["recipe"]["exercise"]["reps"][1]["stops"]
    assert stopped["sets"][0]["reps"][1]["lowering"]["stops"] == pytest.approx(stop[1], abs=0.25)
    assert stopped["sets"][0]["reps"][0]["lowering"]["stops"] < 0.05
    dropped = read(FOLDER / "pull-up-full.mp4.truth.json")["sets"][0]["reps"]
    assert dropped[2]["lowering"]["thirds"][2] < 0.6 * dropped[0]["lowering"]["thirds"][2]


@clips
def test_swing_is_the_way_of_the_hips_along_the_floor(path: Path) -> None:
    truth = read(path)
    time = np.array(truth["frames"]["time"])
    away = (middle(truth, "hip") - middle(truth, "wrist"))[:, 0]
    for stroke in strokes(truth):
        inside = away[(time >= stroke["start"]) & (time <= stroke["end"])]
        assert stroke["swing"] == pytest.approx(1e4 * np.ptp(inside) / truth["athlete"]["height_cm"], abs=0.4, rel=0.04)


@clips
def test_the_worst_hip_angle_lasts(path: Path) -> None:
    truth = read(path)
    time, hip = np.array(truth["frames"]["time"]), np.array(truth["frames"]["angles"]["hip"])
    for rep in truth["sets"][0]["reps"]:
        inside = (time >= rep["start"]) & (time <= rep["end"])
        worst = rep["worst"]
        assert abs(worst["hip"]) <= np.abs(hip[inside]).max() + 0.05
        near = np.abs(time - worst["hip_at"]) <= 0.14
        assert np.all(np.abs(hip[near & inside]) > abs(worst["hip"]) - 0.5)


@clips
def test_standards_are_the_movements_own(path: Path) -> None:
    truth = read(path)
    names = [entry.name for entry in load_movement(truth["movement"]).standards]
    for rep in truth["sets"][0]["reps"]:
        assert [standard["name"] for standard in rep["standards"]] == names


def at_the_end(truth: dict[str, Any], rep: dict[str, Any], end: str) -> int:
    """Frame at which the driving angle is least or greatest."""
    reps = load_movement(truth["movement"]).reps
    assert reps is not None
    driving = np.array(truth["frames"]["angles"][reps.driving])
    time = np.array(truth["frames"]["time"])
    inside = np.flatnonzero((time >= rep["start"]) & (time <= rep["end"]))
    return int(inside[np.argmin(driving[inside]) if end == "straight" else np.argmax(driving[inside])])


def distance(rep: dict[str, Any], name: str) -> float:
    return float(next(standard["distance"] for standard in rep["standards"] if standard["name"] == name))


@pytest.mark.parametrize("name", ["dip-full", "dip-shallow"])
def test_shoulder_below_elbow_is_a_difference_of_heights(name: str) -> None:
    truth = read(FOLDER / f"{name}.mp4.truth.json")
    for rep in truth["sets"][0]["reps"]:
        at = at_the_end(truth, rep, "bent")
        gap = middle(truth, "elbow")[at, 2] - middle(truth, "shoulder")[at, 2]
        assert distance(rep, "shoulder-below-elbow") == pytest.approx(
            1e4 * gap / truth["athlete"]["height_cm"], abs=0.3
        )


@pytest.mark.parametrize("name", ["squat", "single-leg-squat"])
def test_the_crease_lies_between_trunk_and_thigh(name: str) -> None:
    """By plane geometry: each front is the segment turned by a right angle toward where the athlete faces."""
    truth = read(FOLDER / f"{name}.mp4.truth.json")
    facing = 1.0 if truth["near_side"] == "right" else -1.0
    near = truth["near_side"]
    height = truth["athlete"]["height_cm"] / 100

    def plane(joint: str) -> Array:
        sides = [near] if name == "single-leg-squat" and joint != "shoulder" else ["left", "right"]
        points = [np.array(truth["frames"]["joints"][f"{side}_{joint}"]["m"]) for side in sides]
        return np.mean(points, axis=0)[:, [0, 2]] * [facing, 1]

    def front(upper: str, lower: str) -> Array:
        segment = (plane(upper) - plane(lower))[at]
        return np.array([segment[1], -segment[0]]) / np.linalg.norm(segment)

    for rep in truth["sets"][0]["reps"]:
        at = at_the_end(truth, rep, "bent")
        between = front("shoulder", "hip") + front("hip", "knee")
        crease = plane("hip")[at] + HIP_CREASE * height * between / np.linalg.norm(between)
        shank = (plane("knee") - plane("ankle"))[at]
        top = plane("knee")[at] + KNEE_TOP * height * shank / np.linalg.norm(shank)
        assert distance(rep, "crease-below-knee") == pytest.approx(100 * (top - crease)[1] / height, abs=1.0)


def test_a_chin_is_where_chins_are() -> None:
    """A tenth to a seventh of height over the shoulder joints, and higher the more the elbows bend."""
    for name, bar in (("pull-up-full", 2.35), ("chin-up-outdoors", 2.35)):
        truth = read(FOLDER / f"{name}.mp4.truth.json")
        height = truth["athlete"]["height_cm"] / 100
        reps = truth["sets"][0]["reps"]
        for rep in reps:
            shoulder = middle(truth, "shoulder")[at_the_end(truth, rep, "bent"), 2]
            over = distance(rep, "chin-over-bar") / 100 * height + bar - shoulder
            assert 0.06 < over / height < 0.15
        by_elbow = sorted(reps, key=lambda rep: float(rep["bent"]["elbow"]))
        assert distance(by_elbow[0], "chin-over-bar") < distance(by_elbow[-1], "chin-over-bar")


def test_a_chest_is_over_the_floor_and_nearer_the_deeper() -> None:
    truth = read(FOLDER / "push-up-set.mp4.truth.json")
    reps = truth["sets"][0]["reps"]
    for rep in reps:
        at = at_the_end(truth, rep, "bent")
        shoulder = 1e4 * middle(truth, "shoulder")[at, 2] / truth["athlete"]["height_cm"]
        assert 3 < shoulder + distance(rep, "chest-to-floor") < 11
    by_elbow = sorted(reps, key=lambda rep: float(rep["bent"]["elbow"]))
    assert distance(by_elbow[0], "chest-to-floor") < distance(by_elbow[-1], "chest-to-floor") - 0.3


@clips
def test_the_pictures_turns_are_those_of_the_camera(path: Path) -> None:
    truth = read(path)
    turns, camera = truth["frames"]["picture"], truth["camera"]
    for name in ("roll", "pitch", "yaw"):
        assert len(turns[name]) == len(truth["frames"]["time"])
        assert np.median(turns[name]) == pytest.approx(camera[name], abs=0.02 + camera["shake_deg"])


@clips
def test_a_holds_sway_agrees_with_itself(path: Path) -> None:
    """A path is as long as its speed times the time; an ellipse of two axes covers 95 % of a plane's normal spread."""
    for hold in read(path)["sets"][0]["holds"]:
        sway = hold["sway"]
        assert sway["path"] == pytest.approx(sway["speed"] * hold["still"], rel=0.01)
        assert 0 < sway["ellipse"] < 1.3 * 5.99 * np.pi * sway["along_floor"] * sway["vertical"] * 2
        assert hold["in_position"] is None or 0 <= hold["in_position"] <= hold["still"] + 0.01
