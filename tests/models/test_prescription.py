import re
from pathlib import Path

import pytest

from models.errors import BadInput, PrescriptionError
from models.limit import Limit
from models.prescription import Prescription, parse_prescription, read_prescription

PUSH_UP = 'movement = "push-up"\nreps = 8\n'
LEVER = 'movement = "front-lever"\nhold = 10\n'


def parse(text: str) -> Prescription:
    return parse_prescription(text.encode(), "plan.toml")


def fault(text: str) -> str:
    with pytest.raises(BadInput) as caught:
        parse(text)
    return str(caught.value)


def test_the_shortest_prescription_has_one_set_and_no_limits() -> None:
    plan = parse(PUSH_UP)
    assert (plan.sets, plan.reps, plan.hold, plan.tempo) == (1, 8, None, None)
    assert plan.rep_limits() == {}


def test_limits_carry_the_names_of_the_document() -> None:
    plan = parse(
        PUSH_UP
        + """
        [limits]
        straight.body = { low = 10, high = 25 }
        bent.elbow = { low = 90 }
        worst = { hip.low = -15, deviation.high = 8 }
        """
    )
    assert plan.rep_limits() == {
        "straight.body": Limit(low=10, high=25),
        "bent.elbow": Limit(low=90),
        "worst.hip": Limit(low=-15),
        "worst.deviation": Limit(high=8),
    }


def test_a_written_limit_replaces_that_of_the_tempo() -> None:
    plan = parse(PUSH_UP + 'tempo = "5-1-1-0"\nlimits.lowering = { low = 4.8, high = 6 }')
    assert plan.rep_limits()["lowering"] == Limit(low=4.8, high=6)
    assert plan.rep_limits()["bottom_pause"] == Limit(low=0.7)


def test_an_x_is_shown_and_not_limited_unless_a_limit_is_written() -> None:
    plan = parse(PUSH_UP + 'tempo = "3-0-X-1"')
    assert "raising" not in plan.rep_limits()
    assert plan.as_fast_as_possible() == ("raising",)
    limited = parse(PUSH_UP + 'tempo = "3-0-X-1"\nlimits.raising.high = 1.2')
    assert limited.rep_limits()["raising"] == Limit(high=1.2)
    assert limited.as_fast_as_possible() == ()


@pytest.mark.parametrize("tempo", ["5", "5-0-X-0", "5-0-0-0"])
def test_lowering_only_checks_the_lowering_alone(tempo: str) -> None:
    plan = parse(f'movement = "pull-up"\nreps = 3\ntempo = "{tempo}"\nlowering_only = true')
    assert plan.rep_limits() == {"lowering": Limit(low=4.5)}
    assert plan.as_fast_as_possible() == ()
    reps = plan.as_movement().reps
    assert reps is not None
    assert (reps.lowering_only, reps.first) == (True, "lowering")


def test_a_hold_has_its_dose_as_time_in_position() -> None:
    plan = parse(LEVER + "limits.posture.trunk = { low = -15, high = 15 }\nlimits.sway.along_floor.high = 10")
    assert plan.hold_limits() == {
        "in_position": Limit(low=9.5),
        "posture.trunk": Limit(low=-15, high=15),
        "sway.along_floor": Limit(high=10),
    }


def test_a_movement_done_in_reps_can_be_held_at_a_point_of_its_range() -> None:
    plan = parse('movement = "push-up"\nhold = 20\nlimits.posture.elbow = { low = 80, high = 100 }')
    assert list(plan.hold_limits()) == ["in_position", "posture.elbow"]


def test_the_variant_names_the_line_that_is_measured() -> None:
    assert parse(LEVER).as_movement().line == "ankles-shoulders"
    assert parse(LEVER + 'variant = "tuck"').as_movement().line == "hips-shoulders"


@pytest.mark.parametrize(
    ("limits", "straight", "bent"),
    [
        ("", 10, 90),
        ("bent.elbow.low = 110", 10, 110),
        ("bent.elbow.low = 45", 10, 45),
        ("bent.elbow.high = 60", 10, 60),
        ("bent.elbow.high = 120", 10, 90),
        ("straight.elbow.high = 5", 5, 90),
        ("straight.elbow.low = 30", 30, 90),
        ("bent.body.low = 0", 10, 90),
    ],
)
def test_limits_of_the_driving_angle_say_what_range_a_whole_rep_has(limits: str, straight: float, bent: float) -> None:
    reps = parse(f"{PUSH_UP}[limits]\n{limits}").as_movement().reps
    assert reps is not None
    assert (reps.straight, reps.bent) == (straight, bent)


def test_a_prescription_outlives_being_saved() -> None:
    plan = parse(PUSH_UP + 'tempo = "5-0-X-1"\nathlete = "Tomasz"\nlimits.bent.elbow.low = 85')
    assert Prescription.model_validate_json(plan.model_dump_json()) == plan


