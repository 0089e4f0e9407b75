"""The second method: virtual work. What the muscles' moments do in a small change of the posture is what the masses gain.

Nothing of `models.body.statics` but its results is used: the potential energy of all masses is differenced between two
postures that the supports allow, so the forces of fixed supports do no work at all.
"""

from dataclasses import replace
from math import radians

import pytest

from models.body.figure import ARMS, Figure, Posture, figure, seam
from models.body.settle import Settled, settle_from
from models.body.statics import equilibrium
from models.body.supports import Pull, Supports, cross, hands_bear, pivot
from tests.models.body.bodies import BOTH, FROM_BAR, MAN, ON_FEET, ON_HANDS, ON_TOES, push_up

STEP = 0.01
"""Degrees."""
SMALL = 2e-6


def height(body: Figure, fixed: complex) -> float:
    """Potential energy over a point that does not move, in body weights times heights."""
    return sum(mass.share * (mass.at - fixed).imag for mass in body.masses)


def gain(posture: Posture, **turns: float) -> tuple[Figure, Figure]:
    """The figures a small turn before and after."""
    before, after = (
        figure(
            replace(posture, **{name: getattr(posture, name) + side * turn * STEP for name, turn in turns.items()}), MAN
        )
        for side in (-0.5, 0.5)
    )
    return before, after


HANGING = [
    ("front lever", Posture(180, 50), FROM_BAR),
    ("tucked", Posture(180, 65, hip=110, knee=120), FROM_BAR),
    ("one leg", Posture(180, 60, other_hip=120, other_knee=120), FROM_BAR),
    ("back lever", Posture(0, -50), FROM_BAR),
    ("planche", Posture(0, 40), ON_HANDS),
    ("straddled", Posture(-5, 42, apart=40), ON_HANDS),
    ("pull-up", Posture(100, 100, elbow=110), FROM_BAR),
    ("dip", Posture(65, -40, elbow=90), ON_HANDS),
    ("handstand push-up", Posture(-80, 115, elbow=90), ON_HANDS),
]


@pytest.mark.parametrize(("name", "posture", "supports"), HANGING)
def test_hands_alone(name: str, posture: Posture, supports: Supports) -> None:
    """The forearms stay, so the hands do no work. Flexing a joint turns all that is beyond it, and nothing else."""
    held = equilibrium(figure(posture, MAN), supports, MAN, hands_bear(figure(posture, MAN), supports, MAN), 1j)
    turn = radians(STEP)
    # The shoulder flexes while the body turns back: the arms keep their direction in the room, the wrist its place.
    before, after = gain(posture, shoulder=1, pitch=-1)
    assert (height(after, after.wrist) - height(before, before.wrist)) / turn == pytest.approx(
        held.moments["shoulder"], abs=SMALL
    ), name
    before, after = gain(posture, elbow=1, pitch=-1)
    assert (height(after, after.wrist) - height(before, before.wrist)) / turn == pytest.approx(
        held.moments["elbow"], abs=SMALL
    )


@pytest.mark.parametrize(("name", "posture", "supports"), HANGING)
def test_hips_and_knees(name: str, posture: Posture, supports: Supports) -> None:
    held = equilibrium(figure(posture, MAN), supports, MAN, hands_bear(figure(posture, MAN), supports, MAN), 1j)
    other = {"other_hip": 1.0} if posture.other_hip is not None else {}
    before, after = gain(posture, hip=1, **other)
    assert (height(after, 0j) - height(before, 0j)) / radians(STEP) == pytest.approx(held.moments["hip"], abs=SMALL), (
        name
    )
    other = {"other_knee": 1.0} if posture.other_hip is not None else {}
    before, after = gain(posture, knee=1, **other)
    assert (height(after, 0j) - height(before, 0j)) / radians(STEP) == pytest.approx(held.moments["knee"], abs=SMALL)


