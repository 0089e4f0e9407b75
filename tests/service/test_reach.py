"""What stands in the second table of a set, and in the sentence under it."""

import io
from collections.abc import Sequence

from rich.console import Console

from models.document import Demand, Document, Hold, Rep, Standard
from models.movements import load_movement
from models.quantity import Measured, Q, Unit, Unmeasured
from service.reach import demand_line, reach_values
from service.tables import PLAIN_WIDTH, show
from tests.by_hand import plank, push_ups

PUSH_UP, PULL_UP, LEVER = load_movement("push-up"), load_movement("pull-up"), load_movement("front-lever")


def of(value: float, unit: Unit, U95: float = 2.0) -> Measured:  # noqa: N803
    return Measured(value=value, U95=U95, unit=unit)


def by_hands(percent: float, u95: float = 6.0) -> Demand:
    load = of(percent, "% of body weight", u95)
    return Demand(end="bent", hands=load, limit="hands", limiting=load)


def at_the(joint: str, moment: float, hands: float) -> Demand:
    return Demand.model_validate(
        {
            "end": "held",
            "hands": of(hands, "% of body weight", 0.0),
            "limit": joint,
            "limiting": of(moment, "% of body weight x height", 1.5),
        }
    )


def reps(*changes: dict[str, object]) -> list[Rep]:
    (each,) = push_ups().sets
    return [rep.model_copy(update=change) for rep, change in zip(each.reps, changes, strict=False)]


def held(change: dict[str, object]) -> list[Hold]:
    (each,) = plank().sets
    return [hold.model_copy(update=change) for hold in each.holds]


def standard(q: Q) -> dict[str, object]:
    return {"standards": (Standard(name="chest-to-floor", distance=q),)}


def numbers(column: Sequence[Q | None]) -> list[float | None]:
    return [None if q is None else q.value for q in column]


def test_a_standard_has_a_column_under_its_name() -> None:
    hidden = Unmeasured(reason="the hip is hidden from the lens")
    rows = reps(standard(of(-4.2, "% of height")), standard(hidden))
    column = reach_values(rows, PUSH_UP)["chest to floor\n% of height"]
    assert column == [of(-4.2, "% of height"), hidden]


def test_a_document_without_standards_has_no_column_for_them() -> None:
    assert not any("chest" in heading for heading in reach_values(reps({}, {}), PUSH_UP))


def test_swing_and_the_range_of_the_hip_stand_where_the_movement_limits_them() -> None:
    assert PULL_UP.reps is not None
    assert PULL_UP.reps.strict is not None
    (each,) = push_ups().sets
    strokes: list[dict[str, object]] = [
        {
            "lowering": rep.lowering.model_copy(update={"swing": of(3, "% of height"), "hip_range": of(8, "deg")}),
            "raising": rep.raising.model_copy(update={"swing": of(7, "% of height"), "hip_range": of(5, "deg")}),
        }
        for rep in each.reps
        if rep.lowering is not None and rep.raising is not None
    ]
    values = reach_values(reps(*strokes[:2]), PULL_UP)
    assert numbers(values["swing\n% of height"]) == [7, 7]
    assert numbers(values["hip range\ndeg"]) == [8, 8]
    free = PULL_UP.model_copy(update={"reps": PULL_UP.reps.model_copy(update={"strict": None})})
    assert "swing\n% of height" not in reach_values(reps(*strokes[:2]), free)


def test_a_load_that_the_posture_does_not_change_is_not_told() -> None:
    rows = reps({"demand": by_hands(100, 0.0)}, {"demand": by_hands(100, 0.0)})
    assert not any("hands" in heading for heading in reach_values(rows, PULL_UP))
    assert demand_line(rows) is None


def test_the_load_at_the_hands_has_a_column_and_a_sentence_of_the_middle_rep() -> None:
    rows = reps({"demand": by_hands(61)}, {"demand": by_hands(70)}, {"demand": by_hands(64)})
    assert numbers(reach_values(rows, PUSH_UP)["at the hands\n% of weight"]) == [61, 70, 64]
    line = demand_line(rows)
    assert line is not None
    assert "at the bent end, without help or added load: 64 ±6 % of body weight at the hands" in line


def test_a_moment_is_told_with_its_joint() -> None:
    rows = held({"demand": at_the("shoulder", 23.3, 100)})
    (heading,) = reach_values(rows, LEVER)
    assert heading == "at the shoulder\n% of weight x height"
    line = demand_line(rows)
    assert line is not None
    assert "in the hold" in line
    assert "100 ±0 % of body weight at the hands, a moment of 23 ±2 % of body weight x height at the shoulder" in line


def test_hands_that_bear_nothing_are_not_spoken_of() -> None:
    line = demand_line(held({"demand": at_the("knee", 11.0, 0)}))
    assert line is not None
    assert "hands" not in line
    assert "at the knee" in line


def test_a_demand_without_a_value_is_a_dash_and_no_sentence() -> None:
    nothing = Unmeasured(reason="the clip's edge cuts this rep off")
    demand = Demand(end="bent", hands=nothing, limit="hands", limiting=nothing)
    rows = reps({"demand": demand})
    assert reach_values(rows, PUSH_UP)["at the hands\n% of weight"] == [nothing]
    assert demand_line(rows) is None


def shown(document: Document) -> str:
    page = io.StringIO()
    show(document, Console(file=page, width=PLAIN_WIDTH, highlight=False, markup=False, emoji=False))
    return page.getvalue()


def test_the_second_table_stands_under_the_first_with_its_dashes_explained() -> None:
    document = push_ups()
    (only,) = document.sets
    hidden = Unmeasured(reason="the hip is hidden from the lens")
    rows = reps(*(standard(of(-3.5, "% of height")) | {"demand": by_hands(66)} for _ in range(2)), standard(hidden))
    text = shown(document.model_copy(update={"sets": (only.model_copy(update={"reps": tuple(rows)}),)}))
    assert text.count("chest to floor") == 2
    assert "-3.50 ±2.00" in text
    assert "66.0 ±6.0" in text
    assert "no value for chest to floor of rep 3: the hip is hidden from the lens" in text
    assert "Asked of the body" in text
    assert text.count("verdict") == shown(document).count("verdict")


def test_a_document_of_before_is_shown_as_before() -> None:
    assert "Asked of the body" not in shown(push_ups())
