"""What a program tool asks, of two gyms whose every effort is known."""

from collections.abc import Iterator
from datetime import UTC, date, datetime, timedelta
from itertools import product

import pytest
from sqlalchemy import Row, delete, select
from sqlalchemy.orm import Session

from models.document import Document
from service.records import Clip, Effort, Person, PrescriptionVersion, SetRow, new_id
from service.records.asking import Filter, changes, efforts, summary, tempo
from service.records.changing import begin_history, next_change, tell_deleted
from service.records.cursors import CursorError, CursorGone
from service.records.database import Database
from service.records.keeping import keep_measurement
from service.records.ruling import rule
from tests.by_hand import plank, push_ups
from tests.service.records.gym import Made, add_clip, make_gym

FIRST = datetime(2026, 3, 2, 9, tzinfo=UTC)
"""A Monday."""


@pytest.fixture
def session(shared_database: Database) -> Iterator[Session]:
    """What a test writes is rolled back."""
    with Session(shared_database.engine, expire_on_commit=False) as opened:
        yield opened


@pytest.fixture(scope="module")
def made(shared_database: Database) -> Made:
    """Three push-ups on each of ten days, a plank on the eleventh; push-ups in another gym too."""
    with shared_database.session() as session:
        gym = make_gym(session)
        version = session.get_one(PrescriptionVersion, gym.version)
        for day in range(10):
            add(session, gym, push_ups(), day, version)
        add(session, gym, plank(), 10, None)
        add(session, make_gym(session, "Canal Rings"), push_ups(), 0, None)
    return gym


def add(session: Session, gym: Made, document: Document, day: int, version: PrescriptionVersion | None = None) -> Clip:
    clip = add_clip(session, gym.gym, gym.athlete, FIRST + timedelta(days=day))
    keep_measurement(session, clip, version, document)
    return clip


def asked(session: Session, made: Made, **filters: object) -> list[Row[tuple[object, ...]]]:
    return list(efforts(session, made.gym, Filter(**filters), limit=None).rows)  # type: ignore[arg-type]


def test_only_the_own_gym_answers(session: Session, made: Made) -> None:
    found = asked(session, made)
    assert len(found) == 31
    assert {row.gym_id for row in found} == {made.gym}
    assert not asked(
        session, made, athlete_id=session.scalars(select(Person.id).where(Person.gym_id != made.gym)).first()
    )


def test_filters(session: Session, made: Made) -> None:
    cases: list[tuple[dict[str, object], int]] = [
        ({"kind": "rep"}, 30),
        ({"kind": "hold"}, 1),
        ({"movement": "push-up"}, 31),
        ({"movement": "dip"}, 0),
        ({"variant": "push-up, slow"}, 30),
        ({"verdict": "met"}, 20),
        ({"verdict": "missed"}, 10),
        ({"verdict": "unsure"}, 0),
        ({"verdict": "none"}, 1),
        ({"ruling": "none"}, 31),
        ({"ruling": "met"}, 0),
        ({"since": FIRST + timedelta(days=9)}, 4),
        ({"until": FIRST + timedelta(days=1)}, 3),
        ({"since": FIRST, "until": FIRST}, 0),
        ({"since": datetime.fromisoformat("2026-03-11T10:30+02:00")}, 4),
        ({"verdict": "missed", "since": FIRST + timedelta(days=5)}, 5),
    ]
    for filters, count in cases:
        assert len(asked(session, made, **filters)) == count, filters