def test_a_file_may_start_with_a_byte_order_mark_and_end_lines_as_windows_does(tmp_path: Path) -> None:
    file = tmp_path / "plan.toml"
    file.write_bytes(b"\xef\xbb\xbf" + PUSH_UP.replace("\n", "\r\n").encode())
    assert read_prescription(file).reps == 8


# Whatever is wrong is said in one line that names the file, the fault and the cure.
@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("reps = 8", "plan.toml: movement is missing; write it down"),
        ('movment = "row"\nreps = 8', "plan.toml, line 1, column 1: unknown key 'movment'; did you mean 'movement'?"),
        (PUSH_UP + "zzz = 1", "unknown key 'zzz' (known: sets, reps, hold, tempo"),
        (PUSH_UP + "limits.bent.elbo.low = 90", "unknown key 'limits.bent.elbo'; did you mean 'elbow'?"),
        (PUSH_UP + "limits.bnt.elbow.low = 90", "unknown key 'limits.bnt'; did you mean 'bent'?"),
        (PUSH_UP + "limits.lowering.min = 4", "unknown key 'limits.lowering.min' (known: low, high)"),
        ('movement = "pushup"\nreps = 8', "plan.toml, line 1, column 1: unknown movement 'pushup'; did you mean 'push-up'? (known: "),
        (LEVER + 'variant = "tucked"', "front-lever has no variant 'tucked'; did you mean 'tuck'? (known: tuck, adv"),
        ('movement = "squat"\nreps = 5\nvariant = "sumo"', "squat has no variant 'sumo'"),
        ('movement = "row"', "plan.toml: no dose is given; write either reps = 8, or hold = 10 (seconds)"),
        (PUSH_UP + "hold = 10", "plan.toml, line 3, column 1: both reps and hold are given; write either"),
        ('movement = "l-sit"\nreps = 5', "reps: l-sit has none, it is held; write hold = 10 (seconds)"),
        (PUSH_UP + "sets = 0", "sets: should be greater than or equal to 1, not 0"),
        ('movement = "row"\nreps = 2.5', "reps: should be a whole number, not 2.5"),
        ('movement = "row"\nreps = true', "reps: should be a whole number, not True"),
        ('movement = "row"\nhold = "10"', "hold: should be a number, not '10'"),
        ('movement = "row"\nhold = 0.2', "hold: should be greater than or equal to 1, not 0.2"),
        ("movement = 5\nreps = 8", "movement: should be text in quotes, not 5"),
        (PUSH_UP + 'lowering_only = "yes"', "lowering_only: should be true or false, not 'yes'"),
        (PUSH_UP + "limits.bent.elbow = 90", "limits.bent.elbow: should be a table, such as { low = 80, high = 100 }, not 90"),
        (PUSH_UP + "limits.bent.elbow = {}", "limits.bent.elbow: no limit is given; write low, high or both"),
        (PUSH_UP + "limits.bent.elbow = { low = 90, high = 90 }", "limits.bent.elbow: low 90 is not below high 90"),
        (PUSH_UP + "limits.bent.elbow = { low = 95, high = 90 }", "limits.bent.elbow: low 95 is not below high 90"),
        (PUSH_UP + "limits.bent.elbow.low = nan", "limits.bent.elbow.low: should be a finite number, not nan"),
        (PUSH_UP + "limits.bent.elbow.low = 900", "limits.bent.elbow: 900 deg cannot be; write a value from -180 to 270"),
        (PUSH_UP + "limits.lowering.low = -1", "limits.lowering: -1 s cannot be; write a value from 0 to 3600"),
        (PUSH_UP + "tempo = 5110", 'tempo: should be text in quotes, such as "5-1-1-0"'),
        (PUSH_UP + 'tempo = "5-1-1"', "tempo: 3 places in '5-1-1', not four; write it as \"5-1-1-0\""),
        (PUSH_UP + 'tempo = "5"', 'tempo: one place, not four; write it as "5-1-1-0"'),
        (PUSH_UP + 'tempo = "5-1-0-0"', "tempo: a stroke cannot take 0 s; write X for one that is as fast as possible"),
        (PUSH_UP + 'tempo = "0-1-1-0"', "tempo: a stroke cannot take 0 s"),
        (LEVER + 'tempo = "5-1-1-0"', "both hold and tempo are given; remove one of them"),
        (LEVER + "lowering_only = true", "both hold and lowering_only are given; remove one of them"),
        (LEVER + "limits.bent.elbow.low = 90", "limits.bent.elbow has no meaning for a hold; remove it"),
        (LEVER + "limits.lowering.low = 5", "limits.lowering has no meaning for a hold; remove it"),
        (PUSH_UP + "limits.posture.hip.low = -5", "limits.posture.hip has no meaning for reps; remove it"),
        (PUSH_UP + "limits.sway.path.high = 5", "limits.sway.path has no meaning for reps; remove it"),
        (LEVER + "limits.in_position.low = 12", "limits.in_position (at least 12) excludes the hold of 10 s; change one"),
        (
            PUSH_UP + 'tempo = "5-1-1-0"\nlimits.lowering.high = 3',
            "limits.lowering (at most 3) excludes the 5 s of the tempo; change one of them",
        ),
        (
            PUSH_UP + "lowering_only = true\nlimits.raising.high = 3",
            "limits.raising is not checked when lowering_only is true; remove one of them",
        ),
        (
            'movement = "pull-up"\nreps = 5\nlimits.bent.body.low = 70',
            "limits.bent.body does not apply: pull-up is upright or inverted; write limits.bent.lean",
        ),
        (
            PUSH_UP + "limits.straight.lean.low = 70",
            "limits.straight.lean does not apply: push-up is level; write limits.straight.body",
        ),
        (
            PUSH_UP + "limits.bent.elbow.high = 25",
            "the limits of the elbow leave a range of 15 deg, too small for a rep; ask for at least 20 deg, or prescribe",
        ),
        ('movement = "row\nreps = 8', "plan.toml, line 1, column 16: not valid TOML: Illegal character '\\n'; text"),
        (PUSH_UP + "tempo = 5-1-1-0", "plan.toml, line 3, column 10: not valid TOML: Expected newline or end of document"),
        (PUSH_UP + "reps = 9", "plan.toml: not valid TOML: Cannot overwrite a value (at end of document); text needs quotes"),
        (f'movement = "{"x" * 5000}"', "movement: String should have at most 100 characters, not 'xxx"),
        ("a = " + "[" * 20_000, "plan.toml: not valid TOML"),
        ("reps = " + "9" * 5000, "plan.toml: not valid TOML"),
    ],
)  # fmt: skip
def test_what_is_wrong_is_said_in_one_line(text: str, says: str) -> None:
    message = fault(text)
    assert says in message
    assert re.match(r"plan\.toml(, line \d+(, column \d+)?)?: ", message)
    assert "\n" not in message
    assert len(message) < 300


