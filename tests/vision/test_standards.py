"""Standards of figures whose every point is known, through lenses that stand where phones stand."""

from dataclasses import replace
from typing import get_args

import numpy as np
import pytest
from numpy.typing import NDArray

from models.checks import check, value_of
from models.document import Rep, Side, Standard
from models.limit import Limit
from models.movements import Movement, load_movement, movement_names
from models.movements.standard import HIP_CREASE, KNEE_TOP, BodyPoint, End, StandardEntry, Support
from models.quantity import Measured, Unmeasured
from tests.vision.bodies import LENGTH, TALL, Pose, blend, figure, push_up
from tests.vision.lens import Lens, filmed
from vision.body_points import SHARES
from vision.motion import Motion
from vision.propagate import propagate
from vision.reps import describe, find_cycles
from vision.sight import Sight, Span, points, sight
from vision.skeleton import INDEX
from vision.standards import measure_standards, reached, without_standards

Array = NDArray[np.float64]

TIME = np.arange(0, 2, 1 / 30)
MOMENT, WHOLE = (0.9, 1.1), (0.0, 2.0)
MOMENTS: dict[End, Span] = {"straight": MOMENT, "bent": MOMENT}
NEAR: tuple[Side, Side] = ("left", "right")
LENSES = [Lens(), Lens(2.5, 0.2, pitch=22), Lens(5, 1.7, pitch=-6)]
BAR = -2.2
"""Metres down from the ground: 2.2 over it."""


def entry(name: str, movement: str) -> StandardEntry:
    return next(each for each in load_movement(movement).standards if each.name == name)


def only(*entries: StandardEntry, movement: str) -> Movement:
    return load_movement(movement).model_copy(update={"standards": entries})


def measured(seen: Motion, each: StandardEntry, lens: Lens) -> Measured:
    (found,) = measure_standards(seen, only(each, movement="push-up"), lens.level, MOMENTS, WHOLE)
    assert found.name == each.name
    assert isinstance(found.distance, Measured)
    return found.distance


