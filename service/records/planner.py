"""Tell SQLite how efforts are spread, so that it looks for an athlete's by athlete and not through a whole gym's.

PostgreSQL finds out by itself. SQLite would have to be told to, again and again, and until then takes every index that
fits for equally good. These are round numbers for a gym of some size; they only have to be right against each other.
"""

from typing import Final

from sqlalchemy import Connection

ROWS: Final = 1_000_000
SPREAD: Final = {
    "ix_effort_athlete": (5_000, 5_000, 8, 1),
    "ix_effort_done": (250_000, 250_000, 8, 1),
    "ix_effort_movement": (250_000, 250_000, 50_000, 8, 1),
    "ix_effort_review": (250_000, 250_000, 250_000, 30_000, 8),
    "ix_effort_changed": (250_000, 8),
    "ix_effort_clip_id": (8,),
}
"""Of each index: how many rows are alike in its first column, in its first two, and so on."""


def tell_sqlite(connection: Connection) -> None:
    """Write the figures where SQLite would write its own; connections made later go by them."""
    connection.exec_driver_sql("ANALYZE gym")  # makes the table of figures
    connection.exec_driver_sql("DELETE FROM sqlite_stat1 WHERE tbl = 'effort'")
    for index, alike in SPREAD.items():
        figures = " ".join(map(str, (ROWS, *alike)))
        connection.exec_driver_sql("INSERT INTO sqlite_stat1 VALUES ('effort', ?, ?)", (index, figures))
