"""SQLite takes the index that finds few rows, with no statistics of its own."""

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy import event
from sqlalchemy.orm import Session

from service.records import Effort
from service.records.asking import Filter, efforts, summary, tempo
from service.records.database import Database
from service.records.planner import SPREAD

SPRING = datetime(2026, 3, 1, tzinfo=UTC)


@pytest.mark.parametrize(
    ("asked", "index"),
    [
        (Filter(athlete_id="a"), "ix_effort_athlete"),
        (Filter(athlete_id="a", since=SPRING), "ix_effort_athlete"),
        (Filter(athlete_id="a", movement="dip", since=SPRING), "ix_effort_athlete"),
        (Filter(athlete_id="a", movement="dip", verdict="missed", ruling="none"), "ix_effort_athlete"),
        (Filter(since=SPRING), "ix_effort_done"),
        (Filter(movement="dip"), "ix_effort_movement"),
        (Filter(movement="dip", since=SPRING), "ix_effort_movement"),
        (Filter(verdict="unsure", ruling="none"), "ix_effort_review"),
    ],
)
@pytest.mark.parametrize("ask", [efforts, tempo, summary])
def test_the_index_taken(
    sqlite_database: Database, ask: Callable[[Session, str, Filter], object], asked: Filter, index: str
) -> None:
    plans = []

    def explain(connection: Any, _cursor: Any, statement: str, parameters: Any, *_others: Any) -> None:
        rows = connection.connection.driver_connection.execute(f"EXPLAIN QUERY PLAN {statement}", parameters)
        plans.append(" ".join(row[3] for row in rows))

    event.listen(sqlite_database.engine, "before_cursor_execute", explain)
    with sqlite_database.session() as session:
        ask(session, "g", asked)
    (plan,) = plans
    assert f"USING INDEX {index} " in plan
    if ask is not summary:
        assert "ORDER BY" not in plan, "the index has them in order"


def test_figures_are_of_the_indexes_that_there_are() -> None:
    assert {index.name: len(index.columns) for index in Effort.__table__.indexes} == {  # type: ignore[attr-defined]
        name: len(alike) for name, alike in SPREAD.items()
    }