LONG = """# Monday
movement = "push-up"
variant = "hands-raised"
sets = 3
reps = 5
tempo = "5-1-1-0"

[limits]
straight.elbow = { high = 20 }
bent = { elbow.low = 90, body = { low = 5, high = 30 } }
"""


@pytest.mark.parametrize(
    ("old", "new", "place"),
    [
        ('"push-up"', '"pushup"', "line 2, column 1"),
        ('"hands-raised"', '"hand-raised"', "line 3, column 1"),
        ("sets = 3", "sets = 300", "line 4, column 1"),
        ("reps = 5", "reps = 5\nhold = 10", "line 6, column 1"),
        ("5-1-1-0", "5-1-0-0", "line 6, column 1"),
        ("high = 20", "hihg = 20", "line 9, column 20"),
        ("high = 20", "high = 0", "line 10, column 10"),
        ("low = 5", "low = 50", "line 10, column 26"),
        ("high = 30", 'high = "30"', "line 10, column 44"),
        ("high = 30 } }", "high = 30 } }\nposture.hip.low = 0", "line 11, column 9"),
        ("high = 30 } }", "high = 30 } }\nlowering.high = 3", "line 11, column 1"),
        ("high = 30 } }", "high = 30 } ", "line 10, column 56"),
    ],
)
def test_a_fault_is_pointed_at(old: str, new: str, place: str) -> None:
    assert old in LONG
    text = LONG.replace(old, new)
    if new == "high = 0":  # the straight end then lies near the bent one
        text = text.replace("elbow.low = 90", "elbow.low = 15")
    assert fault(text).startswith(f"plan.toml, {place}: ")


def test_what_is_missing_has_no_place() -> None:
    assert fault("reps = 8").startswith("plan.toml: movement is missing")
    assert fault('movement = "row"').startswith("plan.toml: no dose is given")


def test_what_is_not_text_is_refused() -> None:
    with pytest.raises(PrescriptionError, match=r"clip\.mp4: not text in UTF-8"):
        parse_prescription(b"\x00\x00\x00\x20ftyp\xff\xfe", "clip.mp4")


def test_what_is_too_large_is_refused() -> None:
    with pytest.raises(PrescriptionError, match="too large for a prescription"):
        parse_prescription(b"#" * 200_000, "plan.toml")


def test_a_missing_file_and_a_folder_are_refused(tmp_path: Path) -> None:
    with pytest.raises(
        PrescriptionError, match=r"cannot read .*nowhere\.toml: No such file or directory; give the path"
    ):
        read_prescription(tmp_path / "nowhere.toml")
    with pytest.raises(PrescriptionError, match="Is a directory"):
        read_prescription(tmp_path)
