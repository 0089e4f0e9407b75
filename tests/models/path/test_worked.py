"""The three paths of docs/paths.md: what the page prints, what the program lays, and a second method must agree.

The second method is virtual work on a stick figure of its own (`tests.models.path.stick`).
"""

import re
import shlex
from dataclasses import dataclass
from pathlib import Path as File

import numpy as np
import pytest

from models.body.athlete import Athlete
from models.body.catalogue import demand, demand_entry, mode_of
from models.movements import load_movement
from models.movements.demand import End
from models.path import Available, Rules, Step, lay_path
from models.prescription import Prescription
from models.prescription.scaled import WrittenBand
from models.quantity import Measured, Q
from tests.models.path.stick import Point, Stick, elbow_moment, hands_load, shoulder_moment, unit

PAGE = (File(__file__).parents[3] / "docs" / "paths.md").read_text(encoding="utf-8")
EXAMPLES = re.findall(r"^```\n\$ plumbrep path ([^\n]+)\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
ROW = re.compile(r"^(\d+)(\*?) +(\S.*?) {2,}(\d+ x \S+(?: s| \S+)?) +(\S+) ±\S+ +(\S+) ±\S+ +(\S+)", re.MULTILINE)
MAN = Athlete(sex="man", height_cm=178, mass_kg=75, age=30)
FACTOR = {"raise": 1.0, "hold": 1.1, "lower": 1.3}  # typed in again from docs/paths.md
ANCHOR = np.array([0.0, 1.3])  # heights over the feet (models.movements.demand: a usual ring)


@dataclass(frozen=True)
class Shown:
    """One line of a table of the page."""

    flagged: bool
    hands: float
    share: float
    rise: float | None


def page_of(arguments: str) -> tuple[dict[str, str], dict[int, Shown]]:
    """The options of an example and its lines, by the number of the step."""
    (printed,) = [text for found, text in EXAMPLES if found == arguments]
    words = shlex.split(arguments)
    options = dict(zip(words[::2], words[1::2], strict=True))
    lines = {}
    for n, star, _, _, hands, share, rise in ROW.findall(printed):
        lines[int(n)] = Shown(star == "*", float(hands), float(share), None if rise == "-" else float(rise))
    return options, lines


def asked(words: str) -> Prescription:
    movement, *keys = words.split()
    tree: dict[str, object] = {"movement": movement, **dict(key.split("=") for key in keys)}
    if "body_angle" in tree:
        tree["body_angle"] = float(str(tree["body_angle"]))
    if tree.pop("lowering_only", None):
        return Prescription.model_validate({**tree, "lowering_only": True, "sets": 3, "reps": 3, "tempo": "5"})
    dose = (
        {"sets": 4, "hold": 10}
        if load_movement(movement).usual == "hold"
        else {"sets": 3, "reps": 5, "tempo": "3-0-1-0"}
    )
    return Prescription.model_validate({**tree, **dose})


def laid(options: dict[str, str]) -> tuple[Step, ...]:
    bands = tuple(WrittenBand(kg=float(kg)) for kg in options.get("--bands", "").split(",") if kg)
    athlete = MAN if "--sex" in options else Athlete()
    owned, goal = asked(options["--owns"]), asked(options["--goal"])
    return lay_path(owned, goal, athlete, available=Available(bands=bands)).steps


PATHS = {arguments: laid(page_of(arguments)[0]) for arguments, _ in EXAMPLES}
STEPS = [(arguments, step) for arguments, steps in PATHS.items() if "--sex man" in arguments for step in steps]


def names(value: object) -> str:
    return (
        f"{value.prescription.movement}-{value.n}"
        if isinstance(value, Step)
        else "to " + str(value).split("--goal ")[1]
    )


def number(q: Q) -> float:
    assert isinstance(q, Measured)
    return q.value


def test_the_page_shows_the_three_paths_that_were_asked_for() -> None:
    ends = [(page_of(each)[0]["--owns"], page_of(each)[0]["--goal"]) for each in PATHS]
    assert ends == [
        ("row variant=rings body_angle=45", "front-lever"),
        ("push-up", "handstand-push-up"),
        ("pull-up lowering_only=true", "pull-up"),
        ("pull-up lowering_only=true", "pull-up"),
    ]


@pytest.mark.parametrize("arguments", PATHS, ids=names)
def test_the_page_shows_what_the_program_lays(arguments: str) -> None:
    shown, steps = page_of(arguments)[1], PATHS[arguments]
    assert list(shown) == [step.n for step in steps]
    for step in steps:
        line = shown[step.n]
        assert line.hands == pytest.approx(number(step.hands), abs=0.051)
        assert line.share == pytest.approx(number(step.share), abs=0.051)
        assert line.flagged == step.flagged
        assert (line.rise is None) == (step.rise is None)
        assert line.rise is None or line.rise == pytest.approx(step.rise, abs=0.051)


def sticks(plan: Prescription, end: End | None) -> Stick:
    """The posture as the catalogue writes it; its open angles as the model found them."""
    movement, scalings = load_movement(plan.movement), plan.scalings()
    entry = demand_entry(movement, plan.variant, scalings)
    found = demand(movement, MAN, variant=plan.variant, scalings=scalings, end=end)
    pose = entry.pose(end)
    bent = pose.elbow if plan.hold_at is None else plan.hold_at
    trunk = number(found.trunk)
    return Stick(
        up=180 - trunk if entry.belly == "up" else trunk,
        shoulder=number(found.shoulder),
        elbow=bent,
        hip=pose.hip,
        knee=pose.knee,
        apart=pose.apart,
        other=None if pose.other_leg is None else (pose.other_leg.hip, pose.other_leg.knee),
    )


def band_of(plan: Prescription, stick: Stick) -> dict[str, Point]:
    """A band's pull, from where it holds the body to the hands, in body weights."""
    if plan.band is None or plan.band.kg is None:
        return {}
    usual = load_movement(plan.movement).scalings.help_at[0]
    place = {"feet": "sole", "hips": "hip", "knees": "knee"}[usual]
    return {place: plan.band.kg / 75 * unit(stick.grip() - stick.joints()[place])}


def by_work(plan: Prescription, end: End | None = None) -> float:
    """Load at the hands in % of body weight."""
    stick = sticks(plan, end)
    entry = demand_entry(load_movement(plan.movement), plan.variant, plan.scalings())
    if entry.feet == "none":  # the whole body rises a little: the hands lift all of it but what the band lifts
        helped = sum((pull for pull in band_of(plan, stick).values()), np.zeros(2))
        return 100 * float(np.hypot(helped[0], 1 - helped[1]))
    joints = stick.joints()
    if entry.hands == "floor":
        return 100 * hands_load(stick, joints["ball"], stick.palm(), np.array([0.0, 1.0]))
    way = unit(joints["heel"] + ANCHOR - stick.grip())
    return 100 * hands_load(stick, joints["heel"], stick.grip(), way)


@pytest.mark.parametrize(("arguments", "step"), STEPS, ids=names)
def test_the_load_at_the_hands_by_virtual_work(arguments: str, step: Step) -> None:
    assert by_work(step.prescription) == pytest.approx(number(step.hands), abs=0.05), arguments


def mode(plan: Prescription) -> float:
    return FACTOR[mode_of(load_movement(plan.movement), plan.scalings())]


@pytest.mark.parametrize(
    ("arguments", "step"), [each for each in STEPS if each[1].prescription.movement == "front-lever"], ids=names
)
def test_the_shares_of_the_levers_by_virtual_work(arguments: str, step: Step) -> None:
    goal = PATHS[arguments][-1].prescription
    full = shoulder_moment(sticks(goal, None)) / mode(goal)
    stick = sticks(step.prescription, None)
    moment = shoulder_moment(stick, band_of(step.prescription, stick)) / mode(step.prescription)
    assert 100 * moment / full == pytest.approx(number(step.share), abs=0.05)


@pytest.mark.parametrize(
    ("arguments", "step"), [each for each in STEPS if each[1].prescription.movement == "handstand-push-up"], ids=names
)
def test_the_shares_of_the_handstand_push_ups_by_virtual_work(arguments: str, step: Step) -> None:
    goal = PATHS[arguments][-1].prescription
    full = elbow_moment(sticks(goal, None)) / mode(goal)
    moment = elbow_moment(sticks(step.prescription, None)) / mode(step.prescription)
    assert 100 * moment / full == pytest.approx(number(step.share), abs=0.05)


@pytest.mark.parametrize(
    ("arguments", "step"), [each for each in STEPS if each[1].prescription.movement == "pull-up"], ids=names
)
def test_the_shares_of_the_pull_ups_follow_from_the_load_and_the_factor(arguments: str, step: Step) -> None:
    full = by_work(PATHS[arguments][-1].prescription)
    assert 100 * by_work(step.prescription) / mode(step.prescription) / full == pytest.approx(
        number(step.share), abs=0.05
    )


@pytest.mark.parametrize(("arguments", "step"), STEPS, ids=names)
def test_hands_and_feet_stand_where_the_step_says(arguments: str, step: Step) -> None:
    """The model's own open angles, put into the other figure: heights and balance must come out right."""
    plan = step.prescription
    movement = load_movement(plan.movement)
    entry, stick = demand_entry(movement, plan.variant, plan.scalings()), sticks(plan, None)
    joints = stick.joints()
    if entry.feet == "none":
        assert offset_of_balance(plan, stick) == pytest.approx(0, abs=0.002) or movement.name == "front-lever"
    elif entry.hands == "floor":
        hands, feet = plan.hands_raised_cm or 0, plan.feet_raised_cm or 0
        assert 178 * (stick.palm() - joints["ball"])[1] == pytest.approx(hands - feet, abs=0.1), arguments
    elif plan.body_angle is not None:
        line = joints["shoulder"] - joints["ankle"]
        assert np.degrees(np.arctan2(line[1], -line[0])) == pytest.approx(plan.body_angle, abs=0.01)


def offset_of_balance(plan: Prescription, stick: Stick) -> float:
    """How far along the floor the centre of mass is from the hands."""
    hands = stick.grip() if plan.movement == "pull-up" else stick.palm()
    return float(sum(weight * at[0] for _, weight, at in stick.parts()) - hands[0])


BY_HAND = re.findall(r"^\| (head|trunk|upper arms|forearms|hands|thighs|shanks|feet|all) \|(.*)\|$", PAGE, re.MULTILINE)


def cells(which: slice) -> dict[str, list[float]]:
    return {name: [float(cell) for cell in rest.split("|") if cell.strip()] for name, rest in BY_HAND[which]}


def test_the_lever_that_is_worked_by_hand() -> None:
    table = cells(slice(0, 6))
    moments = []
    for column, bent in ((1, 0.0), (3, 130.0)):
        stick = Stick(180, 50, hip=bent, knee=bent)
        products = []
        for name, weight, at in stick.parts():
            if name in table:
                distance = 100 * at[0]
                assert table[name][0] == pytest.approx(100 * weight, abs=0.006)
                assert table[name][column] == pytest.approx(distance, abs=0.051)
                assert table[name][column + 1] == pytest.approx(weight * distance, abs=0.006)
                products.append(weight * distance)
        assert table["all"][(column - 1) // 2] == pytest.approx(sum(products), abs=0.006)
        assert sum(products) == pytest.approx(-100 * shoulder_moment(stick), abs=1e-4)
        moments.append(sum(products))
    assert f"{moments[0] / 100 * 75 * 9.807 * 1.78:.0f} Nm" in PAGE
    assert f"= {100 * moments[1] / moments[0]:.0f} % of it" in PAGE


def test_the_push_up_that_is_worked_by_hand() -> None:
    table = cells(slice(6, 15))
    stick = sticks(asked("push-up"), None)
    feet = stick.joints()["ball"]
    for name, weight, at in stick.parts():
        assert table[name] == [
            pytest.approx(100 * weight, abs=0.006),
            pytest.approx(100 * (at - feet)[0], abs=0.051),
            pytest.approx(100 * weight * (at - feet)[0], abs=0.006),
        ]
    ahead = 100 * (stick.palm() - feet)[0]
    assert f"{table['all'][0]:.2f} / {ahead:.1f} = {100 * table['all'][0] / ahead:.1f} % of body weight" in PAGE


def test_the_pull_up_that_is_worked_by_hand() -> None:
    assert f"100 / 1.3 = {100 / 1.3:.1f} %" in PAGE
    assert f"100 / 1.1 = {100 / 1.1:.1f} %" in PAGE
    assert f"10 / 75\n= {100 * 10 / 75:.1f} % off" in PAGE
    (banded,) = [
        step
        for _, step in STEPS
        if step.prescription.band and step.prescription.band.kg == 10 and step.prescription.movement == "pull-up"
    ]
    assert f"takes off {100 - by_work(banded.prescription):.1f} %" in PAGE


def test_the_rules_on_the_page_are_the_usual_ones() -> None:
    rules = Rules()
    assert f"more than {rules.step.largest:g} %" in PAGE
    assert f"at least {rules.step.least:g} % more" in PAGE
    assert f"every {rules.step.body_angle:g} degrees" in PAGE
    assert f"every {rules.step.height_cm:g} cm" in PAGE