def test_pages_hold_everything_once_and_in_order(session: Session, made: Made) -> None:
    """Three efforts share each moment, so that pages end between equals."""
    for limit, newest_first in product([1, 7, 31, 100], [False, True]):
        found: list[tuple[datetime, int]] = []
        after, pages = None, 0
        while pages == 0 or after:
            page = efforts(session, made.gym, Filter(), after=after, limit=limit, newest_first=newest_first)
            assert len(page.rows) <= limit
            found += [(row.done, row.id) for row in page.rows]
            after, pages = page.next, pages + 1
        assert found == sorted(set(found), reverse=newest_first)
        assert len(found) == 31
        assert pages == -(-31 // limit)


def test_a_page_is_not_disturbed_by_what_comes_before_it(session: Session, made: Made) -> None:
    first = efforts(session, made.gym, Filter(), limit=10)
    add(session, made, push_ups(), -3)
    second = efforts(session, made.gym, Filter(), after=first.next, limit=100)
    assert not {row.id for row in first.rows} & {row.id for row in second.rows}
    assert len(second.rows) == 21


def test_what_is_no_cursor_is_refused_in_one_line(session: Session) -> None:
    gym = make_gym(session).gym
    for cursor in ("", "x", "%%%", "é", "MjAyNiAx", "YmFuYW5hIDE", "MjAyNi0wMy0wMiAx", "A" * 1000):
        with pytest.raises(CursorError, match="begin again without one"):
            efforts(session, gym, Filter(), after=cursor)
        with pytest.raises(CursorError, match="begin again without one"):
            changes(session, gym, cursor)


def test_tempo_is_of_reps_with_their_uncertainty(session: Session, made: Made) -> None:
    page = tempo(session, made.gym, Filter(athlete_id=made.athlete))
    assert len(page.rows) == 30
    row = page.rows[1]
    assert (row.lowering_s, row.lowering_u95, row.bottom_pause_s, row.raising_s, row.top_pause_s) == (
        3,
        0.08,
        0.5,
        1,
        0.5,
    )
    assert (row.done, row.n, row.status, row.verdict, row.ruling) == (FIRST, 2, "whole", "met", None)


def test_what_was_measured_before_is_not_told(session: Session, made: Made) -> None:
    clip = session.scalars(select(Clip).where(Clip.gym_id == made.gym).order_by(Clip.filmed)).first()
    assert clip is not None
    before = {row.id for row in asked(session, made, until=FIRST + timedelta(days=1))}
    keep_measurement(session, clip, None, push_ups())
    after = {row.id for row in asked(session, made, until=FIRST + timedelta(days=1))}
    assert len(after) == 3
    assert not before & after


def test_sums_by_athlete_movement_and_week(session: Session, made: Made) -> None:
    first, second = summary(session, made.gym, Filter())
    assert (first.athlete_id, first.movement, first.week) == (made.athlete, "push-up", date(2026, 3, 2))
    assert (first.reps, first.holds, first.met, first.missed, first.unsure) == (21, 0, 14, 7, 0)
    assert first.lowering_s == pytest.approx((3 + 3 + 2) / 3)
    assert first.body_angle_deg == pytest.approx(6)
    assert first.still_s is None
    assert (second.week, second.reps, second.holds, second.still_s) == (date(2026, 3, 9), 9, 1, 8)
    assert second.body_angle_deg == pytest.approx((9 * 6 + 17) / 10)


def test_sums_follow_filters_and_rulings(session: Session, made: Made) -> None:
    day = asked(session, made, until=FIRST + timedelta(days=1))
    clip = session.get_one(Clip, str(day[0].clip_id))
    rule(session, clip, "not a rep", coach_id=made.coach, effort_id=day[0].id)
    rule(session, clip, "missed", coach_id=made.coach, effort_id=day[1].id)
    session.execute(select(Effort).where(Effort.id == day[2].id)).scalar_one().status = "short"
    session.flush()
    (only,) = summary(session, made.gym, Filter(until=FIRST + timedelta(days=1)))
    assert (only.reps, only.met, only.missed, only.ruled_met, only.ruled_missed) == (1, 1, 0, 0, 1)


def test_changes_tell_everything_to_who_knows_nothing(session: Session, made: Made) -> None:
    told = changes(session, made.gym)
    assert len(told.efforts) == 31
    assert not told.missing
    assert not told.deleted
    assert not told.more
    again = changes(session, made.gym, told.next)
    assert (list(again.efforts), list(again.deleted), again.next) == ([], [], told.next)


def test_changes_come_whole_and_nothing_is_missed(session: Session, made: Made) -> None:
    """Ten changes of three rows, one of one: asked for four rows, a page has two changes."""
    sizes, seen, since, more = [], [], None, True
    while more:
        told = changes(session, made.gym, since, limit=4)
        sizes.append(len(told.efforts))
        seen += [row.id for row in told.efforts]
        since, more = told.next, told.more
    assert sizes == [6, 6, 6, 6, 6, 1]
    assert len(set(seen)) == 31


def test_changes_tell_of_measuring_again(session: Session, made: Made) -> None:
    known = changes(session, made.gym).next
    clip = session.scalars(select(Clip).where(Clip.gym_id == made.gym).order_by(Clip.filmed)).first()
    assert clip is not None
    keep_measurement(session, clip, None, push_ups())
    told = changes(session, made.gym, known)
    assert [row.current for row in told.efforts] == [False] * 3 + [True] * 3
    assert {row.clip_id for row in told.efforts} == {clip.id}


def test_changes_tell_of_rulings_and_of_reps_that_were_not_found(session: Session, made: Made) -> None:
    known = changes(session, made.gym).next
    row = asked(session, made)[0]
    clip = session.get_one(Clip, str(row.clip_id))
    rule(session, clip, "missed", coach_id=made.coach, effort_id=row.id)
    rule(session, clip, "missing rep", coach_id=made.coach, stretch=(0.1, 0.9))
    told = changes(session, made.gym, known)
    assert [(each.id, each.ruling) for each in told.efforts] == [(row.id, "missed")]
    assert [(each.clip_id, each.start, each.end) for each in told.missing] == [(clip.id, 0.1, 0.9)]


def test_changes_tell_of_what_was_deleted(session: Session, made: Made) -> None:
    known = changes(session, made.gym).next
    clip = session.scalars(select(Clip).where(Clip.gym_id == made.gym)).first()
    assert clip is not None
    tell_deleted(session, made.gym, "clip", clip.id)
    session.execute(delete(Clip).where(Clip.id == clip.id))
    tell_deleted(session, made.gym, "person", made.athlete)
    session.execute(delete(Person).where(Person.id == made.athlete))
    told = changes(session, made.gym, known)
    assert [(each.resource, each.resource_id) for each in told.deleted] == [("clip", clip.id), ("person", made.athlete)]
    assert not told.efforts
    assert not session.scalars(select(SetRow).where(SetRow.gym_id == made.gym)).all()
    assert not changes(session, made.gym).efforts


def test_a_change_without_rows_does_not_keep_a_reader_asking(session: Session, made: Made) -> None:
    known = changes(session, made.gym).next
    next_change(session, made.gym)
    told = changes(session, made.gym, known)
    assert not told.more
    assert told.next != known


def test_another_gyms_changes_are_not_told(session: Session, made: Made) -> None:
    other = make_gym(session, "Quarry Parallettes")
    known = changes(session, other.gym).next
    row = asked(session, made)[0]
    rule(session, session.get_one(Clip, str(row.clip_id)), "met", coach_id=made.coach, effort_id=row.id)
    tell_deleted(session, made.gym, "clip", new_id())
    told = changes(session, other.gym, known)
    assert not told.efforts
    assert not told.deleted
    with pytest.raises(CursorGone):
        changes(session, other.gym, changes(session, made.gym).next)


def test_cursors_from_before_a_restore_are_refused(session: Session, made: Made) -> None:
    known = changes(session, made.gym).next
    begin_history(session)
    session.flush()
    with pytest.raises(CursorGone, match="forget what was read"):
        changes(session, made.gym, known)
    assert len(changes(session, made.gym).efforts) == 31
