"""Verdict of one rep."""

from collections.abc import Iterable, Mapping

from models.advice import advised
from models.checks import checks_of, compare, value_of
from models.conformity import combine
from models.document import Check, Rep, VerdictWord
from models.prescription import Prescription
from models.quantity import Measured, Unmeasured

NOT_WHOLE: dict[str, tuple[str, VerdictWord]] = {
    "short": ("the rep went through less than half of the range asked for, so it does not count", "missed"),
    "failed": ("the raise turned back before the top, so the rep does not count", "missed"),
    "cut_off": ("the clip's edge cuts the rep off, so it can neither be judged nor counted", "unsure"),
}
"""Why a rep that is not whole does not count, and its verdict whatever its other checks say."""


def judge_rep(rep: Rep, prescription: Prescription, fastest: Mapping[str, float], *, last: bool) -> Rep:
    """Add checks and a verdict to a rep.

    A short or failed rep is missed, with its other checks beside for what they show. A cut-off one is unsure and has
    no other check: its ends may lie outside the clip, so its angles and times are not those of the rep.

    Args:
        rep: The rep as measured.
        prescription: What was asked for, in reps.
        fastest: Shortest duration in the set, seconds, of each part of a rep that is written X.
        last: Whether the rep ends its set, where a pause is not between two strokes and so is not checked.
    """
    status = _status_checks(rep)
    others = () if rep.status == "cut_off" else _checks(rep, prescription, fastest, last=last)
    checks = advised(status + others, rep, prescription)
    verdict = combine((each.p, each.verdict) for each in checks if each.verdict is not None)
    return rep.model_copy(update={"checks": checks, "verdict": verdict})


def fastest_of(reps: Iterable[Rep], parts: Iterable[str]) -> dict[str, float]:
    """Shortest duration of each part among the whole reps; a part without any value is left out."""
    whole = [rep for rep in reps if rep.status == "whole"]
    values = {part: [value_of(rep, part) for rep in whole] for part in parts}
    known = {part: [q.value for q in found if isinstance(q, Measured)] for part, found in values.items()}
    return {part: min(found) for part, found in known.items() if found}


def _status_checks(rep: Rep) -> tuple[Check, ...]:
    if rep.status == "whole":
        return ()
    reason, verdict = NOT_WHOLE[rep.status]
    why = f"{reason[0].upper()}{reason[1:]}."
    measured = Unmeasured(reason=reason)
    return (Check(name="status", measured=measured, low=None, high=None, p=None, verdict=verdict, why=why),)


def _checks(rep: Rep, prescription: Prescription, fastest: Mapping[str, float], *, last: bool) -> tuple[Check, ...]:
    reps = prescription.as_movement().reps
    edge = "top_pause" if reps is not None and reps.first == "lowering" else "bottom_pause"
    no_pause = last and isinstance(value_of(rep, edge), Unmeasured)
    skipped = (edge,) if no_pause else ()
    limits = {name: limit for name, limit in prescription.rep_limits().items() if name not in skipped}
    compared = [part for part in prescription.as_fast_as_possible() if part not in skipped]
    return checks_of(rep, limits) + tuple(compare(part, value_of(rep, part), fastest.get(part)) for part in compared)
