"""What is said of a missed check: one sentence, from the measurement, and nothing medical."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from models.advice import advise
from models.checks import check as rule
from models.document import Check, Hold, Posture, Rep, Standard, Stroke
from models.limit import Limit
from models.prescription import Prescription, parse_prescription
from models.quantity import Q, Unmeasured
from models.verdict import judge
from tests.models.samples import NONE, deg, document, hold, one_set, posture, q, rep

PUSH_UP = 'movement = "push-up"\nreps = 5\ntempo = "5-1-1-0"\n'
ROW = 'movement = "row"\nreps = 5\ntempo = "3-0-1-1"\n'
PULL_UP = 'movement = "pull-up"\nreps = 5\n'
LEVER = 'movement = "front-lever"\nhold = 10\n'
MEDICAL = re.compile(
    r"pain|injur|hurt|strain|sprain|inflam|tend[io]n|muscle|spine|disc|ligament|heal|doctor|therap", re.IGNORECASE
)


def plan(text: str) -> Prescription:
    return parse_prescription(text.encode(), "plan.toml")


def advice_on(entry: Rep | Hold, text: str) -> dict[str, str]:
    """The advice of each missed check of a rep or hold, by the check's name."""
    prescription = plan(text)
    sets = one_set([entry]) if isinstance(entry, Rep) else one_set(holds=[entry])
    (judged,) = judge(document(prescription.movement, sets), prescription).sets
    checks: tuple[Check, ...] = (judged.reps or judged.holds)[0].checks or ()
    assert all((each.advice is None) == (each.verdict != "missed") for each in checks)
    return {each.name: each.advice for each in checks if each.advice}


def lowered(seconds: float, thirds: tuple[float, float, float]) -> Rep:
    return with_stroke(rep(lowering=q(seconds), raising=q(1), bottom=q(1), top=q(0.2)), "lowering", thirds=thirds)


def with_stroke(each: Rep, name: str, **changes: object) -> Rep:
    stroke: Stroke = getattr(each, name)
    return each.model_copy(update={name: stroke.model_copy(update=changes)})


def test_a_dropped_lowering_names_the_third_that_was_hurried() -> None:
    assert advice_on(lowered(3.1, (0.45, 0.45, 0.1)), PUSH_UP) == {
        "lowering": "The lowering took 3.1 s of 5; the last third took a tenth of it: slow down there."
    }
    assert "the first third took a fifth of it" in advice_on(lowered(3.1, (0.19, 0.4, 0.41)), PUSH_UP)["lowering"]
    assert "the last third took 12 % of it" in advice_on(lowered(3.1, (0.44, 0.44, 0.12)), PUSH_UP)["lowering"]


def test_an_even_lowering_that_is_too_short_gets_its_time_by_thirds() -> None:
    assert advice_on(lowered(3.1, (0.35, 0.3, 0.35)), PUSH_UP) == {
        "lowering": "The lowering took 3.1 s of 5: spread 5 s evenly over the way, about 1.7 s to each third."
    }


def test_a_written_limit_is_told_in_place_of_the_tempo() -> None:
    said = advice_on(lowered(3.1, (0.35, 0.3, 0.35)), PUSH_UP + "limits.lowering.low = 4")
    assert said["lowering"].startswith("The lowering took 3.1 s, at least 4 asked: spread 4 s evenly")


def test_a_lowering_that_is_too_long_for_its_limit() -> None:
    said = advice_on(lowered(7, (0.3, 0.2, 0.5)), PUSH_UP + "limits.lowering = { low = 4.5, high = 6 }")
    assert said["lowering"] == (
        "The lowering took 7.0 s, 4.5 to 6 asked; the last third took half of it: keep the pace up there."
    )


@pytest.mark.parametrize(
    ("thirds", "stops", "ending"),
    [
        ((0.3, 0.3, 0.4), 0.8, "; for 0.8 s of that it stood still: keep moving to the end."),
        ((0.2, 0.66, 0.14), 0.0, "; the middle third took two thirds of it: keep the pace up there."),
        ((0.3, 0.3, 0.4), 0.1, ": go faster by 1.9 s from the start."),
    ],
)
def test_a_slow_raising_says_where_it_was_slow(thirds: tuple[float, float, float], stops: float, ending: str) -> None:
    each = rep(lowering=q(5), raising=q(2.9), bottom=q(1), top=q(0.2))
    each = with_stroke(each, "raising", thirds=thirds, stops=q(stops))
    assert advice_on(each, PUSH_UP) == {"raising": f"The raising took 2.9 s instead of 1{ending}"}


