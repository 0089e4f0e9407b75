"""How fast a program tool is answered from a million efforts: `service.records.asking`, on a database made for it.

Four gyms of fifty athletes, who film sets of eight for a year; clips come in the order of time, so that the rows of one
athlete lie scattered over the file. Answers are read to their last row. Each repeat asks for another athlete, day or
page; nothing is asked twice.
"""

import random
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from time import perf_counter
from typing import Any, Final

import numpy as np
from sqlalchemy import Connection, insert, select, text, update
from sqlalchemy.orm import Session

from service.records import Clip, Effort, Gym, Measurement, Person, SetRow, migrate
from service.records.asking import Filter, changes, efforts, summary, tempo
from service.records.cursors import Place, Seen
from service.records.database import Database
from service.records.keeping import week_of
from tests.bench.sheets import Sheet, number
from tests.service.servers import started_postgres

EFFORTS: Final = 1_000_000
REPEATS: Final = 40
GYMS: Final = 4
ATHLETES: Final = 50
REPS: Final = 8
TARGET: Final = 50.0
"""Milliseconds, at the median, for an athlete's year as tempo rows."""
YEAR: Final = timedelta(days=365)
BEGIN: Final = datetime(2025, 1, 1, tzinfo=UTC)
MOVEMENTS: Final = {
    "push-up": 0.3,
    "row": 0.25,
    "pull-up": 0.2,
    "dip": 0.2,
    "handstand push-up": 0.049,
    "muscle-up": 0.001,
}
AT_ONCE: Final = 1000
"""Clips written by one statement."""


@dataclass(frozen=True)
class Question:
    """What is asked, and how: gives the number of rows that came."""

    words: str
    ask: Callable[[Session, random.Random], int]


@dataclass(frozen=True)
class Answer:
    """How long a question took."""

    words: str
    rows: float
    milliseconds: tuple[float, ...]

    @property
    def median(self) -> float:
        return float(np.median(self.milliseconds))

    @property
    def nearly_all(self) -> float:
        return float(np.percentile(self.milliseconds, 95))


def run(count: int = EFFORTS, repeats: int = REPEATS, *, postgres: bool = False) -> list[Answer]:
    with _database(postgres=postgres) as database:
        fill(database, count)
        return [_timed(database, question, repeats) for question in QUESTIONS]


def show(answers: list[Answer], count: int) -> Sheet:
    rows = tuple((a.words, f"{a.rows:.0f}", number(a.median), number(a.nearly_all)) for a in answers)
    return Sheet(f"Asked of {count:,} efforts", ("question", "rows", "median, ms", "95 %, ms"), rows)


@contextmanager
def _database(*, postgres: bool) -> Iterator[Database]:
    if postgres:
        with started_postgres() as server, server.fresh() as url:
            yield from _opened(url)
    else:
        with tempfile.TemporaryDirectory() as folder:
            yield from _opened(f"sqlite:///{Path(folder) / 'queries.db'}")


def _opened(url: str) -> Iterator[Database]:
    migrate.upgrade(url)
    database = Database(url)
    try:
        yield database
    finally:
        database.engine.dispose()


def fill(database: Database, count: int) -> None:
    """Gyms, athletes, and clips of a set each in the order of time, until there are `count` efforts."""
    chance = random.Random(20260301)
    people = [(f"gym-{g}", f"athlete-{g}-{a}") for g in range(GYMS) for a in range(ATHLETES)]
    with database.session() as session:
        session.execute(insert(Gym), [{"id": f"gym-{g}", "name": f"Gym {g}", "history": "h"} for g in range(GYMS)])
        session.execute(insert(Person), [{"id": a, "gym_id": g, "role": "athlete", "name": a} for g, a in people])
    clips = count // REPS
    changed = dict.fromkeys((gym for gym, _ in people), 0)
    for first in range(0, clips, AT_ONCE):
        made = []
        for n in range(first, min(first + AT_ONCE, clips)):
            gym, athlete = chance.choice(people)
            changed[gym] += 1
            made.append(_clip(n, gym, athlete, BEGIN + YEAR * (n / clips), changed[gym], chance))
        with database.session() as session:
            for i, table in enumerate((Clip, Measurement, SetRow)):
                session.execute(insert(table), [rows[i] for rows in made])
            # One statement for all, those without a value too.
            all_alike = insert(Effort).execution_options(render_nulls=True)
            session.execute(all_alike, [effort for rows in made for effort in rows[3]])
    with database.session() as session:
        for gym, latest in changed.items():
            session.execute(update(Gym).where(Gym.id == gym).values(changes=latest))
    with database.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        _gather_statistics(connection)


def _gather_statistics(connection: Connection) -> None:
    """As PostgreSQL does by itself; SQLite has to do without, as in the service."""
    if connection.dialect.name == "postgresql":
        connection.execute(text("VACUUM ANALYZE"))


