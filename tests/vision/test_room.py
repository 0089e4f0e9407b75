"""Rooms of known edges, projected by a lens of known turn and focal length; and edges that are no room's."""

import numpy as np
import pytest
from numpy.typing import NDArray

from vision.room import FOCAL, PRIOR_SD, Room, directions, read_room

Array = NDArray[np.float64]

LANDSCAPE = (1280, 720)
PORTRAIT = (720, 1280)
UPRIGHT, ALONG, AWAY = np.eye(3)[[1, 0, 2]]


def lens(roll: float, pitch: float, yaw: float) -> Array:
    """(3, 3) from the room (x along its back wall, y down, z away) to the camera's frame, by elementary turns."""
    r, p, y = np.radians([roll, pitch, yaw])
    about_vertical = np.array([[np.cos(y), 0, np.sin(y)], [0, 1, 0], [-np.sin(y), 0, np.cos(y)]])
    up = np.array([[1, 0, 0], [0, np.cos(p), np.sin(p)], [0, -np.sin(p), np.cos(p)]])
    clockwise = np.array([[np.cos(r), np.sin(r), 0], [-np.sin(r), np.cos(r), 0], [0, 0, 1]])
    return np.asarray(clockwise @ up @ about_vertical)


def edges_of(
    turn: tuple[float, float, float],
    size: tuple[int, int] = LANDSCAPE,
    focal: float = FOCAL,
    *,
    ways: tuple[Array, ...] = (UPRIGHT, ALONG, AWAY),
    each: int = 14,
    noise: float = 0.4,
    seed: int = 1,
) -> Array:
    """Edges (n, 4) of 0.4 to 2 m in the named directions, anywhere in view, their ends off by so many pixels."""
    random = np.random.default_rng(seed)
    view, found = lens(*turn), []
    for way in ways:
        kept = 0
        while kept < each:
            middle = np.array([random.uniform(-3, 3), random.uniform(-2, 1.5), random.uniform(2.5, 7)])
            half = way * random.uniform(0.2, 1.0)
            ends = np.array([middle - half, middle + half]) @ view.T
            if ends[:, 2].min() < 0.5:
                continue
            seen = ends[:, :2] / ends[:, 2:] * focal * max(size) + (np.array(size) - 1) / 2
            inside = ((seen > 0) & (seen < np.array(size))).all()
            if inside and np.linalg.norm(seen[1] - seen[0]) > 30:
                found.append((seen + random.normal(0, noise, (2, 2))).ravel())
                kept += 1
    return np.array(found)


def clutter(count: int, seed: int, size: tuple[int, int] = LANDSCAPE) -> Array:
    """Edges in any direction."""
    random = np.random.default_rng(seed)
    start = random.uniform(0, 1, (count, 2)) * size
    way = random.uniform(0, np.pi, count)
    along = random.uniform(25, 90, count)[:, None] * np.stack([np.cos(way), np.sin(way)], axis=1)
    return np.hstack([start, start + along])


def read(lines: Array, size: tuple[int, int] = LANDSCAPE) -> Room:
    found = read_room([lines], size)
    assert found is not None
    return found


def truth(turn: tuple[float, float, float], focal: float = FOCAL) -> Array:
    return np.array([*turn, np.log(focal / FOCAL)])


def test_directions_are_those_of_elementary_turns() -> None:
    for turn in [(0.0, 0.0, 0.0), (7.0, -12.0, 20.0), (-5.0, 25.0, -40.0)]:
        assert directions(np.array([*turn, 0.0])) == pytest.approx((lens(*turn) @ np.stack([UPRIGHT, ALONG, AWAY]).T).T)


def test_with_a_positive_yaw_the_lens_looks_to_the_left() -> None:
    """It stands further right of what it films, so that what runs to the right comes nearer."""
    along = directions(np.array([0.0, 0.0, 20.0, 0.0]))[1]
    assert along[0] > 0
    assert along[2] < 0


@pytest.mark.parametrize("size", [LANDSCAPE, PORTRAIT], ids=["landscape", "portrait"])
@pytest.mark.parametrize("turn", [(0.0, 0.0, 10.0), (6.0, 15.0, -18.0), (-4.0, -12.0, 25.0), (2.0, 24.0, 8.0)])
@pytest.mark.parametrize("focal", [FOCAL, 0.45, 0.95])
def test_edges_in_three_directions_tell_turn_and_lens(
    turn: tuple[float, float, float], focal: float, size: tuple[int, int]
) -> None:
    found = read(edges_of(turn, size, focal), size)
    off = found.mean - truth(turn, focal)
    u = np.sqrt(np.diag(found.covariance))
    assert found.odds > 3
    assert np.abs(off[:3]).max() < 1.5
    assert abs(off[3]) < 0.08
    assert (np.abs(off) < 3 * u).all()
    assert u[3] < 0.3 * PRIOR_SD[3]