def joint(joints: Array, name: str, near: Side) -> Array:
    """Joint (2,) in heights, ahead and up, at the middle of the clip."""
    place = joints[len(TIME) // 2, INDEX[name if name == "nose" else f"{near}_{name}"]]
    return np.asarray(place * [1 if near == "right" else -1, -1] / TALL)


def with_face(joints: Array, near: Side, nod: float = 0.0) -> Array:
    """The figure with a face of people's proportions, nodding by `nod` degrees against the trunk."""
    faced = joints.copy()
    trunk = joints[:, INDEX[f"{near}_shoulder"]] - joints[:, INDEX[f"{near}_hip"]]
    crown = trunk / np.linalg.norm(trunk, axis=1, keepdims=True)
    ahead = np.stack([-crown[:, 1], crown[:, 0]], axis=1) * (1 if near == "right" else -1)
    turn = np.radians(nod)
    ahead, crown = (
        np.cos(turn) * ahead - np.sin(turn) * crown,
        np.cos(turn) * crown + np.sin(turn) * ahead,
    )
    ear = joints[:, INDEX[f"{near}_shoulder"]] + TALL * 0.107 * crown
    for side in NEAR:
        faced[:, INDEX[f"{side}_ear"]] = ear
    faced[:, INDEX["nose"]] = ear + TALL * (0.071 * ahead - 0.0125 * crown)
    return faced


def face(joints: Array, near: Side, ahead: float, up: float) -> Array:
    """The point (2,) of the face so far ahead of the ear and above it, in heights, by turning the line to the nose."""
    ear, nose = joint(joints, "ear", near), joint(joints, "nose", near)
    tilt = np.arctan2(*(nose - ear)[::-1]) - np.arctan2(-0.0125, 0.071)
    return np.asarray(ear + [np.cos(tilt) * ahead - np.sin(tilt) * up, np.sin(tilt) * ahead + np.cos(tilt) * up])


def pulled_up(near: Side, elbow: float = 125.0, nod: float = 0.0) -> Array:
    pose = Pose(-4, 180 - elbow / 2, elbow, 8, 60)
    return with_face(figure(TIME, pose, near, "wrist", (0.0, BAR)), near, nod)


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", LENSES)
@pytest.mark.parametrize(("elbow", "nod"), [(140.0, 0.0), (120.0, -20.0), (90.0, 15.0)])
def test_chin_over_bar(near: Side, lens: Lens, elbow: float, nod: float) -> None:
    """The chin lies .047 ahead of the ear and .058 below it (Farkas 1994, from memory); the bar .048 beyond the wrist."""
    joints = pulled_up(near, elbow, nod)
    chin = face(joints, near, 0.047, -0.058)
    hand = joint(joints, "index", near) - joint(joints, "wrist", near)
    bar = joint(joints, "wrist", near) + 0.048 * hand / np.linalg.norm(hand)
    found = measured(
        filmed(TIME, joints, load_movement("pull-up"), near, lens), entry("chin-over-bar", "pull-up"), lens
    )
    assert found.unit == "% of height"
    assert found.value == pytest.approx(100 * (chin - bar)[1], abs=0.6)
    assert 3 < found.U95 < 15


def test_a_chin_that_rises_rises_by_as_much_in_the_standard() -> None:
    lens = LENSES[1]
    values = []
    for lift in (0.0, 0.1):
        joints = pulled_up("left")
        joints[:, [INDEX[name] for name in ("nose", "left_ear", "right_ear")], 1] -= lift
        seen = filmed(TIME, joints, load_movement("pull-up"), "left", lens)
        values.append(measured(seen, entry("chin-over-bar", "pull-up"), lens).value)
    assert values[1] - values[0] == pytest.approx(100 * 0.1 / TALL, rel=0.02)


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", LENSES)
def test_chest_to_bar_of_a_row(near: Side, lens: Lens) -> None:
    """A level body under a bar: the gap is what lies between the chest's front and the hand above it."""
    joints = figure(TIME, Pose(-90, 10, 100, 0, 0), near, "ankle", (0.0, -0.4))
    shoulder, hip, wrist = (joint(joints, name, near) for name in ("shoulder", "hip", "wrist"))
    hand = joint(joints, "index", near) - wrist
    bar = wrist + 0.048 * hand / np.linalg.norm(hand)
    assert shoulder[1] == pytest.approx(hip[1])
    along = (bar - shoulder) @ (hip - shoulder) / np.linalg.norm(hip - shoulder) ** 2
    expected = -(bar[1] - shoulder[1] - SHARES["chest_depth"])
    if not 0 <= along <= SHARES["chest_down"]:
        end = shoulder + np.clip(along, 0, SHARES["chest_down"]) * (hip - shoulder) + [0, SHARES["chest_depth"]]
        expected = -float(np.linalg.norm(bar - end))
    found = measured(filmed(TIME, joints, load_movement("row"), near, lens), entry("chest-to-bar", "row"), lens)
    assert found.value == pytest.approx(100 * expected, abs=0.6)


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", LENSES)
@pytest.mark.parametrize("elbow", [20.0, 95.0])
def test_chest_to_floor_of_a_push_up(near: Side, lens: Lens, elbow: float) -> None:
    joints = push_up(TIME, elbow, near)
    shoulder, hip, wrist = (joint(joints, name, near) for name in ("shoulder", "hip", "wrist"))
    trunk = (shoulder - hip) / np.linalg.norm(shoulder - hip)
    belly = np.array([trunk[1], -trunk[0]])
    ends = [shoulder - share * (shoulder - hip) + 0.068 * belly for share in (0, 0.28)]
    expected = (wrist[1] - 0.026) - min(end[1] for end in ends)
    found = measured(
        filmed(TIME, joints, load_movement("push-up"), near, lens), entry("chest-to-floor", "push-up"), lens
    )
    assert found.value == pytest.approx(100 * expected, abs=0.6)
    assert found.value < 0


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("depth", [80.0, 110.0, 130.0])
def test_hip_crease_below_the_knee(near: Side, depth: float) -> None:
    lens = LENSES[1]
    joints = figure(TIME, Pose(35, 80, 0, depth, depth - 10), near, "ankle", (0.0, -0.07))
    shoulder, hip, knee, ankle = (joint(joints, name, near) for name in ("shoulder", "hip", "knee", "ankle"))

    def forward(v: Array) -> Array:
        return np.array([v[1], -v[0]]) / np.linalg.norm(v)

    both = forward(shoulder - hip) + forward(hip - knee)
    crease = hip + HIP_CREASE * both / np.linalg.norm(both)
    top = knee + KNEE_TOP * (knee - ankle) / np.linalg.norm(knee - ankle)
    found = measured(
        filmed(TIME, joints, load_movement("squat"), near, lens), entry("crease-below-knee", "squat"), lens
    )
    assert found.value == pytest.approx(100 * (top - crease)[1], abs=0.7)


def test_a_deeper_squat_reaches_further() -> None:
    def reach(depth: float) -> float:
        joints = figure(TIME, Pose(35, 80, 0, depth, depth - 10), "left", "ankle", (0.0, -0.07))
        seen = filmed(TIME, joints, load_movement("squat"))
        return measured(seen, entry("crease-below-knee", "squat"), LENSES[0]).value

    assert reach(80) < reach(100) < 0 < reach(150)


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("elbow", [30.0, 100.0])
def test_shoulders_below_the_elbows(near: Side, elbow: float) -> None:
    lens = LENSES[2]
    joints = figure(TIME, Pose(20, -elbow / 2, elbow, 30, 70), near, "wrist", (0.0, -1.2))
    expected = (joint(joints, "elbow", near) - joint(joints, "shoulder", near))[1]
    found = measured(filmed(TIME, joints, load_movement("dip"), near, lens), entry("shoulder-below-elbow", "dip"), lens)
    assert found.value == pytest.approx(100 * expected, abs=0.6)


@pytest.mark.parametrize("near", NEAR)
@pytest.mark.parametrize("lens", LENSES)
@pytest.mark.parametrize("nod", [0.0, -35.0])
def test_head_to_the_floor_upside_down(near: Side, lens: Lens, nod: float) -> None:
    """The skull is a ball whose crown lies .075 above the ear and whose length is .112 (ANSUR, from memory)."""
    joints = with_face(figure(TIME, Pose(180, 120, 100), near, "wrist"), near, nod)
    middle = face(joints, near, 0.0355 - 0.0255, -0.00625 + 0.026)
    expected = (joint(joints, "wrist", near)[1] - 0.026) - (middle[1] - 0.056)
    each = entry("head-to-floor", "handstand-push-up")
    found = measured(filmed(TIME, joints, load_movement("handstand-push-up"), near, lens), each, lens)
    assert found.value == pytest.approx(100 * expected, abs=0.6)


AT = {
    "ear": np.array([0.01, 0.925]), "nose": np.array([0.081, 0.9125]), "shoulder": np.array([0.0, 0.818]),
    "elbow": np.array([0.0, 0.632]), "wrist": np.array([0.0, 0.486]), "index": np.array([0.0, 0.43]),
    "hip": np.array([0.0, 0.53]), "knee": np.array([0.0, 0.285]), "ankle": np.array([0.0, 0.039]),
    "heel": np.array([-0.03, 0.0]), "toe": np.array([0.11, 0.0]),
}  # fmt: skip


def standing(point: BodyPoint, way: str, reference: Support | BodyPoint) -> float:
    each = StandardEntry.model_validate(
        {"name": "it", "title": "It", "point": point, "way": way, "reference": reference, "end": "bent"}
    )
    return reached(each, AT, SHARES | {"hip_forward": 0.0})


def test_above_and_below_are_opposite_but_for_the_head_s_size() -> None:
    assert standing("shoulder", "above", "elbow") == pytest.approx(0.186)
    assert standing("shoulder", "below", "elbow") == pytest.approx(-0.186)
    assert standing("head", "above", "shoulder") == pytest.approx(1 - 0.112 - 0.818, abs=0.004)
    assert standing("head", "below", "shoulder") == pytest.approx(0.818 - 1, abs=0.004)


def test_what_stands_is_measured_from_the_soles() -> None:
    """Heights over the floor of Drillis & Contini 1966."""
    for point, height in (("hip", 0.53), ("knee", 0.285), ("shoulder", 0.818)):
        assert standing(point, "above", "soles") == pytest.approx(height)  # type: ignore[arg-type]
        assert standing(point, "touching", "soles") == pytest.approx(-height)  # type: ignore[arg-type]


def test_the_chest_passes_the_bar_when_the_bar_would_lie_inside() -> None:
    entry_ = StandardEntry(name="it", title="It", point="chest", way="touching", reference="grip", end="bent")
    shares = SHARES | {"hip_forward": 0.0, "grip": 0.0}
    for ahead, expected in ((0.168, -0.1), (0.068, 0.0), (0.048, 0.02)):
        bar = {"wrist": np.array([ahead, 0.78]), "index": np.array([ahead, 0.80])}
        assert reached(entry_, AT | bar, shares) == pytest.approx(expected)
    over = {"wrist": np.array([0.068, 0.918]), "index": np.array([0.068, 0.95])}
    assert reached(entry_, AT | over, shares) == pytest.approx(-0.1)


def test_every_point_and_support_can_be_measured() -> None:
    for point in get_args(BodyPoint):
        for reference in (*get_args(Support), "knee"):
            if point != reference:
                assert np.isfinite(standing(point, "above", reference))


def refused(seen: Motion, movement: str, name: str) -> str:
    found = measure_standards(seen, load_movement(movement), LENSES[0].level, MOMENTS, WHOLE)
    (distance,) = (each.distance for each in found if each.name == name)
    assert isinstance(distance, Unmeasured)
    return distance.reason


def test_no_value_from_an_oblique_view() -> None:
    seen = filmed(TIME, pulled_up("left"), load_movement("pull-up"), yaw=60)
    assert "film from the side" in refused(seen, "pull-up", "chin-over-bar")


@pytest.mark.parametrize(
    ("hidden", "name", "word"),
    [("left_ear", "chin-over-bar", "ear"), ("left_index", "chest-to-bar", "hand"), ("left_hip", "chest-to-bar", "hip")],
)
def test_no_value_where_a_landmark_is_hidden(hidden: str, name: str, word: str) -> None:
    seen = filmed(TIME, pulled_up("left"), load_movement("pull-up"), hidden=(hidden,))
    assert refused(seen, "pull-up", name) == f"the {word} is hidden from the lens"


def test_a_hidden_landmark_costs_only_the_standards_that_need_it() -> None:
    seen = filmed(TIME, pulled_up("left"), load_movement("pull-up"), hidden=("left_hip", "left_ankle"))
    assert measured(seen, entry("chin-over-bar", "pull-up"), LENSES[0]).U95 > 0


def test_a_hand_that_is_hidden_for_a_moment_is_known_from_the_rest_of_the_set() -> None:
    seen = filmed(TIME, pulled_up("left"), load_movement("pull-up"))
    now = (seen.time >= MOMENT[0]) & (seen.time <= MOMENT[1])
    visibility = seen.visibility.copy()
    visibility[now, INDEX["left_wrist"]] = 0.1
    measured(replace(seen, visibility=visibility), entry("chest-to-bar", "pull-up"), LENSES[0])


def test_no_chin_of_a_face_turned_to_the_lens() -> None:
    joints = pulled_up("left")
    for side in NEAR:
        joints[:, INDEX[f"{side}_ear"]] = joints[:, INDEX["nose"]] + [0.02, 0.0]
    seen = filmed(TIME, joints, load_movement("pull-up"))
    assert "face is turned" in refused(seen, "pull-up", "chin-over-bar")
    measured(seen, entry("chest-to-bar", "pull-up"), LENSES[0])


def draws(seen: Sight, each: StandardEntry, count: int = 3000) -> Array:
    """The standard for inputs drawn from their uncertainties: Monte Carlo, JCGM 101:2008."""
    inputs = np.random.default_rng(4).normal(seen.value, seen.u, (count, len(seen.u)))
    return np.array([100 * reached(each, points(seen.eye, seen.named(x)), seen.named(x)) for x in inputs])


@pytest.mark.parametrize(
    ("name", "movement"), [("chin-over-bar", "pull-up"), ("chest-to-bar", "pull-up"), ("crease-below-knee", "squat")]
)
def test_the_uncertainty_is_that_of_a_monte_carlo(name: str, movement: str) -> None:
    lens, each = LENSES[1], entry(name, movement)
    seen = sight(filmed(TIME, pulled_up("left"), load_movement("pull-up"), "left", lens), lens.level, MOMENT, WHOLE)
    _, u = propagate(lambda x: 100 * reached(each, points(seen.eye, seen.named(x)), seen.named(x)), seen.value, seen.u)
    assert u == pytest.approx(np.std(draws(seen, each)), rel=0.08)


def test_a_low_near_lens_is_less_sure_of_a_bar_than_a_level_far_one() -> None:
    """The width of the grip is not known; seen from below it moves the bar against the chin."""
    wide = []
    for lens in (Lens(2.2, 0.1, pitch=25), Lens(5, 2.0)):
        seen = filmed(TIME, pulled_up("left"), load_movement("pull-up"), "left", lens)
        wide.append(measured(seen, entry("chin-over-bar", "pull-up"), lens).U95)
    assert wide[0] > 1.3 * wide[1]


def reps_of(cut: float = 0.0) -> list[Rep]:
    """Two pull-ups, the second a little lower; the clip ends `cut` seconds early."""
    time = np.arange(0, 13 - cut, 1 / 30)
    elbow = blend(time, [(0, 8), (1, 8), (2, 125), (3, 125), (6, 8), (7, 8), (8, 115), (9, 115), (12, 8), (13, 8)])
    joints = with_face(figure(time, Pose(-3, 180 - elbow / 2, elbow, 10, 40), "left", "wrist", (0.0, BAR)), "left")
    lens, movement = LENSES[1], load_movement("pull-up")
    seen = filmed(time, joints, movement, "left", lens)
    return describe(seen, movement, lens.level, find_cycles(seen, movement))


def test_each_rep_has_the_movement_s_standards_and_a_limit_finds_them() -> None:
    first, second = reps_of()
    for rep in (first, second):
        assert [each.name for each in rep.standards] == [each.name for each in load_movement("pull-up").standards]
        for each in rep.standards:
            assert value_of(rep, f"standards.{each.name}") == each.distance
    higher, lower = (value_of(rep, "standards.chin-over-bar") for rep in (first, second))
    assert isinstance(higher, Measured)
    assert isinstance(lower, Measured)
    assert higher.value > lower.value + 1.5


def test_a_rep_that_the_clip_cuts_off_has_no_standard() -> None:
    *_, last = reps_of(cut=3.0)
    assert last.status == "cut_off"
    for each in last.standards:
        assert isinstance(each.distance, Unmeasured)
        assert "cuts this rep off" in each.distance.reason


def test_without_standards_names_them_all() -> None:
    named = without_standards(load_movement("pull-up"), "because")
    assert all(isinstance(each, Standard) and each.distance == Unmeasured(reason="because") for each in named)
    assert len(named) == len(load_movement("pull-up").standards)


@pytest.mark.parametrize("name", movement_names())
def test_whatever_the_catalogue_asks_is_measured_on_a_figure(name: str) -> None:
    movement = load_movement(name)
    lens = LENSES[0]
    seen = filmed(TIME, pulled_up("right"), movement, "right", lens)
    found = measure_standards(seen, movement, lens.level, MOMENTS, WHOLE)
    assert [each.name for each in found] == [each.name for each in movement.standards]
    for each in found:
        assert isinstance(each.distance, Measured)
        assert 0 < each.distance.U95 < 20


def test_the_figure_has_the_height_that_its_standards_are_shares_of() -> None:
    assert pytest.approx(1.746, abs=0.001) == TALL
    assert pytest.approx(TALL * 0.779) == LENGTH["trunk"] + LENGTH["thigh"] + LENGTH["shank"]


def test_a_measured_standard_can_be_ruled_on_in_the_unit_of_its_limit() -> None:
    first, _ = reps_of()
    for each in first.standards:
        name = f"standards.{each.name}"
        assert check(name, value_of(first, name), Limit(low=-60)).verdict == "met"
        assert check(name, value_of(first, name), Limit(low=60)).verdict == "missed"
