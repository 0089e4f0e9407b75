"""What follows from an athlete's sessions by the rules: what they own, and whether to go on, stay or step back."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Literal

from models.errors import PathError
from models.path.history import History, Session
from models.path.rules import OnRule, Rules
from models.prescription import Prescription

Direction = Literal["on", "stay", "back"]


@dataclass(frozen=True)
class Standing:
    """Where the rules put the athlete after the last session, and why, in words."""

    direction: Direction
    why: str


def pain_since(history: History) -> date | None:
    """The day of the last pain that nobody has cleared on a later day, if any."""
    days = [session.date for session in history.sessions if session.pain]
    cleared = max((clearance.date for clearance in history.cleared), default=date.min)
    return max(days) if days and max(days) >= cleared else None


def owned(history: History, rules: Rules) -> tuple[Prescription, ...]:
    """Each variant with its dose that was met as the rule for moving on asks, the latest last."""
    runs = [list(run) for _, run in groupby(_in_order(history), key=lambda session: _plain(session.prescription))]
    good, enough = _good(rules.move_on), rules.move_on.sessions
    return tuple(_plain(run[0].prescription) for run in runs if _longest(run, good) >= enough)


def standing(history: History, rules: Rules) -> Standing:
    """What the rules say after the last session.

    Raises:
        PathError: there is no session.
    """
    if not history.sessions:
        raise PathError("the history has no session; write one, or say what the athlete owns")
    day = pain_since(history)
    if day is not None:
        return Standing("stay", f"pain was reported on {day}; no step up until a person clears it")
    ordered = _in_order(history)
    now = _plain(ordered[-1].prescription)
    away = next((count for count, each in enumerate(reversed(ordered)) if _plain(each.prescription) != now), None)
    run = ordered if away is None else ordered[len(ordered) - away :]
    on, back = rules.move_on, rules.step_back
    good, poor = _last(run, _good(on)), _last(run, lambda session: session.share_met < back.sets)
    if good >= on.sessions:
        return Standing("on", f"{_sessions(good)} in a row with {_at_least(on.sets)} of the sets met")
    if poor >= back.sessions:
        return Standing("back", f"{_sessions(poor)} in a row with fewer than {back.sets:g} % of the sets met")
    return Standing(
        "stay", f"{_sessions(good)} in a row with {_at_least(on.sets)} of the sets met, of {on.sessions} asked for"
    )


def _at_least(percent: float) -> str:
    return "all" if percent == 100 else f"at least {percent:g} %"


def _in_order(history: History) -> list[Session]:
    """By day; sessions of one day in the order in which they are written."""
    return sorted(history.sessions, key=lambda session: session.date)


def _plain(prescription: Prescription) -> Prescription:
    """Without what is not a matter of training: two are the same if this is."""
    return prescription.model_copy(update={"athlete": None, "note": None})


def _good(rule: OnRule) -> Callable[[Session], bool]:
    return lambda session: not session.pain and session.share_met >= rule.sets


def _longest(run: Sequence[Session], fits: Callable[[Session], bool]) -> int:
    """The most sessions in a row that fit."""
    return max((len(list(group)) for fit, group in groupby(run, key=fits) if fit), default=0)


def _last(run: Sequence[Session], fits: Callable[[Session], bool]) -> int:
    """How many sessions in a row fit, counted back from the last one."""
    return next((count for count, session in enumerate(reversed(run)) if not fits(session)), len(run))


def _sessions(number: int) -> str:
    return f"{number} session{'' if number == 1 else 's'}"
