"""What to change, in one sentence for each missed check, from what was measured.

The sentence names the value and what was asked for, then what would mend it. It does not say why a body did what it
did, and nothing medical. The cues are common practice, no source.
"""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from types import MappingProxyType
from typing import Final

from models.advice.case import Case, amount
from models.advice.cues import angle_cue, called
from models.checks import title
from models.conformity import doubt
from models.document import Check, Hold, Rep, Stroke
from models.limit import Limit
from models.prescription import Prescription
from models.quantity import Measured

HURRIED, STUCK = 0.20, 0.45
"""Shares of a stroke's time: a third of the way that took less was hurried, one that took more was stuck in."""
STOOD = 0.3
"""Seconds that a stroke stood still, from which on it is worth a word."""
THIRDS = ("first", "middle", "last")
SHARES: Final[Mapping[float, str]] = MappingProxyType(
    {1 / 20: "a twentieth", 1 / 10: "a tenth", 1 / 7: "a seventh", 1 / 5: "a fifth", 1 / 2: "half", 2 / 3: "two thirds"}
)
SHARE_SLIP = 0.015


def advised(checks: Sequence[Check], entry: Rep | Hold, prescription: Prescription) -> tuple[Check, ...]:
    """The checks of a rep or hold, each missed one with its advice."""
    return tuple(check.model_copy(update={"advice": advise(check, entry, prescription)}) for check in checks)


def advise(check: Check, entry: Rep | Hold, prescription: Prescription) -> str | None:
    """One sentence on what to change; None for a check that was not missed."""
    if check.verdict != "missed":
        return None
    if check.name == "status" and isinstance(entry, Rep):
        return _status(entry, prescription)
    case = Case.of(check, entry, prescription)
    cue = CUES.get(check.name.partition(".")[0])
    return cue(case) if case and cue else None


def advise_dose(check: Check, entries: Sequence[Rep | Hold]) -> str | None:
    """One sentence on what kept a set from its dose; None where it was not missed."""
    if check.verdict != "missed":
        return None
    missed = Counter(
        name for entry in entries for name in {c.name for c in entry.checks or () if c.verdict == "missed"}
    )
    kind = "rep" if check.name == "reps" else "hold"
    if not missed:
        return f"The set was over after {amount(len(entries), kind)}: go on to {check.low:g}."
    (name, times), *_ = missed.most_common(1)
    what = "the range" if name == "status" else title(name)[0].lower() + title(name)[1:]
    return f"Most was missed in {what}, in {times} of {amount(len(entries), kind)}: mend that first."


def _status(rep: Rep, prescription: Prescription) -> str | None:
    reps = prescription.as_movement().reps
    if reps is None:
        return None
    if rep.status == "failed":
        return "The raise turned back before the top: end the set one rep earlier, or take help for the last one."
    ends = (getattr(rep.straight, reps.driving), getattr(rep.bent, reps.driving))
    asked = f"{reps.straight:g} to {reps.bent:g} degrees"
    if not all(isinstance(end, Measured) for end in ends):
        return f"The rep went through less than half of the range: take the {reps.driving} from {asked}."
    went = f"{ends[0].value:.0f} to {ends[1].value:.0f}"
    return f"The {reps.driving} went from {went} of the {asked} asked for: go through the whole range, in fewer reps if need be."


def _stroke(case: Case) -> str:
    stroke = getattr(case.entry, case.name)
    assert isinstance(stroke, Stroke)
    said = f"The {case.name} took {case.of_asked}"
    if case.too_low:
        fastest = min(range(3), key=lambda third: stroke.thirds[third])
        if stroke.thirds[fastest] < HURRIED:
            return f"{said}; the {THIRDS[fastest]} third took {_share(stroke.thirds[fastest])} of it: slow down there."
        return f"{said}: spread {case.target:g} s evenly over the way, about {case.target / 3:.1f} s to each third."
    slowest = max(range(3), key=lambda third: stroke.thirds[third])
    if isinstance(stroke.stops, Measured) and stroke.stops.value > STOOD:
        return f"{said}; for {stroke.stops.value:.1f} s of that it stood still: keep moving to the end."
    if stroke.thirds[slowest] > STUCK:
        return (
            f"{said}; the {THIRDS[slowest]} third took {_share(stroke.thirds[slowest])} of it: keep the pace up there."
        )
    return f"{said}: go faster by {case.short_of} from the start."


def _share(part: float) -> str:
    """`a tenth`, or a percentage where no plain fraction is near."""
    near = min(SHARES, key=lambda share: abs(share - part))
    return SHARES[near] if abs(near - part) <= SHARE_SLIP else f"{100 * part:.0f} %"


