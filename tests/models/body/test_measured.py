"""Demand of what a clip shows: reps and holds of a measurement document."""

import pytest

from models.body.athlete import Athlete
from models.body.catalogue import demand, situation_of
from models.body.demand import Demand
from models.body.doubts import inputs
from models.body.measured import demand_of_hold, demand_of_rep
from models.body.situation import solve, trunk_of
from models.body.words import in_words
from models.document import Posture, Rep
from models.movements import load_movement
from models.movements.demand import End
from models.quantity import Measured, Q, Unmeasured
from models.scaling import Load, Partner, Scalings
from tests.models.body.athletes import TOMASZ
from tests.models.samples import deg, hold, posture, q, rep

ANGLES = ("shoulder", "elbow", "hip", "knee")


def number(value: Q) -> Measured:
    assert isinstance(value, Measured)
    return value


def shown(name: str, end: End, variant: str | None = None, half: float = 2.0, *, lean: bool = False) -> Posture:
    """The catalogue's own posture, as a clip would show it: what the model found becomes what was measured."""
    found = solve(situation_of(load_movement(name), variant, end=end), inputs(TOMASZ, "men")).settled.posture
    trunk = trunk_of(found.pitch)
    angles = {angle: deg(getattr(found, angle), half) for angle in ANGLES}
    tilt = {"lean": deg(90 - found.pitch, half)} if lean else {"body": deg(trunk, half)}
    return posture(trunk=deg(trunk, half), legs=deg(trunk, half), **angles, **tilt)


def push_up_rep(half: float = 2.0, variant: str | None = None) -> Rep:
    return rep(straight=shown("push-up", "straight", variant, half), bent=shown("push-up", "bent", variant, half))


def of_rep(each: Rep, end: End | None = None, **how: object) -> Demand:
    return demand_of_rep(each, load_movement("push-up"), TOMASZ, end=end, **how)  # type: ignore[arg-type]


@pytest.mark.parametrize("end", ["straight", "bent"])
@pytest.mark.parametrize("variant", [None, "feet-raised", "hands-raised", "knees"])
def test_a_rep_like_the_catalogues_has_its_demand(end: End, variant: str | None) -> None:
    """What the model finds for the catalogue's posture, it finds again when that posture is measured."""
    told = demand(load_movement("push-up"), TOMASZ, variant=variant, end=end)
    found = of_rep(push_up_rep(variant=variant), end, variant=variant)
    assert number(found.hands).value == pytest.approx(number(told.hands).value, abs=0.01)
    for joint, moment in found.moments.items():
        assert number(moment).value == pytest.approx(number(told.moments[joint]).value, abs=0.1)
    assert number(found.rise).value == pytest.approx(number(told.rise).value, abs=0.001)


def test_the_hard_end_is_told_if_none_is_named() -> None:
    assert of_rep(push_up_rep()) == of_rep(push_up_rep(), "bent")


def test_u95_is_the_clips_own() -> None:
    """Angles known better make a demand known better; the body's own doubt is left."""
    fine, coarse = (number(of_rep(push_up_rep(half), "straight").hands) for half in (1.0, 8.0))
    assert fine.U95 < coarse.U95
    assert fine.U95 > 1.0
    assert coarse.U95 < 10


def test_bent_arms_measured_badly_do_not_move_the_hands() -> None:
    """In a clip the shoulder of a bent arm is known to 20 degrees only; where the hands stand, the straight end shows."""
    good = push_up_rep()
    bad = good.model_copy(update={"bent": good.bent.model_copy(update={"shoulder": deg(10, 22), "elbow": deg(95, 11)})})
    found, before = number(of_rep(bad).hands), number(of_rep(good).hands)
    assert found.value == pytest.approx(before.value, abs=1.5)
    assert found.U95 < 7


def test_a_rep_can_be_told_in_a_sentence() -> None:
    told = in_words(of_rep(push_up_rep()))
    assert told.startswith("72 ± ")
    assert "% of body weight at the hands, 100 ± " in told
    assert told.endswith("% of the full version")


def test_the_ratio_is_to_the_catalogues_full_version() -> None:
    found = of_rep(push_up_rep(variant="hands-raised"), variant="hands-raised")
    told = demand(load_movement("push-up"), TOMASZ, variant="hands-raised")
    assert number(found.ratio).value == pytest.approx(number(told.ratio).value, abs=0.05)


def test_an_upright_body_leans_as_the_clip_shows_it() -> None:
    """The trunk's angle to the floor does not tell forward from back; the sign of the lean does."""
    dip = load_movement("dip")
    forward = shown("dip", "bent", lean=True)
    backward = forward.model_copy(update={"lean": deg(-number(forward.lean or deg(0)).value)})
    moments = [
        number(demand_of_rep(rep(bent=each), dip, TOMASZ).moments["shoulder"]).value for each in (forward, backward)
    ]
    told = demand(dip, TOMASZ)
    assert moments[0] == pytest.approx(number(told.moments["shoulder"]).value, abs=0.1)
    assert moments[1] < 0 < moments[0]


