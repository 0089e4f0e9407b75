from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray

from models.document import Rep, Side
from models.movements import Movement, load_movement
from models.quantity import Measured, Q, Unmeasured
from tests.vision.bodies import AFAR, SIZE, Pose, blend, body, figure, motion, push_up, stand_on, still_phone
from tests.vision.curves import Curve, Piece, curve
from vision.level import assumed
from vision.motion import Motion, read_motion
from vision.reps import describe, find_cycles
from vision.skeleton import INDEX, SIDES

Array = NDArray[np.float64]

PUSH_UP, PULL_UP, DIP = load_movement("push-up"), load_movement("pull-up"), load_movement("dip")
REST = Piece(1.0)


def reps_of(seen: Motion, movement: Movement) -> list[Rep]:
    return describe(seen, movement, assumed(SIZE), find_cycles(seen, movement))


def push_ups(whole: Curve, near: Side = "left", rate: float = 30.0, *, varies: bool = False) -> list[Rep]:
    time = whole.frames(rate, varies=varies)
    return reps_of(motion(time, push_up(time, whole.at(time), near), PUSH_UP, near), PUSH_UP)


def tempo(count: int = 2) -> Curve:
    """3-1-1-2, from 8 to 90 degrees."""
    return curve([REST, *[Piece(3, 82), Piece(1), Piece(1, -82, "smooth"), Piece(2)] * count], start=8)


def value(q: Q) -> float:
    assert isinstance(q, Measured)
    return q.value


@pytest.mark.parametrize("near", ["left", "right"])
@pytest.mark.parametrize(("rate", "varies"), [(24.0, False), (30.0, True), (60.0, False)])
def test_the_tempo_of_push_ups(near: Side, rate: float, *, varies: bool) -> None:
    found = push_ups(tempo(3), near, rate, varies=varies)
    assert [rep.status for rep in found] == ["whole"] * 3
    assert [rep.n for rep in found] == [1, 2, 3]
    for rep in found:
        assert rep.lowering is not None
        assert rep.raising is not None
        assert value(rep.lowering.duration) == pytest.approx(3, abs=0.1)
        assert value(rep.raising.duration) == pytest.approx(1, abs=0.1)
        assert value(rep.bottom_pause) == pytest.approx(1, abs=0.1)
        assert rep.start == rep.lowering.start
        assert rep.end == rep.raising.end
    for rep in found[:-1]:
        assert value(rep.top_pause) == pytest.approx(2, abs=0.1)
    assert isinstance(found[-1].top_pause, Unmeasured)


def test_strokes_and_pauses_fill_a_set_without_gaps() -> None:
    for rep, after in pairwise(push_ups(tempo(3))):
        assert rep.lowering is not None
        assert rep.raising is not None
        parts = value(rep.lowering.duration) + value(rep.bottom_pause) + value(rep.raising.duration)
        assert parts + value(rep.top_pause) == pytest.approx(after.start - rep.start, abs=1e-9)


def test_a_pull_up_is_raised_first() -> None:
    whole = curve([REST, *[Piece(1, 110), Piece(0.8), Piece(4, -110), Piece(1.5)] * 2], start=8)
    time = whole.frames(30)
    elbow = whole.at(time)
    seen = motion(time, figure(time, Pose(-3, 180 - elbow / 2, elbow, 10, 40), "left", "wrist"), PULL_UP)
    first, second = reps_of(seen, PULL_UP)
    assert first.lowering is not None
    assert first.raising is not None
    assert first.raising.end < first.lowering.start
    assert value(first.raising.duration) == pytest.approx(1, abs=0.1)
    assert value(first.top_pause) == pytest.approx(0.8, abs=0.1)
    assert value(first.lowering.duration) == pytest.approx(4, abs=0.1)
    assert value(first.bottom_pause) == pytest.approx(1.5, abs=0.1)
    assert isinstance(second.bottom_pause, Unmeasured)
    assert value(first.straight.elbow) == pytest.approx(8, abs=2)
    assert value(first.bent.elbow) == pytest.approx(118, abs=2)


def test_postures_at_both_ends() -> None:
    for rep in push_ups(tempo()):
        assert value(rep.straight.elbow) == pytest.approx(8, abs=2)
        assert value(rep.bent.elbow) == pytest.approx(90, abs=2)
        assert rep.straight.body is not None
        assert rep.bent.body is not None
        assert value(rep.straight.body) > value(rep.bent.body)


