"""The type of a catalogue file's `[demand]`: what it takes for granted, what it refuses, how a variant changes it."""

from typing import Any

import pytest
from pydantic import ValidationError

from models.movements.demand import DemandChange, DemandEntry, Pose

PUSH_UP: dict[str, Any] = {
    "belly": "down",
    "hands": "floor",
    "feet": "toes",
    "hard": "bent",
    "limit": "hands",
    "straight": {"shoulder": 80},
    "bent": {"elbow": 90},
}
LEVER: dict[str, Any] = {
    "belly": "up",
    "hands": "bar",
    "feet": "none",
    "hard": "held",
    "limit": "shoulder",
    "held": {"trunk": 0},
}


def entry(**changes: object) -> DemandEntry:
    return DemandEntry.model_validate(PUSH_UP | changes)


def change(**changes: object) -> DemandChange:
    return DemandChange.model_validate(changes)


def test_what_is_not_written_is_straight_or_found() -> None:
    pose = entry().pose("straight")
    assert (pose.shoulder, pose.trunk) == (80, None)
    assert (pose.elbow, pose.hip, pose.knee, pose.apart, pose.other_leg) == (0, 0, 0, 0, None)
    assert (entry().hands_raised, entry().feet_raised) == (0, 0)


def test_the_hard_posture_comes_first() -> None:
    assert entry().ends == ("bent", "straight")
    assert entry().pose() == entry().pose("bent")
    with pytest.raises(KeyError, match="held"):
        entry().pose("held")


def test_a_variant_changes_angle_by_angle() -> None:
    changed = entry().changed(change(feet="knees", bent={"knee": 60}))
    assert changed.feet == "knees"
    assert changed.pose("bent") == Pose(elbow=90, knee=60)
    assert changed.pose("straight") == entry().pose("straight")
    assert entry().changed(None) == entry()
    assert entry().feet == "toes"


def test_a_variant_may_bring_a_posture_of_its_own() -> None:
    held = entry().changed(change(held={"elbow": 45}, hard="held"))
    assert held.pose() == Pose(elbow=45)


def test_a_variant_may_give_an_angle_back_to_be_found() -> None:
    assert entry().changed(change(straight={"shoulder": "found"})).pose("straight").shoulder is None
    assert Pose(shoulder=80).changed(Pose.model_validate({"shoulder": "found"})) == Pose()


def test_a_leg_that_does_otherwise() -> None:
    one_leg = DemandEntry.model_validate(LEVER).changed(change(held={"other_leg": {"hip": 130, "knee": 130}}))
    other = one_leg.pose().other_leg
    assert other is not None
    assert (other.hip, other.knee) == (130, 130)
    assert one_leg.pose().trunk == 0


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"hard": "held"}, "names the posture 'held', which is not written"),
        ({"hands": "none", "feet": "none"}, "neither hands nor feet bear the body"),
        ({"hands": "none", "feet": "flat"}, "the arms bear nothing, so hands limits nothing"),
        ({"hands": "none", "feet": "flat", "limit": "knee"}, "write trunk or shoulder|write shoulder"),
        ({"feet": "none", "bent": {"elbow": 90}}, "only one of them follows from the balance"),
        ({"belly": "aside", "feet": "none", "straight": {"shoulder": 80}}, "write trunk|only one of them"),
        ({"belly": "sideways"}, "belly"),
        ({"bent": {"elbows": 90}}, "elbows"),
        ({"bent": {"trunk": 120}}, "trunk"),
        ({"bent": {"shoulder": "lost"}}, "shoulder"),
        ({"hands_raised": -0.1}, "hands_raised"),
        ({"anchor": {"up": 0}}, "up"),
    ],
)
def test_what_makes_no_sense_is_refused(changes: dict[str, Any], why: str) -> None:
    with pytest.raises(ValidationError, match=why):
        entry(**changes)


def test_a_change_that_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValidationError, match="which is not written"):
        entry().changed(change(hard="held"))
    with pytest.raises(ValidationError, match="neither hands nor feet"):
        DemandEntry.model_validate(LEVER).changed(change(hands="none"))


def test_a_flag_needs_its_trunk() -> None:
    flag = {**LEVER, "belly": "aside", "held": {"trunk": 0}}
    assert DemandEntry.model_validate(flag).pose().trunk == 0
    with pytest.raises(ValidationError, match="a flag does not balance"):
        DemandEntry.model_validate({**flag, "held": {"shoulder": 160}})
