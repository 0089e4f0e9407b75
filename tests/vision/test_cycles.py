from collections.abc import Sequence

import numpy as np
import pytest
from numpy.typing import NDArray

from models.movements.movement import Reps
from tests.vision.curves import Curve, Piece, Shape, Stroke, common_v, curve
from vision.cycles import Cycle, find_strokes, pair, turning_points

Array = NDArray[np.float64]

PUSH_UP = Reps(driving="elbow", lowering="grows", first="lowering", straight=10, bent=90)
PULL_UP = Reps(driving="elbow", lowering="falls", first="raising", straight=10, bent=120)
DOWN_ONLY = PUSH_UP.model_copy(update={"lowering_only": True})
PULL_UP_DOWN_ONLY = PULL_UP.model_copy(update={"lowering_only": True})

REST = Piece(1.0)


def cycles(whole: Curve, reps: Reps, *, rate: float = 30.0, varies: bool = False, noise: float = 0.0) -> list[Cycle]:
    frames = whole.frames(rate, varies=varies)
    return of_frames(frames, whole.at(frames, noise), reps)


def of_frames(frames: Array, angle: Array, reps: Reps) -> list[Cycle]:
    """As the clip's reps are found; a lowering-only set has its raisings taken out first."""
    strokes = find_strokes(frames, angle, reps)
    if reps.lowering_only:
        strokes = [stroke for stroke in strokes if stroke.kind == "lowering"]
    return pair(strokes, reps, (float(frames[0]), float(frames[-1])), stays=True)


def statuses(found: Sequence[Cycle]) -> list[str]:
    return [cycle.status for cycle in found]


def down_up(lowering: Piece, raising: Piece, pause: Piece = REST, count: int = 1, start: float = 8.0) -> Curve:
    """So many reps, each lowering, pause, raising, with a second's rest before and after each."""
    return curve([REST, *[lowering, pause, raising, REST] * count], start)


def expected_pair(whole: Curve, turns: tuple[float, float, float]) -> tuple[Stroke, Stroke]:
    """Both strokes of a rep between three turning points, with their common v."""
    v = common_v([whole.stroke(*turns[:2]), whole.stroke(*turns[1:])])
    return whole.stroke(*turns[:2], v), whole.stroke(*turns[1:], v)


@pytest.mark.parametrize(
    ("series", "expected"),
    [
        ([0, 1, 5, 10, 8, 3, 0, 1], [0, 3, 6]),
        ([0, 10, 9, 10.5, 9, 0], [0, 3, 5]),
        ([10, 5, 0, 5, 10], [0, 2, 4]),
        ([0, 1, 0, 2, 1], []),
        ([5, 5, 5], []),
    ],
    ids=["hill", "a dent is no turn", "valley", "too small", "flat"],
)
def test_turning_points(series: list[float], expected: list[int]) -> None:
    assert turning_points(np.array(series, dtype=float), 4.0) == expected


def test_turning_points_alternate_and_lie_apart() -> None:
    walk = np.cumsum(np.random.default_rng(1).normal(size=3000))
    points = turning_points(walk, 5.0)
    steps = np.diff(walk[points])
    assert len(points) > 10
    assert (np.abs(steps) >= 5.0).all()
    assert (steps[:-1] * steps[1:] < 0).all()


@pytest.mark.parametrize("shape", ["even", "smooth", "stop", "drop"])
@pytest.mark.parametrize(("rate", "varies"), [(24.0, False), (30.0, True), (60.0, False)])
@pytest.mark.parametrize("noise", [0.0, 0.3])
def test_a_rep_by_the_definition(shape: Shape, rate: float, noise: float, *, varies: bool) -> None:
    whole = down_up(Piece(3, 84, shape), Piece(1.2, -84, "smooth"))
    found = cycles(whole, PUSH_UP, rate=rate, varies=varies, noise=noise)
    assert statuses(found) == ["whole"]
    lowering, raising = found[0].lowering, found[0].raising
    assert lowering is not None
    assert raising is not None
    down, up = expected_pair(whole, (1.0, 4.5, 6.2))
    within = 0.12 if noise else 0.045
    assert lowering.bounds.start == pytest.approx(down.start, abs=within)
    assert lowering.bounds.end == pytest.approx(down.end, abs=within)
    assert raising.bounds.start == pytest.approx(up.start, abs=within)
    assert raising.bounds.end == pytest.approx(up.end, abs=within)
    assert found[0].v == lowering.v == raising.v == pytest.approx(common_v([down, up]), rel=0.05)


def test_every_rep_of_a_set_is_found() -> None:
    found = cycles(down_up(Piece(2, 80), Piece(1, -80), count=6), PUSH_UP, noise=0.3)
    assert statuses(found) == ["whole"] * 6