def test_pauses_say_which_stroke_to_begin_when() -> None:
    short = rep(lowering=q(5), raising=q(1), bottom=q(0.3), top=q(0.91))
    after = rep(2, lowering=q(5), raising=q(1), bottom=q(1), top=q(0.2))
    (judged,) = judge(document("push-up", one_set([short, after])), plan(PUSH_UP)).sets
    said = {each.name: each.advice for each in judged.reps[0].checks or () if each.advice}
    assert said == {
        "bottom_pause": "The bottom pause lasted 0.3 s of 1: begin the raising 0.7 s later.",
        "top_pause": "The top pause lasted 0.9 s, at most 0.6 asked: begin the lowering 0.3 s sooner.",
    }


@pytest.mark.parametrize(
    ("text", "ends", "name", "says"),
    [
        (
            PUSH_UP + "limits.bent.elbow.low = 90",
            {"bent": posture(elbow=deg(78))},
            "bent.elbow",
            "The elbow was 78 deg at the bottom, at least 90 asked: bend the elbow by 12 degrees more.",
        ),
        (
            ROW + "limits.bent.elbow.low = 100",
            {"bent": posture(elbow=deg(78))},
            "bent.elbow",
            "The elbow was 78 deg at the top, at least 100 asked: bend the elbow by 22 degrees more.",
        ),
        (
            ROW + "limits.straight.elbow.high = 15",
            {"straight": posture(elbow=deg(33))},
            "straight.elbow",
            "The elbow was 33 deg at the bottom, at most 15 asked: straighten the elbow by 18 degrees more.",
        ),
        (
            PUSH_UP + "limits.straight.body = { low = 5, high = 30 }",
            {"straight": posture(body=deg(2, 1))},
            "straight.body",
            "The body angle was 2 deg at the top, 5 to 30 asked: bring the shoulders up against the feet, by 3 degrees.",
        ),
        (
            PUSH_UP + 'variant = "knees"\nlimits.straight.body.high = 30',
            {"straight": posture(body=deg(38))},
            "straight.body",
            "The body angle was 38 deg at the top, at most 30 asked: bring the shoulders down against the knees, by 8 degrees.",
        ),
        (
            PUSH_UP + "limits.bent.shoulder.low = 30",
            {"bent": posture(shoulder=deg(20))},
            "bent.shoulder",
            "The shoulder was 20 deg at the bottom, at least 30 asked: take the arms 10 degrees further from the trunk.",
        ),
        (
            PULL_UP + "limits.straight.lean.high = 10",
            {"straight": posture(lean=deg(18))},
            "straight.lean",
            "The lean was 18 deg at the bottom, at most 10 asked: lean 8 degrees less towards the belly's side.",
        ),
        (
            PUSH_UP + "limits.bent.hip = { low = -10, high = 20 }",
            {"bent": posture(hip=deg(-22))},
            "bent.hip",
            "The hip was -22 deg at the bottom, -10 to 20 asked: bring the hip back towards straight by 12 degrees.",
        ),
        (
            PUSH_UP + "limits.bent.legs.high = 10",
            {"bent": posture(legs=deg(17))},
            "bent.legs",
            "The angle of the legs was 17 deg at the bottom, at most 10 asked: bring the hips down against the feet, by 7 degrees.",
        ),
    ],
)
def test_an_angle_says_which_way_and_how_far(text: str, ends: dict[str, Posture], name: str, says: str) -> None:
    each = rep(lowering=q(5), raising=q(1), bottom=q(1), top=q(0.2), **ends)  # type: ignore[arg-type]
    assert advice_on(each, text)[name] == says


def test_the_worst_hip_says_when() -> None:
    each = rep(hip=deg(-31), deviation=q(9, 1, "%")).model_copy(update={"raising": None})
    each = each.model_copy(update={"worst": each.worst.model_copy(update={"hip_at": 12.34})})
    said = advice_on(each, 'movement = "push-up"\nreps = 1\nlimits.worst = { hip.low = -20, deviation.high = 5 }')
    assert said["worst.hip"].startswith(
        "The hip came to -31 deg at 12.3 s of the clip, at least -20 asked: bring the hip back"
    )
    assert said["worst.deviation"].startswith("The hip left the body line by 9 % of its length, at most 5 asked: keep")