def test_a_stop_a_drop_and_their_thirds() -> None:
    whole = curve(
        [REST, Piece(4, 82, "stop"), REST, Piece(1, -82), REST, Piece(4.5, 82, "drop"), REST, Piece(1, -82), REST], 8
    )
    stopped, dropped = (rep.lowering for rep in push_ups(whole))
    assert stopped is not None
    assert dropped is not None
    assert value(stopped.stops) == pytest.approx(1, abs=0.12)
    assert value(dropped.stops) < 0.05
    assert sum(stopped.thirds) == pytest.approx(1)
    assert dropped.thirds == pytest.approx((4 / 9, 4 / 9, 1 / 9), abs=0.04)


def test_setting_up_and_standing_up_are_no_reps() -> None:
    """The elbows bend and straighten on the way down to the floor and up again."""
    time = np.arange(0, 20, 1 / 30)
    elbow = blend(
        time, [(0, 5), (1, 80), (2, 5), (3, 80), (4.5, 8), (6, 8), (8, 90), (10, 8), (12, 90), (14, 8), (20, 8)]
    )
    held = push_up(time, elbow)
    upright = figure(time, Pose(5, 20, elbow), "left", "ankle", held[0, INDEX["left_ankle"]])
    share = blend(time, [(0, 0), (3, 0), (5, 1), (15, 1), (17, 0), (20, 0)])[:, None, None]
    seen = motion(time, upright * (1 - share) + held * share, PUSH_UP)
    found = reps_of(seen, PUSH_UP)
    assert [rep.status for rep in found if rep.status != "cut_off"] == ["whole", "whole"]


def negatives(movement: Movement) -> tuple[Motion, Movement]:
    """Dips lowered in 4 s; the elbows straighten again while the athlete climbs back up in 1.5 s."""
    whole = curve([REST, *[Piece(4, 80), Piece(0.5), Piece(1.5, -80), Piece(2)] * 3], start=8)
    time = whole.frames(30)
    elbow = whole.at(time)
    assert movement.reps is not None
    only = movement.model_copy(update={"reps": movement.reps.model_copy(update={"lowering_only": True})})
    joints = figure(time, Pose(15, -elbow / 3, elbow, 20, 60), "left", "wrist")
    return motion(time, joints, only), only


def test_a_lowering_only_set_has_no_raisings_and_no_pauses() -> None:
    found = reps_of(*negatives(DIP))
    assert [rep.status for rep in found] == ["whole"] * 3
    for rep in found:
        assert rep.raising is None
        assert rep.lowering is not None
        assert value(rep.lowering.duration) == pytest.approx(4, abs=0.1)
        # Between two lowerings lies the climb, which is no pause.
        assert isinstance(rep.top_pause, Unmeasured)
        assert isinstance(rep.bottom_pause, Unmeasured)


def test_a_climb_on_a_foot_is_no_raising() -> None:
    """Lowers from the bar, then steps on a box and pushes up with the legs: the feet stay, the knees open."""
    whole = curve([REST, Piece(4, -100), Piece(1), Piece(1.5, 100), Piece(1.5), Piece(4, -100), Piece(1.5)], start=110)
    time = whole.frames(30)
    noise = 0.2 * np.sin(2 * np.pi * 1.3 * time)  # a rest's turning point may lie anywhere in it
    elbow = whole.at(time)
    joints = figure(time, Pose(-3, 180 - elbow / 2, elbow + noise, 10, 40), "left", "wrist")
    stands = blend(time, [(0, 0), (5.2, 0), (5.7, 1), (7.8, 1), (8.3, 0), (15, 0)])[:, None]
    box = joints[int(np.searchsorted(time, 5.5)), INDEX["left_hip"]] + [0.1, 0.5]
    ankle = joints[:, INDEX["left_ankle"]] * (1 - stands) + box * stands
    found = reps_of(motion(time, stand_on(joints, ankle, "left"), PULL_UP), PULL_UP)
    assert [rep.raising for rep in found] == [None, None]
    assert [rep.status for rep in found] == ["whole", "whole"]
    hidden = motion(time, stand_on(joints, ankle, "left"), PULL_UP)
    hidden.visibility[:, [INDEX[f"{side}_knee"] for side in SIDES]] = 0.3
    hanging = motion(time, joints, PULL_UP)
    for other in (hidden, hanging):
        assert any(rep.raising is not None for rep in reps_of(other, PULL_UP))


def test_swing_is_the_hips_way_along_the_floor() -> None:
    whole = curve([REST, *[Piece(1, 110), Piece(0.5), Piece(2, -110), Piece(1)] * 2], start=8)
    time = whole.frames(30)
    elbow = whole.at(time)
    joints = figure(time, Pose(-3, 180 - elbow / 2, elbow, 10, 40), "left", "wrist")
    strict = reps_of(motion(time, joints, PULL_UP), PULL_UP)
    below = [INDEX[f"{side}_{name}"] for side in SIDES for name in ("hip", "knee", "ankle", "heel", "toe")]
    swung = joints.copy()
    swung[:, below, 0] += 0.15 * np.sin(2 * np.pi * 0.8 * time)[:, None]
    kipped = reps_of(motion(time, swung, PULL_UP), PULL_UP)
    assert len(strict) == len(kipped) == 2
    for tidy, wild in zip(strict, kipped, strict=True):
        assert tidy.raising is not None
        assert wild.raising is not None
        assert value(wild.raising.swing) > value(tidy.raising.swing) + 5