def test_without_pauses_strokes_meet() -> None:
    whole = curve(
        [REST, Piece(2, 80, "smooth"), Piece(2, -80, "smooth"), Piece(2, 80, "smooth"), Piece(2, -80, "smooth"), REST]
    )
    found = cycles(whole, PUSH_UP)
    assert statuses(found) == ["whole", "whole"]
    for cycle in found:
        assert cycle.lowering is not None
        assert cycle.raising is not None
        assert 0 <= cycle.raising.bounds.start - cycle.lowering.bounds.end < 0.15


def test_pauses_that_creep_are_pauses() -> None:
    creep = Piece(2.0, 2.5)
    whole = curve(
        [REST, Piece(3, 80), creep, Piece(1.5, -82), Piece(2.0, -2.0), Piece(3, 82), creep, Piece(1.5, -82), REST]
    )
    found = cycles(whole, PUSH_UP)
    assert statuses(found) == ["whole", "whole"]
    for cycle, start in zip(found, (4.0, 12.5), strict=True):
        assert cycle.lowering is not None
        assert cycle.raising is not None
        assert cycle.lowering.bounds.end == pytest.approx(start, abs=0.06)
        assert cycle.raising.bounds.start == pytest.approx(start + 2, abs=0.06)


def test_raising_comes_first_in_a_pull_up() -> None:
    whole = curve([REST, *[Piece(1, 100), Piece(0.5), Piece(3, -100), REST] * 3], start=10)
    found = cycles(whole, PULL_UP)
    assert statuses(found) == ["whole"] * 3
    for cycle in found:
        assert [stroke.kind for stroke in cycle.strokes] == ["raising", "lowering"]
        assert cycle.lowering is not None
        assert cycle.lowering.bounds.end - cycle.lowering.bounds.start == pytest.approx(3, abs=0.1)


@pytest.mark.parametrize(
    ("share", "status"), [(0.15, None), (0.3, "short"), (0.45, "short"), (0.6, "whole"), (1.1, "whole")]
)
@pytest.mark.parametrize("reps", [PUSH_UP, PULL_UP], ids=["push-up", "pull-up"])
def test_how_much_of_the_range_makes_a_rep(reps: Reps, share: float, status: str | None) -> None:
    there = share * reps.range
    whole = curve([REST, Piece(1.5, there), REST, Piece(1.5, -there), REST], start=10)
    assert statuses(cycles(whole, reps)) == ([] if status is None else [status])


def test_a_raise_that_turns_back_is_a_failed_rep() -> None:
    """The last rep: down, a third of the way up, down again, and a rest on the floor."""
    whole = curve([REST, Piece(2, 80), Piece(1.5, -80), REST, Piece(2, 80), Piece(1.5, -28), Piece(1, 28), Piece(2)], 8)
    found = cycles(whole, PUSH_UP)
    assert statuses(found)[:2] == ["whole", "failed"]
    assert statuses(found).count("whole") == 1


def test_a_whole_rep_is_one_though_its_range_is_larger_than_asked() -> None:
    assert statuses(cycles(down_up(Piece(2, 130), Piece(2, -130)), PUSH_UP)) == ["whole"]


@pytest.mark.parametrize("cut", [1.3, 2.0])
def test_a_lowering_under_way_when_the_clip_begins_is_cut_off(cut: float) -> None:
    whole = down_up(Piece(2.5, 82), Piece(1.2, -82), count=2)
    frames = whole.frames(30)
    frames = frames[frames > cut]
    found = of_frames(frames, whole.at(frames), PUSH_UP)
    assert statuses(found) == ["cut_off", "whole"]


@pytest.mark.parametrize("left", [1.5, 2.4])
def test_a_lowering_under_way_when_the_clip_ends_is_cut_off(left: float) -> None:
    whole = down_up(Piece(2.5, 82), Piece(1.2, -82), count=2)
    second = 1 + 2.5 + 1 + 1.2 + 1
    frames = whole.frames(30)
    frames = frames[frames < second + left]
    assert statuses(of_frames(frames, whole.at(frames), PUSH_UP)) == ["whole", "cut_off"]


def test_a_clip_that_ends_in_the_bottom_pause_cuts_the_rep_off() -> None:
    whole = curve([REST, Piece(2, 80), Piece(0.5)])
    assert statuses(cycles(whole, PUSH_UP)) == ["cut_off"]


def test_a_raising_under_way_when_the_clip_ends_is_cut_off() -> None:
    whole = down_up(Piece(2, 80), Piece(2, -80))
    frames = whole.frames(30)
    frames = frames[frames < 1 + 2 + 1 + 1.4]
    assert statuses(of_frames(frames, whole.at(frames), PUSH_UP)) == ["cut_off"]


def test_the_tail_of_a_rep_at_the_clips_beginning_is_cut_off() -> None:
    """The clip begins while the athlete rises: only the end of a rep is seen."""
    whole = down_up(Piece(2, 80), Piece(2, -80), count=2)
    frames = whole.frames(30)
    frames = frames[frames > 1 + 2 + 1 + 0.5]
    assert statuses(of_frames(frames, whole.at(frames), PUSH_UP)) == ["cut_off", "whole"]