@pytest.mark.parametrize(
    ("name", "distance", "says"),
    [
        ("chin-over-bar", -2.3, "Chin over the bar: -2.3 % of body height, at least 0 asked; go 2.3 % of body height further in the raising."),
        ("chest-to-bar", 6.0, None),
    ],
)  # fmt: skip
def test_a_standard_says_how_far_and_in_which_stroke(name: str, distance: float, says: str | None) -> None:
    found = Standard(name=name, distance=q(distance, 0.5, "% of height"))
    each = rep(lowering=q(2), raising=q(1)).model_copy(update={"standards": (found,)})
    assert advice_on(each, PULL_UP + f"limits.standards.{name}.low = 0").get(f"standards.{name}") == says


def test_a_depth_is_reached_in_the_lowering() -> None:
    found = Standard(name="shoulder-below-elbow", distance=q(-3, 0.5, "% of height"))
    each = rep(lowering=q(2), raising=q(1)).model_copy(update={"standards": (found,)})
    said = advice_on(each, 'movement = "dip"\nreps = 5\nlimits.standards.shoulder-below-elbow.low = 0')
    assert said["standards.shoulder-below-elbow"].endswith("go 3.0 % of body height further in the lowering.")


def test_a_kip_is_told_by_its_swing_and_its_hip() -> None:
    each = rep(lowering=q(2), raising=q(1))
    each = with_stroke(each, "lowering", swing=q(3, 1, "% of height"), hip_range=deg(8))
    each = with_stroke(each, "raising", swing=q(24, 1, "% of height"), hip_range=deg(61))
    assert advice_on(each, PULL_UP + "strict = true") == {
        "swing": "The hips swung by 24 % of body height, at most 10 asked: begin each stroke from stillness, without a kick.",
        "hip_range": "The hip angle changed by 61 deg in one stroke, at most 25 asked: keep the hip at one angle from start to end.",
    }


MUSCLE_UP = 'movement = "muscle-up"\nreps = 3\n'


def test_a_slow_transition_is_asked_for_by_its_seconds() -> None:
    each = with_stroke(rep(lowering=q(3), raising=q(3)), "raising", phases={"transition": q(1.2)})
    said = advice_on(each, MUSCLE_UP + "limits.raising_phases.transition.low = 3")
    assert said == {
        "raising_phases.transition": "The transition took 1.2 s, at least 3 asked: go through it slower in the raising, by 1.8 s."
    }
    assert advice_on(each, MUSCLE_UP + "limits.lowering_phases.transition.low = 3") == {}


def test_the_height_of_the_shoulders_is_told_in_percent_of_the_arm() -> None:
    each = rep(lowering=q(3), raising=q(3), bent=posture(lean=NONE, reach=q(62, 5, "%")))
    said = advice_on(each, MUSCLE_UP + "limits.bent.reach.low = 90")
    assert said["bent.reach"] == (
        "The height of the shoulders was 62 % at the top, at least 90 asked: take the shoulders higher over the hands, by 28 % of the arm."
    )


def test_a_short_rep_and_a_failed_one() -> None:
    short = rep(status="short", straight=posture(elbow=deg(12)), bent=posture(elbow=deg(48)))
    assert advice_on(short, PUSH_UP)["status"] == (
        "The elbow went from 12 to 48 of the 10 to 90 degrees asked for: go through the whole range, in fewer reps if need be."
    )
    assert "less than half of the range" in advice_on(rep(status="short"), PUSH_UP)["status"]
    assert "end the set one rep earlier" in advice_on(rep(status="failed"), PUSH_UP)["status"]


def test_a_cut_off_rep_gets_no_advice() -> None:
    assert advice_on(rep(status="cut_off"), PUSH_UP) == {}


def test_a_hold_that_ends_early() -> None:
    assert advice_on(hold(q(8.5), posture()), LEVER) == {
        "in_position": "In position for 8.5 s of 10: stay 1.5 s longer in the same position."
    }


def test_a_hold_out_of_position_says_which_angle() -> None:
    def never(_hold: object, _limits: object, _margin: object) -> Q:
        return q(2.0)

    each = hold(q(11), posture(trunk=deg(24), elbow=deg(22)))
    text = LEVER + "limits.posture = { trunk = { low = -15, high = 15 }, elbow.high = 20, hip.high = 20 }"
    (judged,) = judge(document("front-lever", one_set(holds=[each])), plan(text), never).sets
    first, *_ = judged.holds[0].checks or ()
    assert first.advice == (
        "In position for 2.0 s of 10; the trunk was 24 deg, -15 to 15 asked: mend that before the hold gets longer."
    )


