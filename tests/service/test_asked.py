"""A variant as it is named on the command line."""

from pathlib import Path

import pytest

from models.errors import BadInput
from models.path.rules import StartDoses
from models.prescription import Prescription, parse_prescription, write_prescription
from models.prescription.dose import Dose
from service.asked import read_asked


def read(words: str) -> Prescription:
    return read_asked(words.split())


@pytest.mark.parametrize(
    ("words", "text"),
    [
        ("push-up reps=8 tempo=5-1-1-0", 'movement = "push-up"\nreps = 8\ntempo = "5-1-1-0"'),
        ("pull-up reps=3 tempo=5 lowering_only=true", 'movement = "pull-up"\nreps = 3\ntempo = "5"\nlowering_only = true'),
        ("front-lever hold=12.5 variant=tuck", 'movement = "front-lever"\nhold = 12.5\nvariant = "tuck"'),
        ("row reps=8 body_angle=-5", 'movement = "row"\nreps = 8\nbody_angle = -5'),
        ("pull-up reps=5 band.kg=10 band.at=feet", 'movement = "pull-up"\nreps = 5\nband = { kg = 10, at = "feet" }'),
        ("pull-up reps=5 stability=rings strict=true", 'movement = "pull-up"\nreps = 5\nstability = "rings"\nstrict = true'),
        (
            "push-up reps=5 limits.bent.elbow.low=90 limits.worst.hip={low=-20,high=25}",
            'movement = "push-up"\nreps = 5\n[limits]\nbent.elbow.low = 90\nworst.hip = { low = -20, high = 25 }',
        ),
        (
            "pull-up reps=5 band.calibration=[{cm=90,kg=3},{cm=150,kg=12}]",
            'movement = "pull-up"\nreps = 5\nband.calibration = [{ cm = 90, kg = 3 }, { cm = 150, kg = 12 }]',
        ),
        ("pull-up reps=5 limits.standards.chin-over-bar.low=0", 'movement = "pull-up"\nreps = 5\nlimits.standards.chin-over-bar.low = 0'),
    ],
)  # fmt: skip
def test_it_says_the_same_as_a_file(words: str, text: str) -> None:
    assert read(words) == parse_prescription(text.encode(), "plan.toml")


def test_text_may_have_spaces_quotes_and_numbers() -> None:
    assert read_asked(["row", "note=Bar one hole lower."]).note == "Bar one hole lower."
    assert read_asked(["row", 'athlete="Tomasz"']).athlete == "Tomasz"
    assert read_asked(["row", "athlete=7"]).athlete == "7"
    assert read_asked(["row", "note="]).note == ""


@pytest.mark.parametrize(
    ("words", "dose"),
    [
        ("row", StartDoses().reps),
        ("row sets=5", StartDoses().reps.model_copy(update={"sets": 5})),
        ("front-lever", StartDoses().hold),
        ("pull-up lowering_only=true", StartDoses().lowering_only),
        ("pull-up hold_at=90", StartDoses().hold),
    ],
)
def test_without_a_dose_it_is_the_one_that_a_step_starts_at(words: str, dose: Dose) -> None:
    plan = read(words)
    assert {name: getattr(plan, name) for name in Dose.model_fields} == dict(dose)


def test_a_file_says_everything(tmp_path: Path) -> None:
    plan = read("push-up reps=8")
    (tmp_path / "plan.toml").write_text(write_prescription(plan), encoding="utf-8")
    assert read_asked([str(tmp_path / "plan.toml")]) == plan


@pytest.mark.parametrize(
    ("words", "says"),
    [
        ("", "name a movement, as push-up reps=8"),
        ("pushup", "unknown movement 'pushup'; did you mean 'push-up'?"),
        ("push-up variant=kneez", "push-up has no variant 'kneez'; did you mean 'knees'?"),
        ("push-up reps", "'reps' is not KEY=VALUE; write it as in push-up"),
        ("push-up Reps=8", "'Reps=8' is not KEY=VALUE"),
        ("push-up rep=8", "unknown key 'rep'; did you mean 'reps'?"),
        ("push-up reps=eight", "reps: should be a whole number, not 'eight'"),
        ("push-up reps=8 hold=3", "both reps and hold are given"),
        ("push-up reps=8 reps=9", "the keys do not go together: Cannot overwrite a value"),
        ("push-up band=3", "band: should be a table, such as { kg = 15 }, not 3"),
        ("plan.toml reps=8", "plan.toml says everything; remove reps=8"),
        ("nowhere.toml", "cannot read nowhere.toml: No such file or directory"),
    ],
)
def test_what_is_wrong_is_said_in_one_line(words: str, says: str) -> None:
    with pytest.raises(BadInput) as caught:
        read(words)
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)
