"""Following a drawn person through real clips with the real landmark model."""

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numpy.typing import NDArray

from models.errors import AthleteError
from models.movements import load_movement
from models.pose import weights_path
from tests.vision.bodies import Pose
from tests.vision.drawn import STANDING, Person, draw, helped_handstand, person, room
from vision.clip import open_clip
from vision.encode import write_clip
from vision.follow import BACKGROUND_LASTS
from vision.looks import LANDMARK_RATE
from vision.refuse import refuse_unmeasurable
from vision.skeleton import INDEX, JOINTS
from vision.track import Tracks, rough, track

Array = NDArray[np.float64]
Picture = NDArray[np.uint8]

RATE = 30
SECONDS = 1.5
NEAR = [INDEX[f"left_{name}"] for name in ("shoulder", "hip", "knee", "ankle")]


def squat(t: float) -> Person:
    """Goes down and comes up once in 1.5 s, the feet staying where they are."""
    down = (1 - np.cos(2 * np.pi * t / SECONDS)) / 2
    who = person(Pose(5 + 30 * down, 40 + 40 * down, 60 - 50 * down, 10 + 85 * down, 5 + 95 * down), (0, 0))
    return replace(who, joints=who.joints - who.joints[INDEX["left_ankle"]] + [330, 570])


def film(path: Path, picture: Callable[[float], Picture], seconds: float = 1.0, rate: float = 10.0) -> Path:
    times = [i / rate for i in range(round(seconds * rate) + 1)]
    write_clip(path, ((t, picture(t)) for t in times))
    return path


def followed(path: Path) -> Tracks:
    return track(open_clip(path), weights_path())


@pytest.fixture(scope="module")
def squatting(tmp_path_factory: pytest.TempPathFactory) -> Tracks:
    wall = room()
    return followed(film(tmp_path_factory.mktemp("clips") / "squat.mp4", lambda t: draw(wall, squat(t)), SECONDS, RATE))


def test_every_frame_has_its_row(squatting: Tracks) -> None:
    n, j = round(SECONDS * RATE) + 1, len(JOINTS)
    assert squatting.time == pytest.approx(np.arange(n) / RATE, abs=1e-3)
    assert squatting.landmarks.shape == squatting.flow.shape == (n, j, 2)
    assert squatting.world.shape == (n, j, 3)
    assert squatting.visibility.shape == squatting.flow_sd.shape == (n, j)
    assert squatting.camera.shape == (n, 2, 3)
    assert (squatting.size, squatting.scale, squatting.others) == ((640, 640), 1.0, 0.0)


def test_landmarks_come_at_a_steady_rate(squatting: Tracks) -> None:
    asked = squatting.time[np.isfinite(squatting.landmarks[:, 0, 0])]
    assert len(asked) >= 0.9 * SECONDS * LANDMARK_RATE
    assert np.diff(asked).min() > 1 / LANDMARK_RATE - 0.01
    assert np.diff(asked).max() < 2.5 / LANDMARK_RATE


def test_landmarks_are_where_the_joints_were_drawn(squatting: Tracks) -> None:
    true = np.array([squat(t).joints for t in squatting.time])
    apart = np.linalg.norm((squatting.landmarks - true)[:, NEAR], axis=-1)
    assert np.nanmedian(apart) < 20  # of a body of 500 pixels


def test_flow_is_the_joints_own_motion(squatting: Tracks) -> None:
    """Flow says how far, where landmarks say where: summed up over the way down it gives its length."""
    true = np.array([squat(t).joints for t in squatting.time])
    half = len(true) // 2
    assert np.isnan(squatting.flow[0]).all()
    for joint in (INDEX["left_shoulder"], INDEX["left_hip"]):
        fallen = true[half, joint, 1] - true[0, joint, 1]
        assert fallen > 60
        assert np.nansum(squatting.flow[1 : half + 1, joint, 1]) == pytest.approx(fallen, rel=0.25)


def test_a_phone_on_a_stand_sees_no_motion_of_the_background(squatting: Tracks) -> None:
    assert (squatting.background[1:] > 20).mean() > 0.9
    assert np.abs(squatting.camera[:, :, 2]).max() < 1.0


