"""A phone of known turns films a room; its sensor tells them, late, biased or of another clip."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.typing import ArrayLike, NDArray

from models.errors import SensorError
from models.sensor import VERSION, Clock, Sample, SensorTrack
from vision.camera import PhoneMotion, carry, turns_to_first
from vision.level import Level, assumed, gravity_of, roll_pitch
from vision.sensor import APART, MOST_GAP, SENSOR_U, UNKNOWN_LAG, gravity_at, level_by_sensor

Array = NDArray[np.float64]

SIZE = (1280, 720)
FOCAL = 985.0
CENTRE = (np.array(SIZE) - 1) / 2
TIME = np.arange(0, 6, 1 / 30)
STILL = PhoneMotion(np.tile(np.eye(2, 3), (len(TIME), 1, 1)), 0.0, known=True)
UNKNOWN = replace(STILL, known=False)
NOTHING = assumed(SIZE)


def track(roll: ArrayLike, pitch: ArrayLike, at: Array | None = None, **others: object) -> SensorTrack:
    """Samples at 50 a second, or at times of their own, of a phone turned so far."""
    times = np.arange(-0.5, 6.5, 0.02) if at is None else at
    rolls, pitches = (np.broadcast_to(np.asarray(angle, dtype=float), times.shape) for angle in (roll, pitch))
    samples = tuple(Sample(time=t, roll=r, pitch=p) for t, r, p in zip(times, rolls, pitches, strict=True))
    return SensorTrack.model_validate({"document": VERSION, "samples": samples, **others})


def scene(roll: float, pitch: float, u: float = 0.3) -> Level:
    return Level(gravity_of(roll, pitch), FOCAL, CENTRE, u, u, "scene")


def filmed(roll: Array, pitch: Array, yaw: Array, focal: float = FOCAL) -> PhoneMotion:
    """How a far background moves in the picture of a phone that turns so: each frame's points to the first's."""
    axes = np.array([_axes(r, p, y) for r, p, y in zip(roll, pitch, yaw, strict=True)])
    away = np.array([[0.0, 0.0], [300, 0], [0, 200], [-250, -150]])
    rays = np.concatenate([away / focal, np.ones((4, 1))], axis=1)
    similar = []
    for frame in axes:
        seen = rays @ frame @ axes[0].T
        there = seen[:, :2] / seen[:, 2:] * focal
        similar.append(_similarity(away + CENTRE, there + CENTRE))
    return PhoneMotion(np.array(similar), 1.0, known=True)


def _axes(roll: float, pitch: float, yaw: float) -> Array:
    """Rows right, down, away (3, 3) of a lens, in the room's right, down, away."""
    r, p, y = np.radians([roll, pitch, yaw])
    right, ahead = np.array([np.cos(y), 0, np.sin(y)]), np.array([-np.sin(y), 0, np.cos(y)])
    down = np.array([0.0, 1, 0])
    away = ahead * np.cos(p) - down * np.sin(p)
    low = down * np.cos(p) + ahead * np.sin(p)
    return np.array([right * np.cos(r) + low * np.sin(r), low * np.cos(r) - right * np.sin(r), away])


def _similarity(start: Array, end: Array) -> Array:
    """Least-squares similarity (2, 3) from points to points."""
    x, y = start.T
    one, none = np.ones_like(x), np.zeros_like(x)
    design = np.concatenate([np.stack([x, -y, one, none], 1), np.stack([y, x, none, one], 1)])
    a, b, u, v = np.linalg.lstsq(design, np.concatenate(end.T), rcond=None)[0]
    return np.array([[a, -b, u], [b, a, v]])


def test_the_rooms_axes_are_those_of_gravity() -> None:
    assert _axes(7, -12, 30) @ [0, 1, 0] == pytest.approx(gravity_of(7, -12))


def test_a_phone_on_a_stand() -> None:
    found = level_by_sensor(track(4.0, 12.0, clock=Clock(offset=0, u=0.02), u=0.3), TIME, STILL, NOTHING)
    assert (found.roll, found.pitch) == pytest.approx((4, 12))
    assert (found.roll_u, found.pitch_u) == pytest.approx((0.3, 0.3))
    assert found.source == "sensor"
    assert found.notes == ()


def test_a_phone_that_does_not_say_how_sure_it_is() -> None:
    found = level_by_sensor(track(4.0, 12.0), TIME, STILL, NOTHING)
    assert found.roll_u == pytest.approx(SENSOR_U)


def test_the_clip_begins_where_the_offset_says() -> None:
    at = np.arange(100, 115, 0.02)
    turning = np.interp(at, [104, 110], [0, 12])
    known = track(turning, 5.0, at, clock=Clock(offset=104, u=0))
    found = level_by_sensor(known, TIME, UNKNOWN, NOTHING)
    assert roll_pitch(found.gravity)[0] == pytest.approx(2 * TIME, abs=1e-3)


