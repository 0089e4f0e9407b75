"""One rep or hold as a coach rules on it: what was measured, against what, and what was said of it."""

from dataclasses import dataclass

from models.document import Hold, Rep
from models.quantity import Measured, Q, Unmeasured
from service.api.shapes.results import CheckGiven, EffortTold
from service.pages.coach.faults import check_name
from service.pages.text import say, sentence, unit
from service.words import DECIMALS, number, quantity

TEMPO = ("lowering", "bottom_pause", "raising", "top_pause")


@dataclass(frozen=True)
class CheckLine:
    """A check in words."""

    name: str
    measured: str
    limit: str
    probability: str
    verdict: str | None
    why: str
    advice: str | None


@dataclass(frozen=True)
class TempoLine:
    """One part of a rep's tempo: as the machine has it, and after a coach moved its boundaries."""

    name: str
    machine: str
    corrected: str | None


def check_line(check: CheckGiven) -> CheckLine:
    """A check as a line of the table."""
    places, told = DECIMALS.get(check.unit or "", 1), unit(check.unit or "")
    missing = check.value is None or check.u95 is None
    measured = say("coach.effort.no_value") if missing else f"{check.value:z.{places}f} ±{check.u95:.{places}f}{told}"
    return CheckLine(
        name=check_name(check.name),
        measured=measured,
        limit=limit_words(check.low, check.high, told),
        probability="-" if check.p is None else _percent(check.p),
        verdict=check.verdict,
        why=sentence(check.why),
        advice=sentence(check.advice) if check.advice else None,
    )


def limit_words(low: float | None, high: float | None, told: str) -> str:
    """`at least 2.5 s`; the unit comes with its space."""
    if low is not None and high is not None:
        return say("coach.limit.both", low=f"{low:g}", high=f"{high:g}", unit=told)
    if low is not None:
        return say("coach.limit.low", value=f"{low:g}", unit=told)
    return "-" if high is None else say("coach.limit.high", value=f"{high:g}", unit=told)


def tempo(told: EffortTold, found: Rep | Hold) -> list[TempoLine]:
    """The rep's tempo, lowering-bottom-raising-top; a hold has none."""
    if isinstance(found, Hold):
        return []
    corrected = told.corrected or {}
    machine: dict[str, Q | None] = {
        "lowering": found.lowering.duration if found.lowering else None,
        "bottom_pause": found.bottom_pause,
        "raising": found.raising.duration if found.raising else None,
        "top_pause": found.top_pause,
    }
    return [
        TempoLine(say(f"coach.part.{name}"), quantity(value), _corrected(corrected.get(name)))
        for name, value in machine.items()
        if value is not None
    ]


def _corrected(value: dict[str, float] | None) -> str | None:
    if value is None:
        return None
    if value.get("value") is None:
        return number(Unmeasured(reason=str(value.get("reason"))))
    return quantity(Measured.model_validate(value))


def _percent(p: float) -> str:
    if p > 0.995:
        return "> 99 %"
    return "< 1 %" if p < 0.005 else f"{100 * p:.0f} %"
