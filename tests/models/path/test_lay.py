"""How a path is laid: what is chosen, in which order, what fills it, and what never happens whatever there is."""

from functools import cache
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from models.body.athlete import Athlete
from models.body.bearing import Bearing
from models.errors import DemandError, PathError
from models.path import Available, Path, Rules, lay_path
from models.path.changes import changes
from models.path.lay import Layer, Rung
from models.path.measures import Measures, Scale, rise
from models.path.rules import StepRules, parse_rules
from models.prescription import Prescription
from models.prescription.scaled import WrittenBand
from models.quantity import Measured
from service.asked import read_asked

MAN = Athlete(sex="man", height_cm=178, mass_kg=75, age=30)
NOTHING = Available()
BANDS = Available(bands=(WrittenBand(kg=5), WrittenBand(kg=10), WrittenBand(kg=15)))


@cache
def plan(words: str) -> Prescription:
    return read_asked(words.split())


def rungs(
    owns: str, goal: str, available: Available = NOTHING, rules: Rules | None = None, athlete: Athlete = MAN
) -> list[Rung]:
    rules = rules or Rules()
    return Layer(Scale(plan(goal), athlete, rules.bearing), available, rules).lay(plan(owns), plan(goal))


def told(found: list[Rung], *keys: str) -> list[tuple[object, ...]]:
    return [tuple(getattr(rung.plan, key) for key in keys) for rung in found]


def test_a_push_up_climbs_from_box_to_box_the_smallest_first() -> None:
    wide = Rules(step=StepRules(largest=25))
    boxes = Available(boxes_cm=(20, 45, 70))
    found = rungs("push-up variant=hands-raised hands_raised_cm=90", "push-up", boxes, wide)
    raised = [rung for rung in found if rung.plan.variant != "knees"]  # which fits between two boxes
    assert told(raised, "variant", "hands_raised_cm") == [
        ("hands-raised", 90),
        ("hands-raised", 70),
        ("hands-raised", 45),
        ("hands-raised", 20),
        (None, None),
    ]
    assert {rung.changed for rung in found[1:]} == {("leverage",)}


def test_a_box_that_asks_hardly_more_is_passed_over() -> None:
    found = rungs("push-up variant=knees", "push-up", Available(boxes_cm=(15, 16, 30, 45, 60)))
    assert 16 not in [rung.plan.hands_raised_cm for rung in found] or 15 not in [
        rung.plan.hands_raised_cm for rung in found
    ]
    for rung in found[1:-1]:
        assert rung.rise >= Rules().step.least


def test_without_a_box_every_ten_centimetres_are_offered_and_the_coach_may_say_otherwise() -> None:
    heights = {rung.plan.hands_raised_cm for rung in rungs("push-up variant=knees", "push-up")[1:-1]}
    assert all(height is not None and height % 10 == 0 for height in heights)
    fine = Rules(step=StepRules(height_cm=5, least=1))
    assert len(rungs("push-up variant=knees", "push-up", rules=fine)) > len(heights) + 2


def test_a_row_in_rings_turns_by_five_degrees_and_stays_in_rings() -> None:
    found = rungs("row variant=rings body_angle=45", "row variant=rings body_angle=20")
    assert told(found, "variant", "body_angle") == [("rings", angle) for angle in (45, 40, 35, 30, 25, 20)]


def test_lowering_only_stands_below_a_hold_and_that_below_raising() -> None:
    found = rungs("pull-up lowering_only=true", "pull-up")
    assert [rung.plan.hold is not None for rung in found] == [False, True, False]
    assert [round(rung.measures.own, 1) for rung in found] == [76.9, 90.9, 100.0]
    assert found[1].fills
    assert found[1].changed == ("static hold", "lowering only")


def test_other_factors_place_them_otherwise() -> None:
    rules = parse_rules(b"bearing = { held = 1.2, lowered = 1.6 }", "rules.toml")
    found = rungs("pull-up lowering_only=true", "pull-up", rules=rules)
    assert [round(rung.measures.own, 1) for rung in found] == [62.5, 83.3, 100.0]


def test_bands_fill_a_step_that_is_too_large_the_strongest_first() -> None:
    found = rungs("front-lever variant=tuck", "front-lever variant=advanced-tuck", BANDS)
    assert told(found, "variant") == [("tuck",), ("advanced-tuck",), ("advanced-tuck",)]
    assert [rung.plan.band.kg if rung.plan.band else None for rung in found] == [None, 5, None]
    assert [rung.fills for rung in found] == [False, True, False]
    assert found[-1].alone == pytest.approx(100 * (75.9 / 60.4 - 1), abs=0.5)
    assert found[-1].alone is not None
    assert found[-1].rise < found[-1].alone