def test_a_rep_that_the_clip_cuts_off_has_no_duration() -> None:
    whole = tempo()
    time = whole.frames(30)
    time = time[time > 2]
    found = reps_of(motion(time, push_up(time, whole.at(time)), PUSH_UP), PUSH_UP)
    assert [rep.status for rep in found] == ["cut_off", "whole"]
    assert found[0].lowering is not None
    assert isinstance(found[0].lowering.duration, Unmeasured)
    assert "edge" in found[0].lowering.duration.reason
    assert found[0].raising is not None
    assert value(found[0].raising.duration) == pytest.approx(1, abs=0.1)


def test_durations_carry_an_uncertainty_that_holds_the_truth() -> None:
    for rate in (24.0, 60.0):
        for rep in push_ups(tempo(3), rate=rate):
            assert rep.lowering is not None
            duration = rep.lowering.duration
            assert isinstance(duration, Measured)
            assert abs(duration.value - 3) < duration.U95 < 0.3


def test_from_an_oblique_view_reps_are_counted_and_timed_but_show_no_angle() -> None:
    whole = tempo()
    time = whole.frames(30)
    tracks = body(time, push_up(time, whole.at(time)), yaw=50)
    seen = read_motion(tracks, PUSH_UP, still_phone(len(time)), AFAR, 1.0)
    found = reps_of(seen, PUSH_UP)
    assert [rep.status for rep in found] == ["whole", "whole"]
    assert found[0].lowering is not None
    assert value(found[0].lowering.duration) == pytest.approx(3, abs=0.1)
    assert isinstance(found[0].bent.elbow, Unmeasured)


def test_a_movement_that_is_only_held_has_no_reps() -> None:
    held = load_movement("handstand")
    time = np.arange(0, 4, 1 / 30)
    assert find_cycles(motion(time, figure(time, Pose(180, 180), "left", "wrist"), held), held) == []


def test_where_the_athlete_is_not_seen_there_are_no_reps() -> None:
    whole = tempo()
    time = whole.frames(30)
    seen = motion(time, push_up(time, whole.at(time)), PUSH_UP)
    gone = replace(seen, present=np.zeros(len(time), bool))
    assert find_cycles(gone, PUSH_UP) == []


def test_a_stroke_in_which_the_arm_is_lost_has_no_duration() -> None:
    whole = tempo(2)
    time = whole.frames(30)
    seen = motion(time, push_up(time, whole.at(time), "left"), PUSH_UP, "left")
    lost = (time > 2.0) & (time < 2.5)
    seen = replace(seen, sd={**seen.sd, "elbow": np.where(lost, 40.0, seen.sd["elbow"])})
    first, second = reps_of(seen, PUSH_UP)
    assert first.lowering is not None
    assert second.lowering is not None
    assert isinstance(first.lowering.duration, Unmeasured)
    assert "lost from sight" in first.lowering.duration.reason
    assert isinstance(first.bottom_pause, Unmeasured)
    assert isinstance(second.lowering.duration, Measured)


def test_ends_are_less_sure_where_the_body_sets_out_at_another_time() -> None:
    whole = tempo(2)
    time = whole.frames(30)
    late = np.interp(time - 0.4, time, whole.at(time))
    right = motion(time, push_up(time, whole.at(time), "left"), PUSH_UP, "left")
    torn = replace(right, angles={**right.angles, "elbow": late})
    sure, unsure = (reps_of(seen, PUSH_UP)[0].lowering for seen in (right, torn))
    assert sure is not None
    assert unsure is not None
    assert isinstance(sure.duration, Measured)
    assert isinstance(unsure.duration, Measured)
    assert sure.duration.U95 < 0.2
    assert unsure.duration.U95 > 0.4


def test_a_rep_cut_off_at_the_start_shows_its_straight_end_where_it_is_seen() -> None:
    """The clip begins halfway down; the arms are straight again at the end of the way up."""
    whole = curve([Piece(1.5, 40), Piece(1), Piece(1.5, -82), REST], start=50)
    time = whole.frames(30)
    (rep,) = reps_of(motion(time, push_up(time, whole.at(time)), PUSH_UP), PUSH_UP)
    assert rep.status == "cut_off"
    assert value(rep.straight.elbow) == pytest.approx(8, abs=4)
    assert value(rep.bent.elbow) == pytest.approx(90, abs=4)
