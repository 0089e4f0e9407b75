"""What the athlete's page says of a measurement, and of what the coach decided of it."""

from collections.abc import Mapping

import pytest

from models.document import Check, Document, VerdictWord
from models.prescription import Prescription, parse_prescription
from models.quantity import Measured, Unmeasured
from models.verdict import judge
from service.pages.athlete.decided import Decided, Decision
from service.pages.athlete.result import SetTable, read_result, spoken
from service.records.results import Place
from service.records.review import RulingWord
from tests.by_hand import document as by_hand
from tests.by_hand import plank, push_ups, rep, summary
from tests.models.samples import document, hold, one_set, q

PLAN = parse_prescription(b'movement = "push-up"\nreps = 3\ntempo = "3-0-1-0"\n', "plan")
LEVER = parse_prescription(b'movement = "front-lever"\nvariant = "tuck"\nsets = 4\nhold = 10\n', "plan")


def table(found: Document, plan: Prescription | None, by_coach: Decided | None = None) -> SetTable:
    [only] = read_result(found, plan, by_coach or Decided()).sets
    return only


def ruled(**rulings: RulingWord) -> Decided:
    """Rulings on reps of the first set, by `r1`, `r2` ..."""
    efforts: Mapping[Place, Decision] = {
        (1, "rep", int(name[1:])): Decision(ruling) for name, ruling in rulings.items()
    }
    return Decided(efforts, again="film again" in rulings.values())


def test_a_missed_rep_says_what_to_change() -> None:
    shown = table(push_ups(), PLAN)
    assert [column.asked for column in shown.columns] == ["3", "0", "1", "0", ""]
    missed = shown.lines[2]
    assert [cell.value for cell in missed.cells] == ["2.00", "0.50", "1.00", "0.50", "6.0"]
    assert [cell.verdict for cell in missed.cells] == ["missed", None, None, None, None]
    assert missed.change == "Lowering took 2.00 ±0.08 s, not as asked (at least 2.5 s)."
    assert shown.lines[0].change == ""
    assert (shown.verdict, shown.told) == ("missed", "2 of 3 reps met.")
    assert shown.reasons == ("No value for top of rep 1: at the edge of the set.",)
    result = read_result(push_ups(), PLAN, Decided())
    assert [effort["n"] for effort in result.efforts] == [1, 2, 3]
    assert "3 missed" in spoken(result)


@pytest.mark.parametrize(
    ("ruling", "verdict", "of_set", "told"),
    [
        ("met", "met", "met", "3 of 3 reps met."),
        ("missed", "missed", "missed", "2 of 3 reps met."),
        ("not a rep", None, "missed", "2 of 3 reps met."),
        ("film again", None, "unsure", "2 of 3 reps met, 1 unsure."),
    ],
)
def test_what_the_coach_ruled_counts(
    ruling: RulingWord, verdict: VerdictWord | None, of_set: VerdictWord, told: str
) -> None:
    result = read_result(push_ups(), PLAN, ruled(r3=ruling))
    [shown] = result.sets
    line = shown.lines[2]
    assert (line.ruling, line.verdict) == (ruling, verdict)
    assert line.machine == (None if ruling == "missed" else "missed")
    assert (line.change == "") is (ruling != "missed")
    assert (shown.verdict, shown.told) == (of_set, told)
    assert result.again is (ruling == "film again")
    assert ("3 missed" in spoken(result)) is (ruling == "missed")


def test_a_rep_that_only_the_coach_missed_says_so() -> None:
    shown = table(push_ups(), PLAN, ruled(r1="missed"))
    assert shown.lines[0].change == "Your coach ruled this rep missed."
    assert shown.lines[0].machine == "met"
    assert shown.told == "1 of 3 reps met."


def test_a_rep_that_only_the_coach_saw_is_counted_as_unsure() -> None:
    shown = table(push_ups(), PLAN, Decided(missing=((14.6, 15.0),)))
    assert shown.unseen == "Your coach saw one more rep, which was not measured."
    assert (shown.verdict, shown.told) == ("unsure", "2 of 3 reps met, 1 unsure.")


def test_corrected_strokes_are_shown_and_judged_anew() -> None:
    reps = (rep(1, 1.0, 3.0).model_copy(update={"top_pause": q(0.5)}), rep(2, 6.0, 3.0), rep(3, 11.0, 2.0))
    [only] = push_ups(judged=False).sets
    measured = judge(by_hand((only.model_copy(update={"reps": reps, "summary": summary(reps)}),), "push-up"), PLAN)
    assert table(measured, PLAN).lines[2].verdict == "missed"
    moved = Decision(
        measured={
            "lowering": Measured(value=2.9, U95=0.1, unit="s"),
            "bottom_pause": Measured(value=0.1, U95=0.1, unit="s"),
        },
        boundaries={"lowering.start": 10.5, "lowering.end": 13.4},
    )
    result = read_result(measured, PLAN, Decided({(1, "rep", 3): moved}))
    [shown] = result.sets
    line = shown.lines[2]
    assert [cell.value for cell in line.cells][:3] == ["2.90", "0.10", "1.00"]
    assert [cell.by_coach for cell in line.cells][:3] == [True, True, False]
    assert line.corrected == "Corrected by your coach: lowering and bottom."
    assert (line.verdict, line.change, line.ruling) == ("met", "", None)
    assert (shown.verdict, shown.told) == ("met", "3 of 3 reps met.")
    looped = result.efforts[2]
    assert (looped["start"], looped["strokes"][0]) == (10.5, {"part": "lowering", "start": 10.5, "end": 13.4})
    assert not any(cell.by_coach for cell in shown.lines[0].cells)


def test_a_hold_is_told_by_its_time_in_position() -> None:
    shown = table(plank(), None)
    assert shown.kind == "hold"
    assert [cell.value for cell in shown.lines[0].cells] == ["8.00", "17.0", "3.1"]
    assert (shown.verdict, shown.told) == (None, "")
    check = Check(name="in_position", measured=q(9.2), low=9.5, high=None, p=0.4, verdict="unsure", why="Too close.")
    judged = hold(q(8)).model_copy(update={"checks": (check,), "verdict": "unsure"})
    held = one_set(holds=[judged]).model_copy(update={"verdict": "unsure"})
    shown = table(document("front-lever", held), LEVER)
    assert shown.lines[0].cells[0].value == "9.20"
    assert shown.lines[0].change == "Too close."
    assert shown.told == "0 of 1 hold met, 1 unsure."
    assert isinstance(judged.sway.along_floor, Unmeasured)
    assert "No value for sway of hold 1: not part of this test." in shown.reasons
    by_coach = Decided({(1, "hold", 1): Decision("met")})
    shown = table(document("front-lever", held), LEVER, by_coach)
    assert (shown.verdict, shown.told, shown.lines[0].change) == ("met", "1 of 1 hold met.", "")