def test_what_nothing_fills_is_marked_with_more_of_the_dose_before_and_half_of_it_at_first() -> None:
    alone = Rules(step=StepRules(largest=5))
    found = rungs("front-lever variant=one-leg", "front-lever variant=straddle", rules=alone)
    last = found[-1]
    assert last.flagged
    assert last.plan.hold == 5
    assert last.first is not None
    assert (last.first.hold, last.first.reps) == (15, None) if found[-2].plan.hold else (None, found[-2].plan.reps)
    wide = Rules(step=StepRules(largest=30))
    easy = rungs("front-lever variant=one-leg", "front-lever variant=straddle", rules=wide)
    assert (len(easy), easy[-1].flagged, easy[-1].first, easy[-1].plan.hold) == (2, False, None, 10)


def test_a_path_goes_over_the_movements_between() -> None:
    found = rungs("push-up", "handstand-push-up")
    names = list(dict.fromkeys(rung.plan.movement for rung in found))
    assert names == ["push-up", "pike-push-up", "handstand-push-up"]
    straight = parse_rules(b"via.handstand-push-up = []", "rules.toml")
    found = rungs("push-up", "handstand-push-up", rules=straight)
    assert {rung.plan.movement for rung in found} == {"push-up", "handstand-push-up"}


def test_from_a_movement_on_the_way_only_the_later_ones_are_taken() -> None:
    found = rungs("pike-push-up", "handstand-push-up")
    assert "push-up" not in [rung.plan.movement for rung in found]


def test_the_looser_support_comes_last_and_has_no_number() -> None:
    found = rungs("handstand-push-up variant=mats", "handstand-push-up variant=free")
    assert found[-1].plan.variant == "free"
    assert found[-1].changed == ("stability",)
    assert found[-1].rise == pytest.approx(0)
    assert all(rung.plan.variant != "free" for rung in found[:-1])


def test_added_load_is_a_step_only_where_the_goal_has_it() -> None:
    there = Available(loads_kg=(2.5, 5, 7.5, 10))
    found = rungs("pull-up", "pull-up load.kg=10", there)
    assert [rung.plan.load.kg if rung.plan.load else 0 for rung in found] == [0, 5, 10]
    assert all(rung.plan.load is None for rung in rungs("pull-up lowering_only=true", "pull-up", there))


def test_lighter_bands_lead_away_from_a_band_that_is_owned() -> None:
    found = rungs("pull-up band.kg=20", "pull-up", BANDS)
    assert [rung.plan.band.kg if rung.plan.band else 0 for rung in found] == [20, 15, 10, 5, 0]


@pytest.mark.parametrize(
    ("owns", "goal", "says"),
    [
        ("push-up", "push-up", "the goal is what is owned already"),
        ("push-up", "push-up variant=knees", "% less than what is owned; name a harder goal"),
        ("push-up", "pull-up partner.at=feet", "a partner's help has no number"),
        ("push-up body_angle=89", "push-up", "the model finds no posture"),
    ],
)
def test_where_no_path_leads(owns: str, goal: str, says: str) -> None:
    with pytest.raises((PathError, DemandError)) as caught:
        lay_path(plan(owns), plan(goal), MAN)
    assert says in str(caught.value)


def test_bands_and_loads_need_a_mass() -> None:
    with pytest.raises(PathError, match="tell the athlete's mass"):
        lay_path(plan("pull-up band.kg=20"), plan("pull-up"), Athlete())
    found = lay_path(plan("pull-up lowering_only=true"), plan("pull-up"), Athlete(), available=BANDS)
    assert all(step.prescription.band is None for step in found.steps)
    assert found.notes == ("The mass is not told, so bands and loads are left out: they have no share of it.",)


def test_nothing_is_laid_for_somebody_under_eighteen() -> None:
    with pytest.raises(PathError, match="do not apply under 18"):
        lay_path(plan("push-up variant=knees"), plan("push-up"), Athlete(age=15))


def test_a_halted_path_has_no_step_up() -> None:
    found = lay_path(plan("front-lever variant=tuck"), plan("front-lever"), MAN, halted="pain was reported")
    assert [step.n for step in found.steps] == [0]
    assert found.halted == "pain was reported"