def test_upright_edges_alone_leave_yaw_and_lens_open() -> None:
    turn = (4.0, 12.0, 15.0)
    found = read(edges_of(turn, ways=(UPRIGHT,), each=24))
    u = np.sqrt(np.diag(found.covariance))
    assert found.mean[0] == pytest.approx(4, abs=0.5)
    assert found.mean[1] == pytest.approx(12, abs=3)
    assert u[0] < 0.5
    assert u[2] > 10
    assert u[3] > 0.6 * PRIOR_SD[3]


def test_what_upright_edges_tell_of_pitch_goes_with_the_lens() -> None:
    """They tell tan(pitch) / focal length, so that a longer lens would mean more pitch."""
    found = read(edges_of((0.0, 20.0, 0.0), ways=(UPRIGHT,), each=30))
    sd = np.sqrt(np.diag(found.covariance))
    assert found.covariance[1, 3] / (sd[1] * sd[3]) > 0.8


def test_level_edges_alone_tell_the_roll() -> None:
    """Floor boards and a skirting, no upright edge in sight."""
    found = read(edges_of((5.0, -8.0, 12.0), ways=(ALONG, AWAY), each=16))
    assert found.odds > 0
    assert found.mean[:2] == pytest.approx([5, -8], abs=1.5)


def test_one_bundle_of_level_edges_seen_askew_is_told_apart_from_roll_only_as_far_as_it_can_be() -> None:
    """A brick wall without an upright edge: roll, pitch and yaw can make up for one another, and u says so."""
    turn = (1.0, -13.0, 17.0)
    found = read(edges_of(turn, ways=(ALONG,), each=30))
    u = np.sqrt(np.diag(found.covariance))
    assert (np.abs(found.mean - truth(turn)) < 3 * u).all()
    assert u[1] > 2


def test_clutter_does_not_draw_the_answer() -> None:
    turn = (-3.0, 10.0, 14.0)
    clean = edges_of(turn)
    found = read(np.concatenate([clean, clutter(40, 5)]))
    assert found.odds > 0
    assert found.mean[:3] == pytest.approx(turn, abs=1.5)


@pytest.mark.parametrize("seed", range(8))
def test_edges_in_any_direction_are_no_room(seed: int) -> None:
    assert read(clutter(60, seed)).odds < 0


def test_more_pieces_of_the_same_edges_make_it_no_surer() -> None:
    lines = edges_of((3.0, 6.0, 9.0))
    one, again = read_room([lines], LANDSCAPE), read_room([lines, lines, lines], LANDSCAPE)
    assert one is not None
    assert again is not None
    assert np.sqrt(np.diag(again.covariance))[:2] == pytest.approx(np.sqrt(np.diag(one.covariance))[:2], rel=0.2)


def test_u_is_honest() -> None:
    """Over many rooms of few and noisy edges, the truth lies as far off as u says."""
    random = np.random.default_rng(7)
    z = []
    for seed in range(40):
        turn = tuple(random.normal(0, [3, 10, 15]))
        focal = FOCAL * float(np.exp(random.normal(0, 0.2)))
        lines = edges_of((turn[0], turn[1], turn[2]), focal=focal, each=5, noise=0.5, seed=seed)
        found = read(np.concatenate([lines, clutter(8, seed)]))
        if found.odds > 0:
            z.append((found.mean - truth((turn[0], turn[1], turn[2]), focal)) / np.sqrt(np.diag(found.covariance)))
    assert len(z) > 25
    spread = np.sqrt(np.mean(np.square(z), axis=0))
    assert (spread < 1.6).all()
    assert np.mean(np.abs(z) < 1.96) > 0.9


def test_the_same_edges_give_the_same_answer() -> None:
    lines = edges_of((2.0, 3.0, 4.0))
    assert read(lines).mean.tolist() == read(lines).mean.tolist()


@pytest.mark.parametrize("looks", [[], [np.zeros((0, 4))], [np.zeros((0, 4)), np.zeros((0, 4))]])
def test_nothing_seen_is_no_answer(looks: list[Array]) -> None:
    assert read_room(looks, LANDSCAPE) is None


def test_a_single_edge_says_little() -> None:
    found = read(np.array([[100.0, 100.0, 110.0, 600.0]]))
    assert np.sqrt(found.covariance[1, 1]) > 0.7 * PRIOR_SD[1]
