"""How an athlete's values change from session to session: one point for each clip, movement and measure."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any, Final

from sqlalchemy import Row
from sqlalchemy.orm import Session

from service.pages.coach.clocks import Clock
from service.pages.naming import known, title
from service.pages.text import say, unit
from service.records.asking import Filter, efforts

MEASURES: Final = (
    ("lowering", "lowering_s", "lowering_u95", "s", 2),
    ("", "body_angle_deg", "body_angle_u95", "°", 1),
    ("still", "still_s", "still_u95", "s", 2),
    ("sway", "sway_mm", "sway_u95", "mm", 1),
)
"""Each with its columns, its unit and its decimals; the angle has its name from the movement."""
NEWEST: Final = 2000
"""Reps and holds that trends go back."""


@dataclass(frozen=True)
class Point:
    """The mean of one clip's reps or holds. Its uncertainty is the mean of theirs: most of it they have in common."""

    done: datetime
    day: str
    value: float
    u95: float
    n: int
    told: str


@dataclass(frozen=True)
class Trend:
    """One measure of one movement over time."""

    movement: str
    label: str
    unit: str
    points: list[Point]

    def drawn(self) -> dict[str, Any]:
        """The same for the script that draws it."""
        return {
            "label": self.label,
            "unit": self.unit,
            "at": [point.done.timestamp() for point in self.points],
            "value": [point.value for point in self.points],
            "u95": [point.u95 for point in self.points],
        }


def trends(records: Session, gym_id: str, athlete_id: str, clock: Clock) -> list[Trend]:
    """All trends of an athlete, the newest efforts' only; what a coach ruled to be no rep is left out."""
    rows = efforts(records, gym_id, Filter(athlete_id=athlete_id), limit=NEWEST, newest_first=True).rows
    counted = [row for row in reversed(rows) if row.ruling != "not a rep" and row.status in (None, "whole")]
    found = []
    for movement in dict.fromkeys(row.movement for row in counted):
        of_it = [row for row in counted if row.movement == movement]
        for name, column, doubt, sign, places in MEASURES:
            points = _points(of_it, column, doubt, f"{{:.{places}f}} ±{{:.{places}f}}{unit(sign)}", clock)
            if points:
                found.append(Trend(title(movement), say(f"coach.trend.{name or _tilt(of_it[-1])}"), sign, points))
    return found


def _tilt(row: Row[Any]) -> str:
    """Whether a movement is told by its body angle or by its lean, and of a rep where that was taken."""
    movement = known(row.movement)
    tilt = movement.tilt if movement else "body"
    return tilt if row.kind == "rep" else f"{tilt}_held"


def _points(rows: Sequence[Row[Any]], column: str, doubt: str, form: str, clock: Clock) -> list[Point]:
    clips: dict[str, list[Row[Any]]] = defaultdict(list)
    for row in rows:
        if getattr(row, column) is not None:
            clips[row.clip_id].append(row)
    points = []
    for of_clip in clips.values():
        value = sum(getattr(row, column) for row in of_clip) / len(of_clip)
        u95 = sum(getattr(row, doubt) for row in of_clip) / len(of_clip)
        done = of_clip[0].done
        points.append(Point(done, clock.time(done), value, u95, len(of_clip), form.format(value, u95)))
    return points
