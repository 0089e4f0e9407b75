"""Measurement and limit to met, missed or unsure: for each check, rep, hold and set of a clip."""

from collections import Counter
from collections.abc import Sequence
from typing import Literal

from models.advice import advise_dose
from models.document import Check, Document, Hold, Rep, Set, Status, VerdictWord
from models.errors import PrescriptionError
from models.hold_verdict import TimeInPosition, judge_hold
from models.prescription import Prescription
from models.quantity import Measured, Q, Unmeasured
from models.rep_verdict import fastest_of, judge_rep

__all__ = ["TimeInPosition", "judge"]


def judge(document: Document, prescription: Prescription, in_position: TimeInPosition | None = None) -> Document:
    """Add checks and verdicts to each rep, hold and set, and to each set's summary its first missed rep.

    Args:
        document: A clip measured with `prescription.as_movement()`, which says what range a whole rep goes through.
        prescription: What was asked for.
        in_position: Gives the time in position from the motion series, which the document does not carry; see
            `judge_hold`.

    Raises:
        PrescriptionError: the document is of another movement, or of reps where a hold is prescribed.
    """
    _check_same(document, prescription)
    if prescription.hold is None:
        sets = tuple(_judge_reps(each, prescription) for each in document.sets)
    else:
        sets = tuple(_judge_holds(each, prescription, in_position) for each in document.sets)
    return document.model_copy(update={"sets": sets, "notes": _notes(document, prescription)})


def set_verdict(verdicts: Sequence[VerdictWord | None], dose: int) -> VerdictWord:
    """Met or missed where the unsure ones could not change it; extra ones never count against the set."""
    count = Counter(verdicts)
    if count["met"] >= dose:
        return "met"
    return "missed" if count["met"] + count["unsure"] < dose else "unsure"


def _judge_reps(each: Set, prescription: Prescription) -> Set:
    fastest = fastest_of(each.reps, prescription.as_fast_as_possible())
    last = each.reps[-1].n if each.reps else None
    reps = tuple(judge_rep(rep, prescription, fastest, last=rep.n == last) for rep in each.reps)
    first_missed = next((rep.n for rep in reps if rep.verdict == "missed"), None)
    summary = each.summary.model_copy(update={"first_missed": first_missed})
    counted = [rep.verdict for rep in reps if rep.status == "whole"]
    dose = _dose_check("reps", counted, prescription.reps or 1, _uncounted(reps))
    dose = dose.model_copy(update={"advice": advise_dose(dose, reps)})
    return each.model_copy(update={"reps": reps, "summary": summary, "checks": (dose,), "verdict": dose.verdict})


def _judge_holds(each: Set, prescription: Prescription, in_position: TimeInPosition | None) -> Set:
    holds = tuple(judge_hold(hold, prescription, in_position) for hold in each.holds)
    dose = _dose_check("holds", [hold.verdict for hold in holds], 1, "")
    dose = dose.model_copy(update={"advice": advise_dose(dose, holds)})
    return each.model_copy(update={"holds": holds, "checks": (dose,), "verdict": dose.verdict})


def _dose_check(name: Literal["reps", "holds"], verdicts: Sequence[VerdictWord | None], dose: int, also: str) -> Check:
    """The dose of a set. A count has no normal error, so it has no probability, and no value while some are unsure."""
    count = Counter(verdicts)
    found = f"{count['met']} met, {count['missed']} missed, {count['unsure']} unsure"
    sure: Q = Measured(value=count["met"], U95=0, unit=name)
    measured = Unmeasured(reason=found) if count["unsure"] else sure
    verdict = set_verdict(verdicts, dose)
    asked = f"{dose} asked for" if dose != 1 else "one asked for"
    why = f"{name.capitalize()}: {found}{also}; {asked}."
    return Check(name=name, measured=measured, low=dose, high=None, p=None, verdict=verdict, why=why)


def _uncounted(reps: Sequence[Rep]) -> str:
    count = Counter(rep.status for rep in reps)
    words: dict[Status, str] = {"short": "short", "failed": "failed", "cut_off": "cut off"}
    found = ", ".join(f"{count[status]} {word}" for status, word in words.items() if count[status])
    return f" ({found}, not counted)" if found else ""


def _notes(document: Document, prescription: Prescription) -> tuple[str, ...]:
    shown = len(document.sets)
    if shown >= prescription.sets:
        return document.notes
    note = f"The clip shows {shown} of the {prescription.sets} sets prescribed; the others were not checked."
    return (*(each for each in document.notes if each != note), note)


def _check_same(document: Document, prescription: Prescription) -> None:
    if document.movement != prescription.movement:
        raise PrescriptionError(
            f"the prescription is for {prescription.movement}, but the clip was measured as {document.movement}; "
            "measure it again with the prescription's movement"
        )
    holds: list[Hold] = [hold for each in document.sets for hold in each.holds]
    reps: list[Rep] = [rep for each in document.sets for rep in each.reps]
    if prescription.hold is None and holds and not reps:
        raise PrescriptionError(
            "the prescription is in reps, but the clip was measured as a hold; measure it again for reps"
        )
    if prescription.hold is not None and reps and not holds:
        raise PrescriptionError(
            "the prescription is a hold, but the clip was measured for reps; measure it again as a hold"
        )