def _clip(n: int, gym: str, athlete: str, done: datetime, changed: int, chance: random.Random) -> tuple[Any, ...]:
    """The rows of a clip, of its measurement, its set and its reps. The document is left out: no question reads it."""
    movement = chance.choices(list(MOVEMENTS), list(MOVEMENTS.values()))[0]
    owned = {"gym_id": gym, "athlete_id": athlete}
    clip = {"id": f"clip-{n}", **owned, "source_sha256": f"{n:064}", "sha256": f"{n:064}", "bytes": 9_000_000}
    clip |= {"container": "mp4", "seconds": 40.0, "filmed": done, "arrived": done, "state": "measured"}
    measurement = {
        "id": f"m-{n}",
        "gym_id": gym,
        "clip_id": f"clip-{n}",
        "key": f"{n:064}",
        "made_by": {},
        "document": "",
    }
    of_set = {"id": n + 1, **owned, "measurement_id": f"m-{n}", "clip_id": f"clip-{n}"}
    of_set |= {"n": 1, "start": 1.0, "end": 39.0, "verdict": "met"}
    common = {
        **owned,
        "clip_id": f"clip-{n}",
        "set_id": n + 1,
        "kind": "rep",
        "done": done,
        "week": week_of(done, "UTC"),
    }
    common |= {"changed": changed, "movement": movement, "variant": f"{movement}, slow", "status": "whole"}
    return clip, measurement, of_set, [_effort(common, r, chance) for r in range(REPS)]


def _effort(common: dict[str, Any], n: int, chance: random.Random) -> dict[str, Any]:
    lowering = chance.uniform(1.5, 5.0)
    return common | {
        "n": n + 1,
        "start": 4.5 * n,
        "end": 4.5 * n + 4,
        "lowering_s": lowering,
        "lowering_u95": 0.08,
        "bottom_pause_s": 0.6,
        "bottom_pause_u95": 0.08,
        "raising_s": 1.1,
        "raising_u95": 0.08,
        "top_pause_s": 0.4 if n else None,
        "top_pause_u95": 0.08 if n else None,
        "body_angle_deg": chance.gauss(8, 2),
        "body_angle_u95": 1.5,
        "verdict": chance.choices(("met", "missed", "unsure"), (0.75, 0.1, 0.15))[0],
    }


def _timed(database: Database, question: Question, repeats: int) -> Answer:
    chance = random.Random(4)
    taken, rows = [], []
    for _ in range(repeats):
        with database.session() as session:
            start = perf_counter()
            rows.append(question.ask(session, chance))
            taken.append(1000 * (perf_counter() - start))
    return Answer(question.words, float(np.mean(rows)), tuple(taken))


def _somebody(chance: random.Random) -> tuple[str, str]:
    gym = chance.randrange(GYMS)
    return f"gym-{gym}", f"athlete-{gym}-{chance.randrange(ATHLETES)}"


def _year(session: Session, chance: random.Random) -> int:
    gym, athlete = _somebody(chance)
    return len(tempo(session, gym, Filter(athlete_id=athlete, since=BEGIN, until=BEGIN + YEAR), limit=None).rows)


def _any_page(session: Session, chance: random.Random) -> int:
    gym, _ = _somebody(chance)
    after = Place(BEGIN + YEAR * chance.random(), 0).cursor()
    return len(efforts(session, gym, Filter(), after=after, limit=100).rows)


def _rare_page(session: Session, chance: random.Random) -> int:
    gym, _ = _somebody(chance)
    asked = Filter(movement="muscle-up", verdict="missed")
    return len(efforts(session, gym, asked, limit=100, newest_first=True).rows)


def _to_rule_on(session: Session, chance: random.Random) -> int:
    gym, _ = _somebody(chance)
    return len(efforts(session, gym, Filter(verdict="unsure", ruling="none"), limit=100, newest_first=True).rows)


def _changes(session: Session, chance: random.Random) -> int:
    gym, _ = _somebody(chance)
    latest = session.scalars(select(Gym.changes).where(Gym.id == gym)).one()
    since = Seen("h", chance.randrange(max(1, latest - 60))).cursor()
    return len(changes(session, gym, since, limit=500).efforts)


def _sums_of_one(session: Session, chance: random.Random) -> int:
    gym, athlete = _somebody(chance)
    return len(summary(session, gym, Filter(athlete_id=athlete)))


def _sums_of_all(session: Session, chance: random.Random) -> int:
    gym, _ = _somebody(chance)
    since = BEGIN + (YEAR - timedelta(weeks=12)) * chance.random()
    return len(summary(session, gym, Filter(since=since, until=since + timedelta(weeks=12))))


QUESTIONS: Final = (
    Question("an athlete's year as tempo rows", _year),
    Question("a page of a gym's efforts", _any_page),
    Question("the newest page of a rare movement's missed reps", _rare_page),
    Question("the newest page of reps to rule on", _to_rule_on),
    Question("what changed since, 500 rows", _changes),
    Question("sums of an athlete's year", _sums_of_one),
    Question("sums of a gym's twelve weeks", _sums_of_all),
)