def test_between_samples_the_phone_turns_evenly_and_noise_does_not_matter() -> None:
    sparse = track([0.0, 6.0], [3.0, 3.0], np.array([0.0, 1.0]))
    assert roll_pitch(gravity_at(sparse, np.array([0.25, 0.5, 1.4])))[0] == pytest.approx([1.5, 3, 6], abs=0.01)
    noise = np.random.default_rng(1).normal(0, 0.2, 350)
    assert level_by_sensor(track(4 + noise, 12 - noise), TIME, STILL, NOTHING).roll == pytest.approx(4, abs=0.05)


def test_a_phone_upside_down_turns_the_short_way() -> None:
    across = track([179.0, -179.0], [0.0, 0.0], np.array([0.0, 1.0]))
    assert abs(roll_pitch(gravity_at(across, np.array([0.5])))[0][0]) == pytest.approx(180)


@pytest.mark.parametrize("sway", [(4.0, 0.0, 0.0), (0.0, 3.0, 0.0), (2.0, -3.0, 5.0)], ids=["roll", "pitch", "all"])
def test_a_hand_that_turns_is_taken_out_by_the_picture(sway: tuple[float, float, float]) -> None:
    """Every frame's gravity, carried to the first picture, is the first frame's."""
    wave = np.sin(2 * TIME)
    roll, pitch, yaw = (start + size * wave for start, size in zip((3.0, 8.0, 0.0), sway, strict=True))
    phone = filmed(roll, pitch, yaw)
    carried = np.einsum("fij,fj->fi", turns_to_first(phone, FOCAL, CENTRE), gravity_of(roll, pitch))
    assert np.degrees(np.abs(carried - carried[0])).max() < 0.15
    wide = np.interp(np.arange(-0.5, 6.5, 0.02), TIME, roll), np.interp(np.arange(-0.5, 6.5, 0.02), TIME, pitch)
    found = level_by_sensor(track(*wide, clock=Clock(offset=0, u=0.01)), TIME, phone, NOTHING)
    assert (found.roll, found.pitch) == pytest.approx((3, 8), abs=0.15)
    assert found.gravity.shape == (3,)
    assert found.notes == ()


def test_where_the_picture_tells_no_motion_the_level_turns_with_the_phone() -> None:
    at = np.arange(-0.5, 6.5, 0.02)
    found = level_by_sensor(track(5 * np.sin(at), 10.0), TIME, UNKNOWN, NOTHING)
    assert found.gravity.shape == (len(TIME), 3)
    post = np.array([[0.0, -0.5, 4.0], [0.0, 0.9, 4.0]])
    seen = np.array([post @ _axes(5 * np.sin(t), 10.0, 0).T for t in TIME])
    upright = found.rectified(seen[..., :2] / seen[..., 2:] * found.focal + found.centre)
    assert upright[:, 0, 0] == pytest.approx(upright[:, 1, 0], abs=0.5)
    some = found.over(TIME > 3)
    assert some.gravity.shape == (np.count_nonzero(TIME > 3), 3)


def test_an_unknown_lag_counts_by_how_fast_the_phone_turns() -> None:
    """Two degrees a second, and 0.3 s: 0.6 degrees."""
    at = np.arange(-0.5, 6.5, 0.02)
    known, unknown = (track(2 * at, 0.0, at, clock=clock, u=0.2) for clock in (Clock(offset=0, u=0), None))
    sure, unsure = (level_by_sensor(each, TIME, UNKNOWN, NOTHING) for each in (known, unknown))
    assert sure.roll_u == pytest.approx(0.2)
    assert unsure.roll_u == pytest.approx(np.hypot(0.2, 2 * UNKNOWN_LAG), rel=0.05)
    assert unsure.pitch_u == pytest.approx(0.2, abs=0.01)


def test_on_a_stand_a_lag_costs_nothing() -> None:
    assert level_by_sensor(track(3.0, 4.0, u=0.2), TIME, STILL, NOTHING).roll_u == pytest.approx(0.2)


def test_sensor_and_scene_that_agree_give_the_sensors_level_and_a_better_lens() -> None:
    """Upright edges tell tan(pitch) / focal length; once the pitch is known, so is the lens."""
    true_focal, pitch = 700.0, 18.0
    believed = np.degrees(np.arctan(np.tan(np.radians(pitch)) * FOCAL / true_focal))
    share = np.degrees(0.25) * np.sin(np.radians(believed)) * np.cos(np.radians(believed))
    seen = replace(scene(2.0, float(believed)), pitch_u=float(share / 0.98), focal_u=0.25, pitch_focal=0.98)
    found = level_by_sensor(track(2.3, pitch), TIME, STILL, seen)
    assert found.source == "sensor"
    assert (found.roll, found.pitch) == pytest.approx((2.3, pitch))
    assert found.focal == pytest.approx(true_focal, rel=0.12)
    assert found.focal_u < 0.3 * seen.focal_u
    assert found.notes == ()


