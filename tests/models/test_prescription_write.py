"""What is written is read back the same, whatever a coach may have asked for."""

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import ValidationError

from models.movements import load_movement
from models.prescription import Prescription, parse_prescription, read_prescription, write_prescription

SAMPLES = sorted((Path(__file__).parents[2] / "sample_clips").glob("*.toml"))


def again(plan: Prescription) -> Prescription:
    return parse_prescription(write_prescription(plan).encode(), "again.toml")


def test_a_prescription_is_written_as_a_coach_would() -> None:
    plan = Prescription.model_validate(
        {
            "movement": "pull-up",
            "athlete": "Tomasz",
            "sets": 3,
            "reps": 6,
            "tempo": "3-0-X-1",
            "strict": True,
            "band": {"at": "feet", "calibration": [{"cm": 90.0, "kg": 3.0}, {"cm": 170.0, "kg": 18.5}]},
            "limits": {
                "lowering": {"high": 8.0},
                "bent": {"elbow": {"low": 90.25}},
                "standards": {"chin-over-bar": {"low": 0.0}},
            },
        }
    )
    assert write_prescription(plan) == (
        'athlete = "Tomasz"\n'
        "\n"
        'movement = "pull-up"\n'
        "sets = 3\n"
        "reps = 6\n"
        'tempo = "3-0-X-1"\n'
        "strict = true\n"
        "\n"
        'band = { at = "feet", calibration = [{ cm = 90, kg = 3 }, { cm = 170, kg = 18.5 }] }\n'
        "\n"
        "[limits]\n"
        "lowering = { high = 8 }\n"
        "bent.elbow = { low = 90.25 }\n"
        "standards.chin-over-bar = { low = 0 }\n"
    )
    assert again(plan) == plan


def test_what_is_usual_is_not_written() -> None:
    assert write_prescription(Prescription(movement="row", reps=8)) == 'movement = "row"\nreps = 8\n'


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_prescriptions_beside_the_sample_clips_survive(path: Path) -> None:
    plan = read_prescription(path)
    assert again(plan) == plan


NUMBER = st.floats(0, 100, allow_subnormal=False).map(lambda value: round(value, 3))
LIMIT = st.one_of(
    st.fixed_dictionaries({"low": NUMBER}),
    st.fixed_dictionaries({"high": NUMBER}),
    st.tuples(NUMBER, NUMBER)
    .filter(lambda ends: ends[0] < ends[1])
    .map(lambda ends: {"low": ends[0], "high": ends[1]}),
)
TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=60)
DIGIT = st.one_of(st.just("X"), st.floats(0.1, 60).map(lambda value: f"{value:.1f}"), st.integers(1, 60).map(str))
POINTS = st.lists(st.tuples(NUMBER, NUMBER), min_size=2, max_size=4, unique_by=lambda pair: pair[0])


def calibration(pairs: list[tuple[float, float]]) -> dict[str, Any]:
    lengths, pulls = (sorted(each) for each in zip(*pairs, strict=True))
    return {"calibration": [{"cm": cm + 1, "kg": kg} for cm, kg in zip(lengths, pulls, strict=True)]}


BAND = st.one_of(st.fixed_dictionaries({"kg": NUMBER.map(lambda kg: kg + 1)}), POINTS.map(calibration))
PULL_UP = st.fixed_dictionaries(
    {"movement": st.just("pull-up"), "reps": st.integers(1, 30)},
    optional={
        "athlete": TEXT,
        "note": TEXT,
        "sets": st.integers(1, 9),
        "variant": st.sampled_from(list(load_movement("pull-up").variants)),
        "tempo": st.lists(DIGIT, min_size=4, max_size=4).map("-".join),
        "strict": st.booleans(),
        "load": st.fixed_dictionaries({"kg": NUMBER.map(lambda kg: kg + 1)}, optional={"at": st.just("vest")}),
        "band": BAND,
        "limits": st.fixed_dictionaries(
            {},
            optional={
                "lowering": LIMIT,
                "straight": st.fixed_dictionaries({"lean": LIMIT}),
                "worst": st.fixed_dictionaries({"hip": LIMIT, "deviation": LIMIT}),
                "swing": LIMIT,
                "standards": st.fixed_dictionaries({"chin-over-bar": LIMIT}),
            },
        ),
    },
)


@given(PULL_UP)
def test_whatever_is_asked_of_a_pull_up_is_read_back_the_same(tree: dict[str, Any]) -> None:
    try:
        plan = Prescription.model_validate(tree)
    except ValidationError:  # a tempo may contradict a limit
        return
    assert again(plan) == plan


@given(st.integers(1, 600), st.floats(-90, 90), TEXT)
def test_a_hold_is_read_back_the_same(hold: int, angle: float, note: str) -> None:
    tree = {"movement": "push-up", "hold": hold, "hold_at": angle, "body_angle": angle / 2, "note": note}
    plan = Prescription.model_validate(tree)
    assert again(plan) == plan
    raised = Prescription.model_validate({"movement": "push-up", "hold": hold, "hands_raised_cm": abs(angle)})
    assert again(raised) == raised