def test_drift_and_sway_of_a_hold() -> None:
    each = hold(q(11), posture(), q(14, 2, "mm")).model_copy(update={"drift": deg(-9)})
    said = advice_on(each, LEVER + "limits = { drift = { low = -3, high = 3 }, sway.along_floor.high = 10 }")
    assert said["drift"].startswith("The posture turned by -9 deg over the hold, -3 to 3 asked: end the hold when")
    assert said["sway.along_floor"].startswith(
        "The sway, along the floor, was 14 mm, at most 10 asked: hold on a firmer"
    )


def test_a_set_says_what_was_missed_most() -> None:
    reps = [
        rep(1, lowering=q(3), raising=q(1), bottom=q(1), top=q(0.2)),
        rep(2, lowering=q(3), raising=q(3), bottom=q(1), top=q(0.2)),
        rep(3, lowering=q(5), raising=q(1), bottom=q(1), top=q(0.2)),
    ]
    (judged,) = judge(document("push-up", one_set(reps)), plan(PUSH_UP)).sets
    (dose,) = judged.checks or ()
    assert dose.advice == "Most was missed in lowering, in 2 of 3 reps: mend that first."


def test_a_set_that_ended_early_says_so() -> None:
    good = rep(1, lowering=q(5), raising=q(1), bottom=q(1), top=q(0.2))
    (judged,) = judge(document("push-up", one_set([good])), plan(PUSH_UP)).sets
    (dose,) = judged.checks or ()
    assert (dose.verdict, dose.advice) == ("missed", "The set was over after 1 rep: go on to 5.")


def test_a_check_without_a_value_gets_none() -> None:
    prescription = plan(PUSH_UP)
    ruled = rule("lowering", Unmeasured(reason="hidden"), Limit(low=4.5))
    assert advise(ruled, rep(), prescription) is None
    assert advise(ruled.model_copy(update={"verdict": "missed"}), rep(), prescription) is None


def test_what_is_met_or_unsure_gets_none() -> None:
    assert advice_on(lowered(5.2, (0.4, 0.3, 0.3)), PUSH_UP) == {}
    assert advice_on(lowered(4.45, (0.4, 0.3, 0.3)), PUSH_UP) == {}


EVERY = """
lowering = { low = 4, high = 6 }
raising = { low = 1, high = 2 }
bottom_pause = { low = 1, high = 2 }
straight = { body = { low = 10, high = 30 }, elbow = { low = 0, high = 15 }, knee = { low = -5, high = 10 } }
bent = { trunk = { low = 0, high = 30 }, legs = { low = 0, high = 30 }, shoulder = { low = 10, high = 60 } }
worst = { hip = { low = -20, high = 20 }, deviation.high = 5 }
"""


@given(
    st.lists(st.floats(-170, 170).map(deg), min_size=8, max_size=8),
    st.lists(st.floats(0.01, 20).map(q), min_size=4, max_size=4),
    st.lists(st.floats(0, 1), min_size=3, max_size=3),
)
def test_whatever_was_measured_each_missed_check_gets_one_plain_sentence(
    angles: list[Q], times: list[Q], thirds: list[float]
) -> None:
    names = ("body", "elbow", "knee", "trunk", "legs", "shoulder", "hip")
    body = posture(**dict(zip(names, angles, strict=False)))
    each = rep(
        lowering=times[0], raising=times[1], bottom=times[2], top=times[3], straight=body, bent=body, hip=angles[7]
    )
    each = with_stroke(with_stroke(each, "lowering", thirds=thirds), "raising", thirds=thirds, stops=times[3])
    for said in advice_on(each, f'movement = "push-up"\nreps = 1\n[limits]{EVERY}').values():
        assert re.fullmatch(r"[A-Z][^\n]*[a-z]\.", said)
        assert ". " not in said
        assert not MEDICAL.search(said)
        assert len(said) < 160


def test_a_check_that_is_only_shown_is_left_alone() -> None:
    each = rep(lowering=q(3), raising=q(4), bottom=NONE, top=NONE)
    assert "raising" not in advice_on(each, 'movement = "push-up"\nreps = 1\ntempo = "3-0-X-0"')