def test_standing_up_after_the_last_rep_of_a_pull_up_is_no_rep() -> None:
    """A raising after the last lowering that is never lowered again."""
    whole = curve([REST, Piece(1, 100), Piece(3, -100), REST, Piece(1, 60), Piece(3)], start=10)
    assert [status for status in statuses(cycles(whole, PULL_UP)) if status == "whole"] == ["whole"]


@pytest.mark.parametrize(("reps", "sign"), [(DOWN_ONLY, 1), (PULL_UP_DOWN_ONLY, -1)], ids=["push-up", "pull-up"])
def test_every_lowering_of_a_lowering_only_set_is_a_rep(reps: Reps, sign: int) -> None:
    there = sign * reps.range
    whole = curve([REST, *[Piece(4, there), REST, Piece(1.5, -there), REST] * 4], start=10 if sign > 0 else 120)
    found = cycles(whole, reps)
    assert statuses(found) == ["whole"] * 4
    assert all(cycle.raising is None for cycle in found)
    assert all(cycle.lowering is not None and cycle.lowering.kind == "lowering" for cycle in found)


def test_the_last_lowering_of_a_lowering_only_set_needs_no_rest_behind_it() -> None:
    whole = curve([REST, Piece(4, 80), Piece(0.5)], start=10)
    assert statuses(cycles(whole, DOWN_ONLY)) == ["whole"]


def test_a_driving_angle_that_grows_downward_from_below_zero() -> None:
    """A lever lowered from above: the body line turns from -80 to 0."""
    lever = Reps(driving="body", lowering="grows", first="lowering", straight=-70, bent=0)
    whole = curve([REST, Piece(5, 80), Piece(2), Piece(2, -80), REST], start=-80)
    found = cycles(whole, lever)
    assert statuses(found) == ["whole"]
    assert [stroke.kind for stroke in found[0].strokes] == ["lowering", "raising"]


def test_a_still_angle_has_no_reps() -> None:
    assert cycles(curve([Piece(10.0, 5.0)]), PUSH_UP, noise=0.3) == []


@pytest.mark.parametrize("further", [-15.0, -30.0])
def test_what_the_arms_do_before_and_after_a_set_is_no_part_of_a_stroke(further: float) -> None:
    """Hanging dead before the set and after it, with the arms straighter than between reps."""
    gentle = Piece(1.0, further, "smooth")
    rep = [Piece(1, 100), Piece(0.5), Piece(2, -100), REST]
    inner = [REST, *rep * 2]
    whole = curve([REST, Piece(1.0, -further, "smooth"), *inner, gentle, REST], start=20 + further)
    found = cycles(whole, PULL_UP)
    assert statuses(found) == ["whole", "whole"]
    first, last = found[0].raising, found[1].lowering
    assert first is not None
    assert last is not None
    assert first.bounds.start == pytest.approx(3, abs=0.06)
    assert last.bounds.end == pytest.approx(11, abs=0.06)


@pytest.mark.parametrize(
    ("degrees", "last"), [(45.0, []), (75.0, ["cut_off"])], ids=["comes out", "as far as the others"]
)
def test_a_last_way_down_that_rests_short_of_the_others_is_no_rep(degrees: float, last: list[str]) -> None:
    sets = [REST, *[Piece(2.0, 80.0), REST, Piece(1.0, -80.0), REST] * 2]
    found = cycles(curve([*sets, Piece(1.0, degrees), REST], 8.0), PUSH_UP)
    assert statuses(found) == ["whole", "whole", *last]


def test_a_last_way_down_that_is_still_moving_is_a_rep_cut_off() -> None:
    sets = [REST, *[Piece(2.0, 80.0), REST, Piece(1.0, -80.0), REST] * 2]
    frames = curve([*sets, Piece(1.0, 80.0)], 8.0).frames(30)
    angle = curve([*sets, Piece(1.0, 80.0)], 8.0).at(frames)
    kept = frames < frames[-1] - 0.5
    assert statuses(of_frames(frames[kept], angle[kept], PUSH_UP)) == ["whole", "whole", "cut_off"]


@pytest.mark.parametrize("at", [0.1, 2.0, 9.9], ids=["at the start", "within a stroke", "at the end"])
def test_a_leap_of_the_landmarks_is_no_stroke(at: float) -> None:
    """Sixty degrees away and back again within a tenth of a second."""
    whole = down_up(Piece(3, 80), Piece(2, -80), Piece(3))
    frames = whole.frames(60)
    leap = np.interp(np.abs(frames - at), [0.0, 0.05], [60.0, 0.0])
    found = of_frames(frames, whole.at(frames) + leap, PUSH_UP)
    assert statuses(found) == ["whole"]


def test_leaps_alone_are_no_rep() -> None:
    frames = np.arange(0, 6, 1 / 60)
    angle = 8 + np.interp(np.abs(frames - 3), [0.0, 0.05], [60.0, 0.0])
    assert of_frames(frames, angle, PUSH_UP) == []
