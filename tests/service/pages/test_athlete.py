"""What the athlete's pages say and draw of a prescription and of a measurement."""

from math import cos, radians, sin

import pytest

from models.movements.catalogue import movement_names
from models.prescription import Prescription, parse_prescription
from service.pages.athlete.filming import hints_for
from service.pages.athlete.pace import GROUND, Beat, pace_of
from service.pages.athlete.plain import in_plain_words


def plan(text: str) -> Prescription:
    return parse_prescription(text.encode(), "plan")


PUSH_UP = plan('movement = "push-up"\nsets = 3\nreps = 5\ntempo = "5-1-1-0"\nlimits.bent.elbow = { low = 70 }\n')
ROW = plan('movement = "row"\nsets = 2\nreps = 1\ntempo = "2-0-X-1"\nbody_angle = 30\n')
LEVER = plan('movement = "front-lever"\nvariant = "tuck"\nsets = 4\nhold = 10\nband = { kg = 10 }\n')
LOWERING = plan('movement = "pull-up"\nsets = 1\nreps = 2\ntempo = "5"\nlowering_only = true\nload = { kg = 5 }\n')


def test_a_rep_is_told_in_the_order_of_time() -> None:
    task = in_plain_words(PUSH_UP)
    assert task.dose == "3 sets of 5 reps"
    assert task.steps == (
        "Lower for 5 s",
        "Stay 1 s at the bottom (chest low)",
        "Come up in 1 s",
        "Turn at once at the top (lockout)",
    )
    assert task.asked == ("Elbow at the bent end: at least 70° (0° is straight)",)
    assert in_plain_words(ROW).steps == (
        "Come up as fast as you can",
        "Stay 1 s at the top (chest at the hands)",
        "Lower for 2 s",
        "Turn at once at the bottom (full hang)",
    )
    assert in_plain_words(ROW).dose == "2 sets of 1 rep"


def test_scalings_and_holds_are_told() -> None:
    task = in_plain_words(LEVER)
    assert task.dose == "4 sets, held for 10 s"
    assert task.how[1:] == ("A band that takes off 10 kg",)
    assert task.steps == ("Hold still for 10 s",)
    assert in_plain_words(LOWERING).how == ("5 kg added", "Only the lowering counts")
    assert in_plain_words(LOWERING).steps[-1] == "Come back up as you like; that is not measured"
    assert in_plain_words(ROW).how == ("Body line at 30° to the floor, limbs straight",)


def test_the_beats_are_those_of_the_tempo() -> None:
    assert pace_of(PUSH_UP).beats == (Beat("lowering", 5), Beat("bottom_pause", 1), Beat("raising", 1))
    assert pace_of(ROW).beats == (Beat("raising", 1, fast=True), Beat("top_pause", 1), Beat("lowering", 2))
    assert (pace_of(ROW).starts, pace_of(PUSH_UP).starts) == ("bottom", "top")
    assert pace_of(LOWERING).beats == (Beat("lowering", 5), Beat("back", 3))
    assert pace_of(LEVER).beats == (Beat("hold", 10),)
    assert pace_of(LEVER).times == 1


def test_the_camera_runs_longer_than_the_set_takes() -> None:
    assert pace_of(PUSH_UP).film_seconds == 66  # 5 times 7 s and 30 % more, and 20 s around
    assert pace_of(plan('movement = "push-up"\nreps = 1000\ntempo = "5-1-1-0"\n')).film_seconds == 300


@pytest.mark.parametrize("name", movement_names())
def test_every_movement_has_a_line_on_the_sheet_and_hints(name: str) -> None:
    held = plan(f'movement = "{name}"\nhold = 10\n')
    has_reps = held.as_movement().reps is not None
    for each in (held, plan(f'movement = "{name}"\nreps = 3\n')) if has_reps else (held,):
        sketch = pace_of(each).sketch
        for y, angle in ((sketch.top_y, sketch.top), (sketch.bottom_y, sketch.bottom)):
            end = (sketch.x + sketch.length * cos(radians(angle)), y - sketch.length * sin(radians(angle)))
            assert 0 < end[0] < 100
            assert 4 < end[1] < GROUND
    assert hints_for(held).view.startswith("Film")