def _phase(case: Case) -> str:
    part, _, name = case.name.partition(".")
    said = f"The {name.replace('-', ' ')} took {case.of_asked}"
    return f"{said}: go through it {'slower' if case.too_low else 'faster'} in the {part.removesuffix('_phases')}, by {case.short_of}."


def _pause(case: Case) -> str:
    said = f"The {case.name.replace('_', ' ')} lasted {case.of_asked}"
    begin = "raising" if case.name == "bottom_pause" else "lowering"
    return f"{said}: begin the {begin} {case.short_of} {'later' if case.too_low else 'sooner'}."


def _angle(case: Case) -> str:
    part, _, angle = case.name.partition(".")
    where = "in the hold" if part == "posture" else "at the top" if case.at_top(part) else "at the bottom"
    value = f"{case.measured.value:.0f} {case.measured.unit}"
    return f"{called(angle)} was {value} {where}, {case.limit} asked: {angle_cue(case, angle)}."


def _worst(case: Case) -> str:
    assert isinstance(case.entry, Rep)
    when = case.entry.worst.hip_at
    at = "" if when is None else f" at {when:.1f} s of the clip"
    if case.name == "worst.hip":
        return f"The hip came to {case.measured.value:.0f} deg{at}, {case.limit} asked: {angle_cue(case, 'hip')}."
    said = f"The hip left the body line by {case.measured.value:.0f} % of its length"
    return f"{said}, {case.limit} asked: keep shoulder, hip and the line's end in one line from the first rep on."


def _swing(case: Case) -> str:
    said = f"The hips swung by {case.measured.value:.0f} % of body height, {case.limit} asked"
    return f"{said}: begin each stroke from stillness, without a kick."


def _hip_range(case: Case) -> str:
    said = f"The hip angle changed by {case.measured.value:.0f} deg in one stroke, {case.limit} asked"
    return f"{said}: keep the hip at one angle from start to end."


def _standard(case: Case) -> str:
    entry = next((each for each in case.movement.standards if each.name == case.name.partition(".")[2]), None)
    what = entry.title if entry else title(case.name)
    stroke = "raising" if entry and case.at_top(entry.end) else "lowering"
    said = f"{what}: {case.measured.value:.1f} % of body height, {case.limit} asked"
    way = "further" if case.too_low else "less far"
    return f"{said}; go {case.gap:.1f} % of body height {way} in the {stroke}."


def _in_position(case: Case) -> str:
    assert isinstance(case.entry, Hold)
    out = _furthest_out(case.entry, case.prescription)
    said = f"In position for {case.of_asked}"
    if out is None:
        return f"{said}: stay {case.short_of} longer in the same position."
    angle, value, limit = out
    return f"{said}; the {angle} was {value:.0f} deg, {limit} asked: mend that before the hold gets longer."


def _furthest_out(hold: Hold, prescription: Prescription) -> tuple[str, float, Limit] | None:
    """The limited angle whose median over the hold least surely respects its limits, if any lies outside them."""
    found = []
    for name, limit in prescription.hold_limits().items():
        part, _, angle = name.partition(".")
        value = getattr(hold.posture, angle, None) if part == "posture" else None
        if isinstance(value, Measured) and not limit.admits(value.value):
            found.append((doubt(value, limit).p, angle, value.value, limit))
    return min(found, key=lambda each: each[0])[1:] if found else None


def _drift(case: Case) -> str:
    said = f"The posture turned by {case.measured.value:.0f} deg over the hold, {case.limit} asked"
    return f"{said}: end the hold when the position begins to go."


def _sway(case: Case) -> str:
    what = case.name.partition(".")[2].replace("along_floor", "along the floor")
    said = f"The sway, {what}, was {case.measured.value:.0f} {case.measured.unit}, {case.limit} asked"
    return f"{said}: hold on a firmer support, or for a shorter time, until it is quieter."


CUES: Final[Mapping[str, Callable[[Case], str]]] = MappingProxyType(
    {
        "lowering": _stroke,
        "raising": _stroke,
        "lowering_phases": _phase,
        "raising_phases": _phase,
        "bottom_pause": _pause,
        "top_pause": _pause,
        "straight": _angle,
        "bent": _angle,
        "posture": _angle,
        "worst": _worst,
        "swing": _swing,
        "hip_range": _hip_range,
        "standards": _standard,
        "in_position": _in_position,
        "drift": _drift,
        "sway": _sway,
    }
)
