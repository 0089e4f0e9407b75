"""The doubt about level, lens and yaw, carried into angles, against exact geometry and against drawing at random."""

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import NDArray

from models.movements.movement import Angle
from vision.angles import tilt
from vision.breadth import BREADTH, breadth_u
from vision.doubt import level_sd
from vision.level import Level, gravity_of
from vision.propagate import Estimate

Array = NDArray[np.float64]
Breadths = Mapping[str, float]

SIZE = (1280, 720)
CENTRE = (np.array(SIZE) - 1) / 2
FOCAL = 985.0
SURE = Level(gravity_of(0, 0), FOCAL, CENTRE, 0, 0, "sensor")


def seen(level: Level, points: Array) -> Array:
    """Pixels of points (n, 3) in metres by the athlete's plane (x along it, y down, z away), through a lens so placed."""
    rays = points @ np.linalg.inv(level.turned(np.eye(3)))
    return np.asarray(rays[..., :2] / rays[..., 2:] * level.focal + level.centre)


def body(degrees: float, *, across: float = 0.0, down: float = 0.0, away: float = 3.0) -> Array:
    """Ends of a line of 1.5 m at a tilt, its middle beside and below the lens by so many metres."""
    turn = np.radians(degrees)
    half = 0.75 * np.array([np.cos(turn), -np.sin(turn), 0])
    return np.array([[across, down, away] - half, [across, down, away] + half])


def u_of(level: Level, space: Array) -> float:
    """Uncertainty of the line's tilt, where `level` is what is believed and also the truth."""
    ends = seen(level, space)

    def read(believed: Level, _: Breadths) -> dict[Angle, Array]:
        flat = believed.rectified(ends[None])
        return {"body": tilt(flat[:, 0], flat[:, 1])}

    assert read(level, BREADTH)["body"] == pytest.approx(tilt(space[0, None, :2], space[1, None, :2]), abs=1e-6)
    return float(level_sd(read, level)["body"][0])


@pytest.mark.parametrize("degrees", [-30, 0, 20, 60])
def test_the_doubt_of_the_roll_is_that_of_every_line(degrees: float) -> None:
    assert u_of(replace(SURE, roll_u=0.7), body(degrees)) == pytest.approx(0.7, rel=1e-6)


def test_without_any_doubt_there_is_none() -> None:
    assert u_of(SURE, body(20)) == 0


@pytest.mark.parametrize(("height", "distance"), [(1.0, 3.0), (0.5, 3.0), (1.0, 2.0), (0.0, 3.0)])
def test_a_level_body_below_the_lens_is_wrong_by_its_height_over_its_distance_for_each_degree_of_yaw(
    height: float, distance: float
) -> None:
    """Seen from 1 m up at 3 m: a third of a degree per degree."""
    small = 0.1
    u = u_of(replace(SURE, yaw_u=small), body(0, down=height, away=distance))
    assert u == pytest.approx(height / distance * small, rel=0.01, abs=1e-9)


@pytest.mark.parametrize(("degrees", "yaw"), [(30, 10), (45, 20), (60, 25), (20, -15)])
def test_a_tilted_body_before_a_lens_at_its_height_is_foreshortened(degrees: float, yaw: float) -> None:
    """tan A' = tan A / cos(yaw) from afar: d A / d yaw = sin A cos A tan(yaw)."""
    small = 0.1
    far = replace(SURE, yaw=yaw, yaw_u=small)
    centred = -2000 * np.tan(np.radians(yaw))  # across the athlete's plane, where the lens points
    expected = np.sin(np.radians(degrees)) * np.cos(np.radians(degrees)) * np.tan(np.radians(abs(yaw))) * small
    assert u_of(far, body(degrees, across=centred, away=2000.0)) == pytest.approx(expected, rel=0.01)


def test_upright_edges_keep_a_wrong_focal_length_from_turning_what_is_upright() -> None:
    """Believing tan(pitch) / focal length, as upright edges tell it, leaves upright lines upright at any place."""
    pitch, share = 15.0, 0.1
    pitch_u = np.degrees(share) * np.sin(np.radians(pitch)) * np.cos(np.radians(pitch))
    tied = replace(SURE, gravity=gravity_of(0, pitch), pitch_u=float(pitch_u), focal_u=share, pitch_focal=1.0)
    free = replace(tied, pitch_focal=0.0)
    post = body(89.9, across=1.0)
    assert u_of(tied, post) < 0.02
    assert u_of(free, post) > 0.15


def test_a_steep_line_seen_from_below_depends_on_the_focal_length() -> None:
    """The pitch known, a focal length too long by a share leaves the picture stretched down and narrowed across."""
    u = u_of(replace(SURE, gravity=gravity_of(0, 20), focal_u=0.2), body(45, down=-0.5))
    assert 0.3 < u < 3
    assert u_of(replace(SURE, focal_u=0.2), body(45)) == pytest.approx(0, abs=1e-6)  # a lens held level hides it


def test_it_is_what_drawing_at_random_gives() -> None:
    """Monte Carlo (JCGM 101:2008) of all doubts together."""
    level = Level(gravity_of(3, 8), FOCAL, CENTRE, 0.4, 1.2, "scene", 0.08, 0.6, 12.0, 4.0)
    space = body(25, across=0.3, down=0.6)
    ends = seen(level, space)
    random = np.random.default_rng(5)
    roll, yaw = random.normal(3, 0.4, 4000), random.normal(12, 4, 4000)
    tied = np.array([[1.2**2, 0.6 * 1.2 * 0.08], [0.6 * 1.2 * 0.08, 0.08**2]])
    pitch, focal = random.multivariate_normal([8, 0], tied, 4000).T
    tilts = []
    for r, p, f, y in zip(roll, pitch, focal, yaw, strict=True):
        flat = (
            replace(level, gravity=gravity_of(r, p), focal=FOCAL * np.exp(f)).facing(Estimate(y, 4.0)).rectified(ends)
        )
        tilts.append(tilt(flat[0], flat[1]))
    assert u_of(level, space) == pytest.approx(np.std(tilts), rel=0.05)


def test_angles_across_the_seam_differ_by_the_short_way() -> None:
    def read(believed: Level, _: Breadths) -> dict[Angle, Array]:
        return {"shoulder": (np.array([269.9]) + believed.roll + 90) % 360 - 90}

    assert level_sd(read, replace(SURE, roll_u=0.5))["shoulder"] == pytest.approx(0.5)


def test_each_breadth_is_a_doubt_of_its_own() -> None:
    """An angle of 100 degrees per height of the shoulder's breadth and 50 of the wrist's."""

    def read(_: Level, breadth: Breadths) -> dict[Angle, Array]:
        return {"elbow": np.array([100 * breadth["shoulder"] - 50 * breadth["wrist"], 3.0 + 0 * breadth["hip"]])}

    expected = np.hypot(100 * breadth_u("shoulder"), 50 * breadth_u("wrist"))
    assert level_sd(read, SURE)["elbow"] == pytest.approx([expected, 0])