def test_a_phone_that_moves_is_told_from_the_athlete(tmp_path: Path) -> None:
    """The picture pans by two pixels a frame while the athlete stands."""
    wide = draw(room(800, 640), person(STANDING, (430, 320)))

    def panned(t: float) -> Picture:
        left = round(2 * t * RATE)
        return np.ascontiguousarray(wide[:, left : left + 700])

    found = followed(film(tmp_path / "pan.mp4", panned, 1.0, RATE))
    centre = np.array([350, 320, 1])
    assert np.median(found.camera[1:] @ centre, axis=0) - centre[:2] == pytest.approx([-2, 0], abs=0.2)
    still = [INDEX["left_shoulder"], INDEX["left_knee"]]
    assert np.nanmedian(found.flow[1:, still], axis=0) == pytest.approx(np.tile([-2.0, 0.0], (2, 1)), abs=0.3)


def test_the_athlete_is_followed_and_not_who_stands_beside_them(tmp_path: Path) -> None:
    both, helper, athlete = helped_handstand()
    clip = open_clip(film(tmp_path / "helped.mp4", lambda _: both))
    for movement, who in ((None, helper), (load_movement("handstand"), athlete)):
        found = track(clip, weights_path(), movement=movement)
        apart = np.linalg.norm(np.nanmedian(found.landmarks, axis=0) - who.joints, axis=-1)
        assert apart[NEAR].mean() < 30


def test_an_empty_room_is_refused(tmp_path: Path) -> None:
    with pytest.raises(AthleteError, match="no person is seen"):
        followed(film(tmp_path / "empty.mp4", lambda _: room()))


def test_a_body_seen_in_passing_is_no_athlete(squatting: Tracks) -> None:
    """The landmarker may take a pattern for a body once; it does not do so again and again."""
    looks = np.flatnonzero(np.isfinite(squatting.landmarks[:, 0, 0]))
    twice = squatting.landmarks.copy()
    twice[looks[2:]] = np.nan
    with pytest.raises(AthleteError, match="no person is seen"):
        refuse_unmeasurable(replace(squatting, landmarks=twice))


def beside(who: Person, right: float) -> Person:
    return replace(who, joints=who.joints + [right, 0])


def test_two_people_who_train_are_refused(tmp_path: Path) -> None:
    low = squat(SECONDS / 2)
    both = draw(draw(room(1000, 640), low), beside(low, 420))
    with pytest.raises(AthleteError, match="several people"):
        followed(film(tmp_path / "two.mp4", lambda _: both))


def test_somebody_who_stands_by_is_passed_over(tmp_path: Path) -> None:
    low = squat(SECONDS / 2)
    both = draw(draw(room(1000, 640), person(STANDING, (200, 320))), beside(low, 320))
    found = followed(film(tmp_path / "watched.mp4", lambda _: both))
    apart = np.linalg.norm(found.landmarks[:, NEAR] - beside(low, 320).joints[NEAR], axis=-1)
    assert np.nanmedian(apart) < 30


def test_a_body_cut_off_by_the_edge_is_refused(squatting: Tracks) -> None:
    lower = replace(squatting, landmarks=squatting.landmarks + [0, 200])
    with pytest.raises(AthleteError, match="no ankle is in view"):
        refuse_unmeasurable(lower)


def test_somebody_small_in_the_background_is_no_second_athlete(tmp_path: Path) -> None:
    athlete = person(STANDING, (300, 320))
    both = draw(draw(room(1000, 640), person(STANDING, (800, 400), 130)), athlete)
    found = followed(film(tmp_path / "bystander.mp4", lambda _: both))
    assert found.others == 0
    apart = np.linalg.norm(found.landmarks[:, NEAR] - athlete.joints[NEAR], axis=-1)
    assert np.nanmedian(apart) < 20


def test_an_athlete_too_far_away_is_refused(squatting: Tracks) -> None:
    far = replace(squatting, landmarks=300 + 0.1 * squatting.landmarks)
    refuse_unmeasurable(squatting)
    with pytest.raises(AthleteError, match="film from closer"):
        refuse_unmeasurable(far)


def test_progress_goes_from_nothing_to_all(tmp_path: Path) -> None:
    told: list[float] = []
    standing = draw(room(), person(STANDING, (320, 320)))
    clip = open_clip(film(tmp_path / "stand.mp4", lambda _: standing))
    track(clip, weights_path(), told.append)
    assert told == sorted(told)
    # Three passes: two tell of every look, at every second frame of ten a second; the last of every stretch.
    assert len(told) == 2 * len(clip.times[::2]) + np.ceil(clip.times[-1] / BACKGROUND_LASTS)
    assert told[-1] == pytest.approx(1.0)


def test_the_body_between_looks_is_where_it_was_drawn(squatting: Tracks) -> None:
    true = np.array([squat(t).joints for t in squatting.time])
    apart = np.linalg.norm((rough(squatting) - true)[:, NEAR], axis=-1)
    assert np.median(apart) < 20
