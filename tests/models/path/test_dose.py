"""More and less of a dose."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.movements import load_movement
from models.path.dose import less, more
from models.path.rules import StartDoses, parse_rules
from models.path.start import start_dose
from models.prescription import Prescription, parse_prescription, write_prescription
from service.asked import read_asked


def plan(words: str) -> Prescription:
    return read_asked(words.split())


@pytest.mark.parametrize(
    ("words", "key", "before", "after"),
    [
        ("front-lever hold=10", "hold", 10, 15),
        ("pull-up reps=5", "reps", 5, 8),
        ("pull-up lowering_only=true reps=3 tempo=5", "tempo", "5", "8"),
        ("pull-up lowering_only=true reps=3", "reps", 3, 6),
        ("pull-up lowering_only=true reps=3 tempo=X-0-0-0", "reps", 3, 6),
    ],
)
def test_more_is_half_as_long_again_or_three_reps(words: str, key: str, before: object, after: object) -> None:
    def value(asked: Prescription) -> object:
        found = getattr(asked, key)
        return str(found) if key == "tempo" else found

    assert value(plan(words)) == before
    assert value(more(plan(words))) == after


@pytest.mark.parametrize(
    ("words", "percent", "key", "after"),
    [
        ("front-lever hold=10", 50, "hold", 5),
        ("front-lever hold=1", 10, "hold", 1),
        ("pull-up reps=5", 50, "reps", 3),
        ("pull-up reps=1", 10, "reps", 1),
    ],
)
def test_less_is_a_share_and_never_nothing(words: str, percent: float, key: str, after: float) -> None:
    assert getattr(less(plan(words), percent), key) == after


@given(st.integers(1, 60), st.floats(1, 100), st.sampled_from(["front-lever hold={}", "pull-up reps={}"]))
def test_both_are_still_prescriptions(amount: int, percent: float, words: str) -> None:
    asked = plan(words.format(amount))
    for changed in (more(asked), less(asked, percent)):
        assert parse_prescription(write_prescription(changed).encode(), "again.toml") == changed
    grown, shrunk = (each.hold or each.reps or 0 for each in (more(asked), less(asked, percent)))
    assert grown >= amount >= shrunk >= 1


def test_the_dose_to_start_at_is_that_of_what_is_done() -> None:
    doses = StartDoses()
    row, lever = load_movement("row"), load_movement("front-lever")
    assert start_dose(row, doses) == doses.reps
    assert start_dose(row, doses, held=True) == doses.hold
    assert start_dose(row, doses, lowering_only=True) == doses.lowering_only
    assert start_dose(lever, doses) == doses.hold
    assert start_dose(lever, doses, held=False) == doses.reps
    assert start_dose(load_movement("l-sit"), doses, held=False) == doses.hold


def test_the_doses_may_be_edited() -> None:
    rules = parse_rules(b'start.reps = { sets = 5, reps = 5, tempo = "2-0-X-0" }', "rules.toml")
    dose = start_dose(load_movement("row"), rules.start)
    assert (dose.sets, dose.reps, str(dose.tempo)) == (5, 5, "2-0-X-0")
    assert rules.start.hold == StartDoses().hold