def test_a_path_tells_its_numbers_with_their_uncertainty() -> None:
    found = lay_path(plan("front-lever variant=tuck"), plan("front-lever"), MAN)
    assert found.goal_limit == "shoulder"
    for step in found.steps:
        assert isinstance(step.share, Measured)
        assert isinstance(step.limiting, Measured)
        assert step.limiting.unit == "Nm"
        assert isinstance(step.hands, Measured)
        assert step.hands.value == pytest.approx(100)
        assert step.hands.U95 < 1e-6
    first, last = found.steps[0].share, found.steps[-1].share
    assert isinstance(first, Measured)
    assert isinstance(last, Measured)
    assert 0 < first.U95 < 10
    assert last.value == pytest.approx(100)
    assert last.U95 < 1e-6


def test_a_share_at_the_knee_is_told_for_one_leg() -> None:
    found = lay_path(plan("squat"), plan("single-leg-squat"), MAN)
    first = found.steps[0].share
    assert isinstance(first, Measured)
    assert 40 < first.value < 60


def test_a_path_outlives_being_saved() -> None:
    found = lay_path(plan("pull-up lowering_only=true"), plan("pull-up"), MAN, available=BANDS)
    assert Path.model_validate_json(found.model_dump_json()) == found


def test_a_rise_across_movements_is_the_larger_one_and_told_against_a_quarter_at_least() -> None:
    low, high = Measures(own=50, hands=50, joint=5), Measures(own=2, hands=60, joint=30)
    assert rise(low, high, same=False) == pytest.approx(100)  # (30 - 5) / 25, and not 30 / 5
    assert rise(Measures(50, 50, 50), Measures(2, 60, 52), same=False) == pytest.approx(20)
    assert rise(Measures(50, 50, None), Measures(2, 45, None), same=False) == pytest.approx(-10)
    assert rise(low, high, same=True) == pytest.approx(-96)


def test_changes_are_counted_by_scaling() -> None:
    def changed(before: str, after: str) -> tuple[str, ...]:
        return changes(plan(before), plan(after))

    assert changed("push-up", "push-up reps=20") == ()
    assert changed("push-up", "push-up hands_raised_cm=30 variant=hands-raised") == ("leverage",)
    assert changed("push-up", "push-up variant=rings") == ("stability",)
    assert changed("pull-up", "pull-up stability=rings") == ("stability",)
    assert changed("pull-up lowering_only=true", "pull-up band.kg=5") == ("assistance", "lowering only")
    assert changed("pull-up", "pull-up hold=10 hold_at=90") == ("static hold",)
    assert changed("row", "front-lever variant=tuck") == ("movement",)
    assert changed("row", "front-lever lowering_only=true") == ("movement", "lowering only")
    assert changed("pull-up", "pull-up load.kg=5") == ("added load",)


PAIRS = [
    ("push-up variant=knees", "push-up"),
    ("push-up", "handstand-push-up"),
    ("front-lever variant=tuck", "front-lever"),
    ("pull-up lowering_only=true", "pull-up"),
    ("squat", "single-leg-squat"),
    ("row body_angle=60", "pull-up"),
    ("plank variant=knees", "plank"),
]


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from(PAIRS),
    st.lists(st.integers(1, 40), max_size=4, unique=True),
    st.lists(st.integers(5, 100), max_size=5, unique=True),
    st.floats(5, 30),
    st.floats(45, 120),
    st.floats(150, 200),
    st.sampled_from(["man", "woman", None]),
)
def test_whatever_there_is_each_path_rises_and_marks_what_is_too_large(
    pair: tuple[str, str],
    bands: list[int],
    boxes: list[int],
    largest: float,
    mass: float,
    height: float,
    sex: str | None,
) -> None:
    athlete = Athlete.model_validate({"sex": sex, "height_cm": height, "mass_kg": mass})
    rules = Rules(step=StepRules(largest=largest))
    available = Available(bands=tuple(WrittenBand(kg=kg) for kg in bands), boxes_cm=tuple(map(float, boxes)))
    found = rungs(*pair, available=available, rules=rules, athlete=athlete)
    assert found[0].plan == plan(pair[0])
    assert not changes(found[-1].plan, plan(pair[1]))
    for before, after in pairwise(found):
        assert after.flagged == (after.rise > largest + 1e-6)
        assert (after.first is not None) == after.flagged
        assert after.changed == changes(before.plan, after.plan) != ()
        if before.plan.movement == after.plan.movement:
            assert after.measures.own > before.measures.own or after.changed == ("stability",)
            assert after.rise == pytest.approx(100 * (after.measures.own / before.measures.own - 1))
        else:
            assert after.rise >= 0
    assert Bearing() == rules.bearing
