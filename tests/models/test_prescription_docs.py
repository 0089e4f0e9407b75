"""What docs/prescriptions.md tells a coach is what the program does."""

import re
from pathlib import Path
from typing import get_args

import pytest

from models.errors import BadInput
from models.limit import Limit
from models.limits import HOLD_PARTS, REP_PARTS, Limits
from models.movements import Angle
from models.prescription import Prescription, parse_prescription, read_prescription
from models.prescription.scaled import WrittenBand, WrittenBandPoint, WrittenPartner
from models.scaling import HelpAt, LoadAt, Place, Scalings

ROOT = Path(__file__).parents[2]
PAGE = (ROOT / "docs" / "prescriptions.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"^```toml\n(.*?)^```", PAGE, re.DOTALL | re.MULTILINE)
MESSAGES = re.findall(r"^plan\.toml, line.*$", PAGE, re.MULTILINE)
SAMPLES = sorted((ROOT / "sample_clips").glob("*.toml"))


def test_the_first_example_asks_for_what_the_page_says() -> None:
    plan = parse_prescription(EXAMPLES[0].encode(), "example")
    assert (plan.athlete, plan.movement, plan.variant, plan.sets, plan.reps) == (
        "Tomasz",
        "push-up",
        "hands-raised",
        3,
        5,
    )
    assert plan.rep_limits() == {
        "lowering": Limit(low=4.5),
        "bottom_pause": Limit(low=0.7),
        "raising": Limit(high=2),
        "top_pause": Limit(high=0.6),
        "straight.elbow": Limit(high=20),
        "bent.elbow": Limit(low=90),
        "bent.body": Limit(low=5, high=30),
        "worst.hip": Limit(low=-20, high=25),
    }


def test_the_second_example_asks_for_what_the_page_says() -> None:
    plan = parse_prescription(EXAMPLES[1].encode(), "example")
    assert (plan.athlete, plan.movement, plan.variant, plan.sets) == ("Marit", "front-lever", "tuck", 4)
    assert plan.as_movement().line == "hips-shoulders"
    assert plan.hold_limits() == {
        "in_position": Limit(low=9.5),
        "posture.trunk": Limit(low=-15, high=15),
        "posture.elbow": Limit(high=20),
    }


def test_the_third_example_is_lowered_only_on_rings() -> None:
    plan = parse_prescription(EXAMPLES[2].encode(), "example")
    assert plan.scalings() == Scalings(lowering_only=True, stability="rings")
    assert plan.rep_limits() == {"lowering": Limit(low=4.5)}


def test_the_fourth_example_has_a_calibrated_band_and_is_strict() -> None:
    plan = parse_prescription(EXAMPLES[3].encode(), "example")
    band = plan.scalings().band
    assert band is not None
    assert [(point.metres, point.kg) for point in band.calibration] == [(0.9, 3), (1.3, 11), (1.7, 18)]
    assert {"swing", "hip_range", "standards.chin-over-bar"} <= plan.rep_limits().keys()


def test_each_example_is_one_of_these() -> None:
    assert len(EXAMPLES) == 4


def test_each_word_of_the_scalings_is_explained() -> None:
    section = PAGE.partition("## The six scalings")[2].partition("## Tempo")[0]
    explained = set(re.findall(r"[a-z_]+(?:-[a-z]+)*", " ".join(re.findall(r"`[^`]+`", section))))
    assert {*WrittenBand.model_fields, *WrittenPartner.model_fields, *WrittenBandPoint.model_fields} <= explained
    assert {*get_args(HelpAt), *get_args(LoadAt), *get_args(Place)} <= explained


@pytest.mark.parametrize("key", Prescription.model_fields)
def test_each_key_is_explained(key: str) -> None:
    assert re.search(rf"^\| .*`{key}`.* \|", PAGE, re.MULTILINE)


def test_each_limit_is_explained() -> None:
    explained = set(re.findall(r"`([a-z_.]+|[a-z_]+\.ANGLE)`", PAGE))
    whole = {name for name in REP_PARTS + HOLD_PARTS if Limits.model_fields[name].annotation == (Limit | None)}
    postures = {f"{name}.ANGLE" for name in ("straight", "bent", "posture")}
    parts = {f"worst.{name}" for name in type(Limits().worst).model_fields}
    parts |= {f"sway.{name}" for name in type(Limits().sway).model_fields}
    assert whole | postures | parts <= explained


def test_each_angle_is_explained() -> None:
    assert all(re.search(rf"^\| .*`{angle}`", PAGE, re.MULTILINE) for angle in get_args(Angle))


@pytest.mark.parametrize(
    ("message", "text"),
    list(
        zip(
            MESSAGES,
            [
                'movement = "push-up"\nreps = 8\nlimits.bent.elbo.low = 90',
                'movement = "push-up"\nreps = 8\ntempo = "5-1-1"',
                'movement = "push-up"\nreps = 8\nlimits.bent.elbow = { low = 95, high = 90 }',
                'movement = "pull-up"\nreps = 8\nlimits.bent.body.low = 70',
                'movement = "push-up"\nreps = 8\nhold = 10',
            ],
            strict=True,
        )
    ),
)
def test_the_messages_on_the_page_are_the_programs_own(message: str, text: str) -> None:
    with pytest.raises(BadInput) as caught:
        parse_prescription(text.encode(), "plan.toml")
    assert str(caught.value) == message


def test_the_hold_of_a_push_up_on_the_page_is_a_prescription() -> None:
    text = 'movement = "push-up"\nhold = 20\nlimits.posture.elbow = { low = 75, high = 105 }'
    assert all(f"`{line}`" in PAGE for line in text.split("\n"))
    assert parse_prescription(text.encode(), "page").hold == 20


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: path.stem)
def test_the_prescriptions_beside_the_sample_clips_are_read(path: Path) -> None:
    plan = read_prescription(path)
    assert path.stem.startswith(plan.movement)
    assert plan.rep_limits() or plan.hold is not None


def test_there_are_prescriptions_for_reps_for_lowering_only_and_for_a_hold() -> None:
    plans = [read_prescription(path) for path in SAMPLES]
    assert any(plan.lowering_only for plan in plans)
    assert any(plan.hold for plan in plans)
    assert any(plan.tempo and not plan.lowering_only for plan in plans)
