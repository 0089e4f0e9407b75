"""The bench itself: nothing is left out, errors are what they are, targets are judged as written."""

from dataclasses import replace

import numpy as np
import pytest

from tests.bench.compare import Comparison, compare, match
from tests.bench.events import Event, Value
from tests.bench.targets import TARGETS, judge
from tests.bench.truth import Truth
from tests.bench.verdicts import tally

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
    row = judge(next(t for t in TARGETS if t.title == "lowering"), found.comparisons)
    assert (row.count, row.missing) == (1, 1)
    assert row.median == pytest.approx(0.03)
    assert row.share == pytest.approx(0.03 / 0.12)
    assert row.kept


def test_view_decides_which_target_applies() -> None:
    assert TRUTH.good_view
    assert not TRUTH.model_copy(update={"camera": TRUTH.camera.model_copy(update={"yaw": 15})}).good_view
    assert TRUTH.model_copy(update={"camera": TRUTH.camera.model_copy(update={"yaw": 175})}).good_view


def angle(error: float, U95: float, clip: str = "a") -> Comparison:  # noqa: N803
    return Comparison(clip, "rep 1", "bent.elbow", 90, 90 + error, U95, good_view=True, edges=True, flare=20)


def test_coverage_and_width() -> None:
    comparisons = [angle(1, 2, "a"), angle(-1, 2, "a"), angle(1, 0.5, "b"), angle(-1, 2, "b")]
    row = judge(next(t for t in TARGETS if t.title == "elbow: flare <= 30"), comparisons)
    assert row.coverage == pytest.approx(0.75)
    assert row.width == pytest.approx(((4 * 3 + 0.25) / 4) ** 0.5)
    assert row.coverage_interval[0] == pytest.approx(0.5)  # only clip b drawn
    assert row.coverage_interval[1] == pytest.approx(1.0)  # only clip a drawn


def test_a_missed_target_is_seen() -> None:
    row = judge(next(t for t in TARGETS if t.title == "elbow: flare <= 30"), [angle(6.5, 8)] * 20)
    assert row.kept is False


def test_verdicts() -> None:
    honest = tally([angle(0.0, 1.0)])
    assert honest.wrong == 0
    assert honest.unsure_past == 0
    blind = tally([replace(angle(0, 1), value=None)])
    assert blind.wrong == 0
    assert blind.unsure_past == blind.past > 0
    boastful = tally([angle(10.0, 0.1)])
    assert boastful.wrong > 0
    assert boastful.wrong_beyond > 0
