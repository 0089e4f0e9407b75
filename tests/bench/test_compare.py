"""The bench itself: nothing is left out, errors are what they are, targets are judged as written."""

from dataclasses import replace

import numpy as np
import pytest

from tests.bench.compare import compare, match
from tests.bench.events import Event, Value, of_document, of_truth
from tests.bench.made_up import angle, comparison
from tests.bench.targets import JOINT, LINE, TARGETS, Target, coverage, judge
from tests.bench.truth import Truth
from tests.by_hand import push_ups

TRUTH = Truth.model_validate(
    {
        "clip": "made-up.mp4",
        "movement": "push-up",
        "recipe": {"exercise": {"flare": 20.0}, "room": {"edges": True}},
        "athlete": {"height_cm": 180},
        "camera": {"roll": 0, "pitch": 2, "yaw": 4, "height": 0.5},
        "near_side": "left",
        "frames": {
            "joints": {f"{s}_{p}": {"m": [[0, 0, 0.4]]} for s in ("left", "right") for p in ("shoulder", "hip")}
        },
        "sets": [],
    }
)


def target(title: str) -> Target:
    return next(t for t in TARGETS if t.title == title)


def rep(start: float, end: float, lowering: float | None = 2.0, status: str = "whole") -> Event:
    return Event("rep", status, start, end, {"lowering": Value(lowering, 0.1)})


def test_reps_are_matched_by_overlap() -> None:
    expected = [rep(1, 4), rep(5, 8), rep(9, 12)]
    assert match(expected, [rep(5.1, 8.2), rep(8.9, 12)]) == {1: 0, 2: 1}
    assert match(expected, []) == {}
    assert match([rep(1, 4)], [Event("hold", "hold", 1, 4)]) == {}


def test_every_miscount_is_told() -> None:
    found = compare(TRUTH, [rep(1, 4), rep(5, 8, status="short")], [rep(5, 8), rep(9, 12)])
    assert found.whole == (1, 2)
    assert not found.counted
    assert len(found.faults) == 3  # one not found, one not there, one of another status


def test_errors_and_missing_values() -> None:
    found = compare(TRUTH, [rep(1, 4), rep(5, 8)], [rep(1, 4, lowering=2.03), rep(5, 8, lowering=None)])
    assert [c.error for c in found.comparisons] == pytest.approx([0.03, np.nan], nan_ok=True)
    row = judge(target("lowering"), found.comparisons)
    assert (row.program.count, row.program.missing) == (1, 1)
    assert row.program.median == pytest.approx(0.03)
    assert row.program.share == pytest.approx(0.03 / 0.12)
    assert row.kept


def test_every_value_of_a_truth_is_looked_for_under_the_name_that_a_document_gives_it() -> None:
    stroke = {"start": 1, "end": 2, "thirds": [0.3, 0.3, 0.4], "stops": 0.1, "swing": 2.0, "hip_range": 5.0}
    angles = {"body": 20, "trunk": 20, "legs": 20, "shoulder": 70, "elbow": 5, "hip": 0, "knee": 0}
    told = {
        "status": "whole", "start": 1, "end": 4, "lowering": stroke, "raising": stroke, "top_pause": 0.5,
        "bottom_pause": 0.5, "straight": angles, "bent": angles, "worst": {"hip": -4, "deviation": 3},
    }  # fmt: skip
    truth = Truth.model_validate({**dict(TRUTH), "sets": [{"start": 1, "end": 4, "reps": [told]}]})
    expected, measured = of_truth(truth)[0], of_document(push_ups())[0]
    assert len(expected.values) == 2 * 7 + 2 + 2 * 7 + 2
    assert set(expected.values) <= set(measured.values)


def test_view_decides_which_target_applies() -> None:
    assert TRUTH.good_view
    assert not TRUTH.model_copy(update={"camera": TRUTH.camera.model_copy(update={"yaw": 15})}).good_view
    assert TRUTH.model_copy(update={"camera": TRUTH.camera.model_copy(update={"yaw": 175})}).good_view


def test_each_quantity_belongs_to_one_kind() -> None:
    assert JOINT(comparison("bent.hip", 0, 1))
    assert not JOINT(comparison("worst.hip", 0, 1))
    assert not JOINT(comparison("standard.hip", 0, 1))
    assert LINE(comparison("posture.lean", 0, 1))


def test_coverage_and_width() -> None:
    row = judge(
        target("elbow: flare up to 30"), [angle(1, 2, "a"), angle(-1, 2, "a"), angle(1, 0.5, "b"), angle(-1, 2, "b")]
    )
    assert row.coverage is not None
    assert row.coverage.share == pytest.approx(0.75)
    assert row.coverage.width == pytest.approx(((4 * 3 + 0.25) / 4) ** 0.5)
    assert row.coverage.interval == pytest.approx((0.5, 1.0))  # only clip b drawn, only clip a drawn
    assert row.coverage.kept is None  # two clips tell nothing


@pytest.mark.parametrize(
    ("error", "stated", "kept"), [(1.0, 1.5, True), (1.0, 0.9, False), (1.0, 3.1, False)], ids=["fits", "small", "wide"]
)
def test_a_stated_uncertainty_must_hold_and_not_be_too_wide(error: float, stated: float, kept: bool) -> None:
    found = coverage([angle(error, stated, clip) for clip in "abcdefghijkl"])
    assert found is not None
    assert found.kept is kept


def test_a_missed_target_is_seen() -> None:
    assert judge(target("elbow: flare up to 30"), [angle(6.5, 8)] * 20).kept is False


def test_the_baseline_stands_beside_the_program() -> None:
    row = judge(target("hip"), [comparison("bent.hip", 1, 2)], [comparison("bent.hip", 5, None)])
    assert row.baseline is not None
    assert (row.program.median, row.baseline.median) == pytest.approx((1, 5))
    nothing = [replace(comparison("bent.hip", 0, None), value=None)]
    assert judge(target("hip"), [comparison("bent.hip", 1, 2)], nothing).baseline is None