def test_an_upside_down_body_leans_as_the_clip_shows_it() -> None:
    """Positive with the feet over the belly's side: then the shoulders must push the body back, as flexors do."""
    movement = load_movement("handstand")
    for lean, sign in ((12, 1), (-12, -1)):
        each = posture(
            lean=deg(lean), trunk=deg(-78), legs=deg(-78), shoulder=deg(175), elbow=deg(2), hip=deg(0), knee=deg(0)
        )
        found = demand_of_hold(hold(q(10), each), movement, TOMASZ)
        assert number(found.moments["shoulder"]).value * sign > 30
        assert number(found.hands).value == pytest.approx(100)


def test_a_lever_is_told_by_its_moment() -> None:
    lever = load_movement("front-lever")
    full = demand_of_hold(hold(q(10), shown("front-lever", "held")), lever, TOMASZ)
    assert number(full.ratio).value == pytest.approx(100, abs=0.01)
    high = shown("front-lever", "held").model_copy(update={"trunk": deg(-30, 4)})
    tilted = number(demand_of_hold(hold(q(10), high), lever, TOMASZ).ratio)
    assert tilted.value == pytest.approx(100 * 0.866, abs=0.5)  # the cosine of the tilt
    assert pytest.approx(100 * 0.5 * 4 * 0.01745, rel=0.1) == tilted.U95  # the clip's doubt, not the catalogue's
    sagging = shown("front-lever", "held").model_copy(update={"hip": deg(-15)})
    assert number(demand_of_hold(hold(q(10), sagging), lever, TOMASZ).ratio).value != pytest.approx(100, abs=0.5)
    assert "Nm at the shoulder" in in_words(full)
    assert in_words(full).endswith(", held")


def test_what_no_clip_shows_is_taken_from_the_catalogue() -> None:
    """Legs apart do not show from the side, and a flag is filmed from the front, where no bend shows."""
    lever, flag = load_movement("front-lever"), load_movement("human-flag")
    apart = demand_of_hold(hold(q(10), shown("front-lever", "held", "straddle")), lever, TOMASZ, variant="straddle")
    assert number(apart.ratio).value < 98
    level = posture(body=deg(0), trunk=deg(0))
    told = demand_of_hold(hold(q(5), level), flag, TOMASZ, variant="tuck")
    assert number(told.ratio).value == pytest.approx(number(demand(flag, TOMASZ, variant="tuck").ratio).value, abs=0.1)


def test_a_shoulder_that_does_not_show_is_found() -> None:
    hidden = shown("front-lever", "held").model_copy(update={"shoulder": Unmeasured(reason="the arm is hidden")})
    found = demand_of_hold(hold(q(10), hidden), load_movement("front-lever"), TOMASZ)
    assert number(found.limiting).value > 0


@pytest.mark.parametrize("angle", ["trunk", "hip", "knee", "elbow"])
def test_an_angle_that_does_not_show_leaves_no_demand(angle: str) -> None:
    each = push_up_rep()
    bent = each.bent.model_copy(update={angle: Unmeasured(reason=f"the {angle} is hidden")})
    found = of_rep(each.model_copy(update={"bent": bent}))
    for value in (found.hands, found.ratio, found.trunk):
        assert isinstance(value, Unmeasured)
        assert value.reason == f"the {angle} is hidden"
    assert in_words(found) == f"No number: the {angle} is hidden"


def test_the_straight_end_is_needed_for_where_the_hands_are() -> None:
    each = push_up_rep()
    straight = each.straight.model_copy(update={"trunk": Unmeasured(reason="the clip starts late")})
    assert isinstance(of_rep(each.model_copy(update={"straight": straight})).hands, Unmeasured)


def test_help_and_load_are_those_that_were_used() -> None:
    loaded = of_rep(push_up_rep(), scalings=Scalings(load=Load(kg=16, at="back")))
    assert number(loaded.hands).value > number(of_rep(push_up_rep()).hands).value + 10
    helped = of_rep(push_up_rep(), scalings=Scalings(partner=Partner(at="hips")))
    assert isinstance(helped.hands, Unmeasured)


def test_a_lowering_only_rep_says_so() -> None:
    told = of_rep(push_up_rep(), scalings=Scalings(lowering_only=True))
    assert told.mode == "lower"
    assert number(told.effort).value == pytest.approx(number(told.ratio).value / 1.3)
    assert in_words(told).endswith("lowered only")


def test_under_eighteen_a_clip_is_not_told_either() -> None:
    found = demand_of_rep(push_up_rep(), load_movement("push-up"), Athlete(age=14))
    assert isinstance(found.hands, Unmeasured)
    assert "under 18" in found.hands.reason