@pytest.mark.parametrize("posture", [Posture(58, 90, hip=105, knee=110), Posture(70, 20, hip=60, knee=70)])
def test_a_squat_on_feet_that_stay(posture: Posture) -> None:
    """The shanks stay. Ankles hold what the feet's force does about them, and do no work either."""
    held = equilibrium(figure(posture, MAN), ON_FEET, MAN, 0j, 1j)
    before, after = gain(posture, knee=1, pitch=1)
    turning = (height(after, after.leg.ankle) - height(before, before.leg.ankle)) / radians(STEP)
    assert turning == pytest.approx(held.moments["knee"], abs=SMALL)
    before, after = gain(posture, hip=1, pitch=-1)
    turning = (height(after, after.leg.ankle) - height(before, before.leg.ankle)) / radians(STEP)
    assert turning == pytest.approx(held.moments["hip"], abs=SMALL)


CLOSED = [
    ("push-up", ON_TOES, {"elbow": 90.0}),
    ("push-up, half way", ON_TOES, {"elbow": 45.0}),
    ("feet raised", replace(ON_TOES, rise=-0.2), {"elbow": 80.0}),
    ("hands raised", replace(ON_TOES, rise=0.25), {"elbow": 70.0}),
    ("on the knees", replace(ON_TOES, feet="knees"), {"elbow": 80.0, "knee": 70.0}),
]


@pytest.mark.parametrize(("name", "supports", "angles"), CLOSED)
@pytest.mark.parametrize("turned", ["elbow", "hip"])
def test_hands_and_feet_that_stay(name: str, supports: Supports, angles: dict[str, float], turned: str) -> None:
    """A closed linkage: one angle changes, the others follow, and the work of all the moments is what the masses gain.

    The hand stays flat, so the wrist works too: the moment of the hands' force about it, as the forearm turns over it.
    """
    straight = push_up(supports=supports)
    if supports.feet == "knees":
        straight = push_up(supports=supports, shoulder=60)

    def at(offset: float) -> Settled:
        wanted = Posture(10, 0, elbow=angles["elbow"], knee=angles.get("knee", 0.0), hip=12)
        moved = replace(wanted, **{turned: getattr(wanted, turned) + offset})
        return settle_from(straight, moved, BOTH, supports, MAN)

    before, here, after = at(-STEP / 2), at(0), at(STEP / 2)
    held = equilibrium(here.body, supports, MAN, here.hands_at, here.pull)
    gained = [height(there.body, pivot(there.body, supports, MAN)) for there in (before, after)]

    def turn(*names: str) -> float:
        angle = [sum(float(getattr(there.posture, name)) for name in names) for there in (before, after)]
        return radians(seam(angle[1] - angle[0]))

    work = sum(held.moments[joint] * turn(joint) for joint in ("shoulder", "elbow", "hip", "knee"))
    wrist = cross(here.hands_at - here.body.wrist, held.hands) * turn("pitch", "shoulder", "elbow")
    assert (work + wrist) / radians(STEP) == pytest.approx((gained[1] - gained[0]) / radians(STEP), abs=1e-5), name
    assert abs(gained[1] - gained[0]) / radians(STEP) > 0.01


def test_a_band_takes_what_its_work_says() -> None:
    """A fixed pull over the body: its work is the pull times the way that the hips rise."""
    posture = Posture(180, 50)
    supports = replace(FROM_BAR, band=Pull("hips", ((0.0, 0.15),), overhead=True))
    held = equilibrium(figure(posture, MAN), supports, MAN, hands_bear(figure(posture, MAN), supports, MAN), 1j)
    before, after = gain(posture, shoulder=1, pitch=-1)
    masses = height(after, after.wrist) - height(before, before.wrist)
    band = 0.15 * ((after.hip - after.wrist) - (before.hip - before.wrist)).imag
    assert (masses - band) / radians(STEP) == pytest.approx(held.moments["shoulder"], abs=SMALL)


def test_the_arms_are_counted_with_the_hands() -> None:
    """What the shoulder moves is all but the arms; were they counted with it, the moment would be another."""
    body = figure(Posture(180, 50), MAN)
    held = equilibrium(body, FROM_BAR, MAN, hands_bear(body, FROM_BAR, MAN), 1j)
    arms = sum(force.about(0j) for force in held.given if force.part in ARMS)
    assert abs(arms) > 0.005