def test_a_scene_that_is_only_assumed_cannot_contradict() -> None:
    assert level_by_sensor(track(40.0, 30.0), TIME, STILL, NOTHING).source == "sensor"


@pytest.mark.parametrize(("roll", "pitch"), [(9.0, 5.0), (0.2, -9.0)], ids=["locked horizon", "another track"])
def test_where_they_contradict_each_other_the_picture_counts_and_u95_covers_both(roll: float, pitch: float) -> None:
    seen = scene(0.0, 5.0)
    found = level_by_sensor(track(roll, pitch), TIME, STILL, seen)
    assert found.source == "scene"
    assert (found.roll, found.pitch) == pytest.approx((0, 5))
    assert abs(roll - found.roll) <= 1.96 * found.roll_u
    assert abs(pitch - found.pitch) <= 1.96 * found.pitch_u
    (note,) = found.notes
    assert f"roll {roll:.1f} and pitch {pitch:.1f} degrees" in note
    assert "horizon-locked" in note


def test_they_contradict_beyond_three_standard_uncertainties() -> None:
    apart = APART * np.hypot(SENSOR_U, 0.3)
    near, far = (level_by_sensor(track(share * apart, 0.0), TIME, STILL, scene(0, 0)) for share in (0.97, 1.03))
    assert (near.source, far.source) == ("sensor", "scene")


def test_a_picture_that_does_not_turn_with_the_phone_is_noticed_without_any_edges() -> None:
    """A horizon locked by software: the phone sways by 6 degrees about a roll of 10, the picture stays."""
    at = np.arange(-0.5, 6.5, 0.02)
    found = level_by_sensor(track(10 + 6 * np.sin(at), 0.0, clock=Clock(offset=0, u=0.02)), TIME, STILL, NOTHING)
    assert "does not turn" in found.notes[0]
    assert abs(found.roll) <= 1.96 * found.roll_u  # level, as the picture may be


def test_a_shaking_hand_with_an_uncertain_lag_is_no_contradiction() -> None:
    wave = np.sin(9 * TIME)
    phone = filmed(2 + wave, 5 + 0 * wave, 0 * wave)
    late = track(2 + np.sin(9 * (np.arange(-0.5, 6.5, 0.02) - 0.08)), 5.0, clock=Clock(offset=0, u=0.08))
    assert level_by_sensor(late, TIME, phone, scene(2, 5)).notes == ()


@pytest.mark.parametrize(
    ("start", "end", "where"),
    [(1.2, 6.5, "0.0 s"), (-0.5, 3.0, "6.0 s"), (50.0, 60.0, "0.0 s")],
    ids=["late", "short", "other"],
)
def test_a_track_that_does_not_cover_the_clip_is_refused(start: float, end: float, where: str) -> None:
    with pytest.raises(SensorError, match="does not cover the clip") as refused:
        level_by_sensor(track(0.0, 0.0, np.arange(start, end, 0.02)), TIME, STILL, NOTHING)
    assert where in str(refused.value)


def test_gaps_up_to_a_second_are_bridged_and_longer_ones_refused() -> None:
    ends = np.array([0.0, 2 * MOST_GAP, 4.0, 6.0])
    assert level_by_sensor(track(1.0, 2.0, ends), TIME, STILL, NOTHING).roll == pytest.approx(1)
    with pytest.raises(SensorError):
        level_by_sensor(track(1.0, 2.0, np.array([0.0, 2.4, 4.0, 6.0])), TIME, STILL, NOTHING)


def test_a_single_sample_serves_a_short_clip() -> None:
    assert level_by_sensor(
        track(1.0, 2.0, np.array([0.4])), TIME[TIME < 1], _first(30), NOTHING
    ).pitch == pytest.approx(2)


def _first(frames: int) -> PhoneMotion:
    return replace(STILL, to_first=STILL.to_first[:frames])


def test_turns_to_first_follow_the_picture() -> None:
    """What a frame shows to the right of the middle, the first picture shows there too once carried."""
    phone = filmed(np.array([0.0, 5.0]), np.array([0.0, -4.0]), np.array([0.0, 6.0]))
    turn = turns_to_first(phone, FOCAL, CENTRE)[1]
    point = CENTRE + [120.0, -60.0]
    ray = turn @ [*(point - CENTRE) / FOCAL, 1]
    assert ray[:2] / ray[2] * FOCAL + CENTRE == pytest.approx(carry(phone.to_first[1], point), abs=2)
