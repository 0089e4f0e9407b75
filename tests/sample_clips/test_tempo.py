"""The course of depth that a recipe asks for."""

import numpy as np
import pytest

from sample_clips.recipe import Exercise, Rep
from sample_clips.tempo import plan

REP = Rep(lowering=3.0, bottom=1.0, raising=2.0, top=0.5)


def test_a_lowering_only_push_up_goes_down_and_is_carried_up() -> None:
    course = plan(Exercise(movement="push-up", lowering_only=True, reps=(REP, REP)))
    assert [stroke.role for stroke in course.strokes] == ["lowering", "climb", "lowering"]
    assert [(stroke.depth_start, stroke.depth_end) for stroke in course.strokes] == [(0, 1), (1, 0), (0, 1)]


def test_a_lowering_only_pull_up_begins_at_the_top() -> None:
    course = plan(Exercise(movement="pull-up", lowering_only=True, reps=(REP,)))
    (lowering,) = course.strokes
    assert (lowering.depth_start, lowering.depth_end) == (1, 0)


def test_a_drop_spends_little_time_in_its_last_third() -> None:
    course = plan(Exercise(movement="squat", reps=(REP.model_copy(update={"profile": "drop"}),)))
    lowering = course.strokes[0]
    time = np.linspace(lowering.start, lowering.end, 2000)
    last_third = time[course.at(time) > 2 / 3]
    assert np.ptp(last_third) < 0.2 * (lowering.end - lowering.start)


def test_a_cut_beginning_starts_within_the_stroke() -> None:
    whole = Exercise(movement="dip", lead_in=1.0, reps=(REP, REP))
    course = plan(whole.model_copy(update={"start_cut": 2.0}))
    assert course.strokes[0].start == pytest.approx(-1.0)
    assert 0 < course.depth[0] < 1
