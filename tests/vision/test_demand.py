"""The demand that a document tells is that of the posture which the clip shows."""

import numpy as np
import pytest

from models.body.athlete import Athlete
from models.body.measured import demand_of_hold, demand_of_rep
from models.document import Demand, Hold, Posture, Rep, Status, Stroke, Sway, Worst
from models.movements import Movement, load_movement
from models.quantity import Measured, Q, Unmeasured
from vision.demand import with_demand

NOTHING = Unmeasured(reason="not part of this test")


def deg(value: float) -> Measured:
    return Measured(value=value, U95=4.0, unit="deg")


def posture(tilt: str, **angles: float) -> Posture:
    every = {"trunk": 0.0, "legs": 0.0, "shoulder": 0.0, "elbow": 0.0, "hip": 0.0, "knee": 0.0} | angles
    return Posture.model_validate({tilt: deg(every["trunk"]), **{name: deg(value) for name, value in every.items()}})


def rep(straight: Posture, bent: Posture, status: Status = "whole") -> Rep:
    seconds = Measured(value=2.0, U95=0.1, unit="s")
    stroke = Stroke(start=1, end=3, duration=seconds, thirds=(0.3, 0.4, 0.3), stops=NOTHING, swing=NOTHING)
    return Rep(
        n=1, status=status, start=1, end=5, lowering=stroke, raising=None, top_pause=NOTHING, bottom_pause=NOTHING,
        straight=straight, bent=bent, worst=Worst(hip=NOTHING, hip_at=None, deviation=NOTHING),
    )  # fmt: skip


def hold(held: Posture) -> Hold:
    sway = Sway(along_floor=NOTHING, vertical=NOTHING, path=NOTHING, speed=NOTHING, ellipse=NOTHING)
    return Hold(n=1, start=1, end=9, still=NOTHING, drift=NOTHING, posture=held, sway=sway)


def told(entry: Rep | Hold, movement: Movement, height_cm: float | None = None) -> Demand:
    asked = with_demand(entry, movement, height_cm).demand  # type: ignore[type-var]
    assert asked is not None
    return asked


def value(q: Q) -> float:
    assert isinstance(q, Measured)
    return q.value


PUSH_UP = rep(
    posture("body", trunk=20, shoulder=75),
    posture("body", trunk=12, shoulder=40, elbow=90),
)


def test_a_push_up_carries_what_was_measured_on_people() -> None:
    """Mier et al. 2014, static, share of body weight at the hands: down 74.6 +- 3.6 % (men), 70.3 +- 3.1 % (women)."""
    asked = told(PUSH_UP, load_movement("push-up"))
    assert (asked.end, asked.limit) == ("bent", "hands")
    assert isinstance(asked.hands, Measured)
    assert asked.hands.unit == "% of body weight"
    assert asked.hands.value == pytest.approx(72.5, abs=6)
    assert 2 < asked.hands.U95 < 12
    assert asked.limiting == asked.hands


def test_on_the_knees_it_is_lighter() -> None:
    knees = load_movement("push-up").as_variant("knees")
    assert value(told(PUSH_UP, knees).hands) < value(told(PUSH_UP, load_movement("push-up")).hands) - 8


def test_a_more_upright_row_is_lighter_and_told_at_its_straight_end() -> None:
    row = load_movement("row")
    level = rep(posture("body", trunk=5, shoulder=90), posture("body", trunk=12, shoulder=40, elbow=95))
    steep = rep(posture("body", trunk=45, shoulder=110), posture("body", trunk=50, shoulder=40, elbow=95))
    assert told(level, row).end == "straight"
    assert value(told(steep, row).hands) < value(told(level, row).hands) - 10


def test_a_lever_is_told_by_the_moment_at_the_shoulder_and_a_tuck_asks_less() -> None:
    lever = load_movement("front-lever")
    full = told(hold(posture("body", trunk=0, shoulder=50)), lever)
    tuck = told(hold(posture("body", trunk=0, shoulder=65, hip=125, knee=125)), lever.as_variant("tuck"))
    assert (full.end, full.limit) == ("held", "shoulder")
    assert isinstance(full.limiting, Measured)
    assert full.limiting.unit == "% of body weight x height"
    assert value(full.hands) == pytest.approx(100)
    assert abs(value(tuck.limiting)) < 0.8 * abs(value(full.limiting))


def test_it_is_the_body_model_s_own_answer() -> None:
    movement = load_movement("push-up")
    own = demand_of_rep(PUSH_UP, movement, Athlete(height_cm=181), end="bent")
    assert told(PUSH_UP, movement, 181).hands == own.hands
    held = hold(posture("body", trunk=0, shoulder=50))
    lever = load_movement("front-lever")
    assert told(held, lever).limiting == demand_of_hold(held, lever, Athlete()).limiting


def test_angles_less_sure_make_the_load_less_sure() -> None:
    unsure = PUSH_UP.bent.model_copy(update={"trunk": Measured(value=12.0, U95=16.0, unit="deg")})
    wide = told(PUSH_UP.model_copy(update={"bent": unsure}), load_movement("push-up")).hands
    narrow = told(PUSH_UP, load_movement("push-up")).hands
    assert isinstance(wide, Measured)
    assert isinstance(narrow, Measured)
    assert wide.U95 >= narrow.U95


def test_no_value_where_an_angle_has_none_or_the_rep_is_cut_off() -> None:
    movement = load_movement("push-up")
    oblique = PUSH_UP.bent.model_copy(update={"elbow": Unmeasured(reason="film from the side")})
    for entry, word in (
        (PUSH_UP.model_copy(update={"bent": oblique}), "film from the side"),
        (rep(PUSH_UP.straight, PUSH_UP.bent, "cut_off"), "cuts this rep off"),
    ):
        asked = told(entry, movement)
        for q in (asked.hands, asked.limiting):
            assert isinstance(q, Unmeasured)
            assert word in q.reason


def test_no_demand_where_the_catalogue_names_none() -> None:
    movement = load_movement("push-up").model_copy(update={"demand": None})
    assert with_demand(PUSH_UP, movement, None).demand is None
    assert "demand" not in with_demand(PUSH_UP, movement, None).model_dump()


def test_a_document_keeps_it() -> None:
    entry = with_demand(PUSH_UP, load_movement("push-up"), None)
    again = Rep.model_validate_json(entry.model_dump_json())
    assert again.demand == entry.demand
    assert np.isfinite(value(again.demand.hands))  # type: ignore[union-attr]
