from dataclasses import replace

import numpy as np
import pytest

from models.movements import load_movement
from tests.vision.bodies import Pose, figure
from tests.vision.lens import Lens, filmed
from vision.breadth import BREADTH
from vision.motion import Motion
from vision.plane import Eye
from vision.scale import PROPORTION_U
from vision.sight import FRAME, LANDMARK_U, Sight, frames_for, frames_in, points, sight
from vision.skeleton import INDEX

TIME = np.arange(0, 4, 1 / 30)
PULL_UP = load_movement("pull-up")
LENS = Lens(3, 0.3, pitch=10)
MOMENT, WHOLE = (2.9, 3.1), (0.0, 4.0)


def hanging(shift: float = 0.0) -> Motion:
    """A body that hangs from a bar; the bar moves along by `shift` metres in the clip."""
    joints = figure(TIME, Pose(0, 170, 20, 5, 30), "left", "wrist", (0.0, -2.2))
    joints[:, :, 0] += shift * (TIME / TIME[-1])[:, None]
    return filmed(TIME, joints, PULL_UP, "left", LENS)


def at(seen: Sight, **errors: float) -> dict[str, np.ndarray]:
    return dict(points(seen.eye, seen.named(seen.value) | errors))


def test_a_hand_that_rests_is_taken_where_it_is_over_the_whole_set() -> None:
    seen = hanging()
    assert len(frames_for(seen, "wrist", MOMENT, WHOLE)) == len(TIME)
    assert len(frames_for(seen, "shoulder", MOMENT, WHOLE)) == pytest.approx(6, abs=1)
    jumpy = replace(seen, rays=seen.rays.copy())
    now = frames_in(seen, MOMENT)
    jumpy.rays[now, INDEX["left_wrist"]] += 0.02
    still = sight(seen, LENS.level, MOMENT, WHOLE)
    assert sight(jumpy, LENS.level, MOMENT, WHOLE).named(still.value)["wrist.x"] == still.named(still.value)["wrist.x"]


def test_rings_that_swing_are_taken_where_they_are_at_the_moment() -> None:
    seen = hanging(shift=0.4)
    assert len(frames_for(seen, "wrist", MOMENT, WHOLE)) == pytest.approx(6, abs=1)
    x = sight(seen, LENS.level, MOMENT, WHOLE)
    expected = np.median(seen.rays[frames_in(seen, MOMENT), INDEX["left_wrist"]], axis=0)
    assert (x.named(x.value)["wrist.x"], x.named(x.value)["wrist.y"]) == pytest.approx(tuple(expected))


def test_a_moment_between_two_frames_takes_the_nearest() -> None:
    seen = hanging()
    assert frames_in(seen, (1.001, 1.002)).tolist() == [30]


def test_inputs_carry_their_doubt() -> None:
    seen = sight(hanging(), LENS.level, MOMENT, WHOLE)
    u = dict(zip(seen.names, seen.u, strict=True))
    value = seen.named(seen.value)
    assert all(value[name] == 0 for name in FRAME)
    assert (u["scale"], u["focal"]) == (PROPORTION_U, LENS.level.focal_u)
    assert u["roll"] == pytest.approx(np.radians(LENS.level.roll_u))
    assert u["shoulder.x"] * seen.eye.distance == pytest.approx(LANDMARK_U, rel=0.2)
    assert u["shoulder.x"] * seen.eye.distance > LANDMARK_U
    assert u["ear.y"] > 1.2 * u["shoulder.y"]
    assert u["elbow.x"] == pytest.approx(u["ear.x"], rel=0.1)
    assert u["wrist.breadth"] > u["shoulder.breadth"] > 0
    assert value["wrist.breadth"] == BREADTH["wrist"]


def test_a_yaw_that_is_hardly_known_widens_what_it_may_do() -> None:
    seen = hanging()
    vague = replace(seen, view=replace(seen.view, u=4 * seen.view.u))
    narrow, wide = (
        dict(zip(s.names, s.u, strict=True))["yaw"]
        for s in (sight(m, LENS.level, MOMENT, WHOLE) for m in (seen, vague))
    )
    assert narrow == pytest.approx(np.radians(seen.view.u))
    assert wide == pytest.approx(4 * narrow)


def test_a_roll_turns_the_body_about_the_lens() -> None:
    seen = sight(hanging(), LENS.level, MOMENT, WHOLE)
    straight, rolled = at(seen), at(seen, roll=0.02)
    for name, point in straight.items():
        assert rolled[name] == pytest.approx(point + 0.02 * np.array([-point[1], point[0]])), name


def test_a_pitch_turns_the_rays_as_a_level_does() -> None:
    """A lens that looks up by 10 degrees but is taken to look up by 7 sees all too low; three more mend it."""
    true, wrong = Lens(3, 0.3, pitch=10).level, Lens(3, 0.3, pitch=7).level
    seen = hanging()
    rightly, wrongly = (
        replace(seen, rays=(level.rectified(seen.joints) - level.centre) / level.focal) for level in (true, wrong)
    )
    right = sight(rightly, true, MOMENT, WHOLE)
    off = replace(sight(wrongly, wrong, MOMENT, WHOLE), eye=right.eye)
    for name, point in at(right).items():
        assert at(off)[name][1] < point[1] - 0.05
        assert at(off, pitch=-np.radians(3))[name] == pytest.approx(point, abs=1e-4), name


def test_a_longer_lens_changes_only_what_the_breadths_do() -> None:
    """All rays and the athlete's height in them shrink together, so the middle plane stays as it is."""
    seen = sight(hanging(), LENS.level, MOMENT, WHOLE)
    longer = at(seen, focal=0.1)
    nose = at(seen)["nose"]
    assert longer["nose"] == pytest.approx(nose)
    lower = at(seen)["wrist"][1] - longer["wrist"][1]
    assert abs(lower) == pytest.approx(
        0.1 / 1.1 * BREADTH["wrist"] * at(seen)["wrist"][1] / (seen.eye.distance - 0.15), rel=0.02
    )


def test_a_taller_athlete_is_nearer_in_heights() -> None:
    seen = sight(hanging(), LENS.level, MOMENT, WHOLE)
    assert at(seen, scale=0.05)["nose"] == pytest.approx(at(seen)["nose"] / 1.05)
    assert isinstance(seen.eye, Eye)
