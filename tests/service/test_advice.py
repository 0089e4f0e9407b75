from models.document import Check, Rep, Set
from models.prescription import parse_prescription
from models.verdict import judge
from service.advice import advice_lines
from tests.by_hand import push_ups
from tests.models.samples import document, hold, one_set, posture, q, rep
from tests.service.test_tables import shown

PLAN = b'movement = "push-up"\nreps = 3\ntempo = "5-1-1-0"\n'


def judged(*reps: Rep, plan: bytes = PLAN) -> Set:
    (only,) = judge(document("push-up", one_set(reps)), parse_prescription(plan, "plan.toml")).sets
    return only


def good(n: int, *, lowering: float = 5, raising: float = 1) -> Rep:
    return rep(n, lowering=q(lowering), raising=q(raising), bottom=q(1), top=q(0.2))


def test_a_set_that_was_met_has_nothing_to_change() -> None:
    assert list(advice_lines(judged(good(1), good(2), good(3)))) == []


def test_a_single_rep_is_told_of_itself() -> None:
    assert list(advice_lines(judged(good(1), good(2, lowering=3), good(3)))) == [
        "To change in rep 2: The lowering took 3.0 s of 5: spread 5 s evenly over the way, about 1.7 s to each third."
    ]


def test_several_reps_are_told_of_the_one_that_was_furthest_out() -> None:
    (line,) = advice_lines(judged(good(1, lowering=4), good(2, lowering=2.2), good(3, lowering=3)))
    assert line.startswith("To change in reps 1-3 (the numbers are those of rep 2): The lowering took 2.2 s of 5")


def test_of_several_faults_one_is_named_to_be_mended_first() -> None:
    lines = list(advice_lines(judged(good(1, lowering=3), good(2, lowering=3), good(3, raising=4))))
    assert [line.partition(":")[0] for line in lines] == [
        "To change in reps 1-2 (the numbers are those of rep 1)",
        "To change in rep 3",
        "To change in the set",
    ]
    assert lines[-1].endswith("Most was missed in lowering, in 2 of 3 reps: mend that first.")


def test_a_set_that_ended_early_has_no_missed_rep_to_speak_of() -> None:
    assert list(advice_lines(judged(good(1)))) == ["To change in the set: The set was over after 1 rep: go on to 3."]


def test_a_hold_is_called_a_hold() -> None:
    plan = parse_prescription(b'movement = "handstand"\nhold = 10\n', "plan.toml")
    (only,) = judge(document("handstand", one_set(holds=[hold(q(6.0), posture())])), plan).sets
    assert next(advice_lines(only)).startswith("To change in hold 1: In position for 6.0 s of 10: stay 4.0 s longer")


def test_the_tables_show_it_below_the_set() -> None:
    document = push_ups()
    (only,) = document.sets
    assert "To change" not in shown(document)
    says: Check = (only.reps[2].checks or ())[1].model_copy(update={"advice": "The lowering took 2.0 s of 3: go on."})
    reps = (*only.reps[:2], only.reps[2].model_copy(update={"checks": (says,)}))
    text = shown(document.model_copy(update={"sets": (only.model_copy(update={"reps": reps}),)}))
    assert "\n  To change in rep 3: The lowering took 2.0 s of 3: go on.\n" in text
