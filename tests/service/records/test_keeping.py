"""What was measured is kept once, in columns that say what the document says."""

import json
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, date, datetime
from threading import Barrier

import pytest
from sqlalchemy import delete, func, select
from sqlalchemy.orm import Session

from models.document import Document
from models.quantity import Unmeasured
from service.records import CheckRow, Clip, Effort, Gym, Measurement, PrescriptionVersion, SetRow
from service.records.changing import next_change, tell_deleted
from service.records.database import Database
from service.records.keeping import ClipGone, keep_measurement, week_of
from tests.by_hand import plank, push_ups
from tests.models.samples import q
from tests.service.records.gym import Made, add_clip, add_version, make_gym


@pytest.fixture
def made(database: Database) -> Made:
    with database.session() as session:
        return make_gym(session)


def keep(database: Database, made: Made, document: Document, version: str | None = None) -> str:
    with database.session() as session:
        judged_by = session.get_one(PrescriptionVersion, version) if version else None
        return keep_measurement(session, session.get_one(Clip, made.clip), judged_by, document).id


def of_program(document: Document, program: str) -> Document:
    return document.model_copy(update={"made_by": document.made_by.model_copy(update={"program": program})})


def efforts(session: Session) -> Sequence[Effort]:
    return session.scalars(select(Effort).order_by(Effort.id)).all()


def counts(database: Database) -> dict[str, int]:
    with database.session() as session:
        tables = (Measurement, SetRow, Effort, CheckRow)
        return {t.__tablename__: session.scalar(select(func.count()).select_from(t)) or 0 for t in tables}


def test_every_rep_is_kept_with_its_values_and_its_checks(database: Database, made: Made) -> None:
    keep(database, made, push_ups(), made.version)
    with database.session() as session:
        first, second, third = efforts(session)
        assert (first.lowering_s, first.lowering_u95) == (3.0, 0.08)
        assert (first.bottom_pause_s, first.raising_s, first.raising_u95) == (0.5, 1.0, 0.08)
        assert (first.top_pause_s, first.top_pause_u95) == (None, None), "the first rep's top pause has only a reason"
        assert second.top_pause_s == 0.5
        assert (first.body_angle_deg, first.body_angle_u95) == (6.0, 1.5), "where the arms are bent"
        assert [rep.verdict for rep in (first, second, third)] == ["met", "met", "missed"]
        assert (third.kind, third.status, third.n, third.start, third.end) == ("rep", "whole", 3, 11.0, 14.5)
        assert (third.movement, third.variant, third.ruling) == ("push-up", "push-up, slow", None)
        assert (third.done, third.week) == (datetime(2026, 3, 4, 18, 30, tzinfo=UTC), date(2026, 3, 2))
        assert (third.gym_id, third.athlete_id, third.clip_id) == (made.gym, made.athlete, made.clip)
        assert third.still_s is third.sway_mm is None
        checks = session.scalars(select(CheckRow).where(CheckRow.effort_id == third.id).order_by(CheckRow.id)).all()
        assert [(c.name, c.verdict, c.p, c.value, c.u95, c.unit, c.low, c.high) for c in checks] == [
            ("bent elbow", "met", 1.0, 2.0, 0.08, "s", 2.5, None),
            ("lowering", "missed", 0.0, 2.0, 0.08, "s", 2.5, None),
        ]
        row = session.scalars(select(SetRow)).one()
        assert (row.n, row.start, row.end, row.verdict, row.clip_id) == (1, 1.0, 14.5, "missed", made.clip)
        own = session.scalars(select(CheckRow).where(CheckRow.effort_id.is_(None))).one()
        assert (own.name, own.set_id) == ("reps", row.id)


def test_a_hold_is_kept_beside_reps(database: Database, made: Made) -> None:
    keep(database, made, plank())
    with database.session() as session:
        (hold,) = efforts(session)
        assert (hold.kind, hold.status, hold.still_s, hold.still_u95) == ("hold", None, 8.0, 0.1)
        assert (hold.sway_mm, hold.sway_u95, hold.body_angle_deg) == (3.1, 0.6, 17.0)
        assert (hold.lowering_s, hold.verdict, hold.variant) == (None, None, None)


def test_sway_in_percent_of_height_is_not_taken_for_millimetres(database: Database, made: Made) -> None:
    document = plank()
    (only,) = document.sets
    sway = only.holds[0].sway.model_copy(update={"along_floor": q(0.3, 0.1, "% of height")})
    hold = only.holds[0].model_copy(update={"sway": sway})
    keep(database, made, document.model_copy(update={"sets": (only.model_copy(update={"holds": (hold,)}),)}))
    with database.session() as session:
        (found,) = efforts(session)
        assert found.sway_mm is found.sway_u95 is None
        assert found.still_s == 8.0


def test_lean_stands_in_for_the_body_angle(database: Database, made: Made) -> None:
    document = plank()
    (only,) = document.sets
    posture = only.holds[0].posture.model_copy(update={"body": None, "lean": q(-3, 1, "deg")})
    hold = only.holds[0].model_copy(update={"posture": posture, "still": Unmeasured(reason="too short")})
    keep(database, made, document.model_copy(update={"sets": (only.model_copy(update={"holds": (hold,)}),)}))
    with database.session() as session:
        (found,) = efforts(session)
        assert (found.body_angle_deg, found.still_s, found.still_u95) == (-3, None, None)


def test_a_clip_in_which_nothing_was_found_is_measured_too(database: Database, made: Made) -> None:
    keep(database, made, push_ups().model_copy(update={"sets": ()}))
    assert counts(database) == {"measurement": 1, "set": 0, "effort": 0, "check": 0}


def test_the_document_comes_back_as_it_was(database: Database, made: Made) -> None:
    keep(database, made, push_ups(), made.version)
    with database.session() as session:
        kept = session.scalars(select(Measurement)).one()
        assert Document.model_validate_json(kept.document) == push_ups()
        assert kept.made_by == json.loads(kept.document)["made_by"]


@pytest.mark.parametrize("judged", [True, False])
def test_the_same_is_kept_once(database: Database, made: Made, judged: bool) -> None:
    version = made.version if judged else None
    once = keep(database, made, push_ups(judged=judged), version)
    before = counts(database)
    assert keep(database, made, push_ups(judged=judged), version) == once
    assert counts(database) == before
    with database.session() as session:
        assert session.get_one(Gym, made.gym).changes == 1, "nothing changed the second time"


@pytest.mark.parametrize("judged", [True, False])
def test_two_writers_at_once_keep_it_once(database: Database, made: Made, judged: bool) -> None:
    """Both look, see nothing, and go on: the second finds out when it is let in."""
    ready = Barrier(2)
    version = made.version if judged else None

    def write() -> str:
        with database.session() as session:
            clip = session.get_one(Clip, made.clip)
            judged_by = session.get_one(PrescriptionVersion, version) if version else None
            ready.wait(10)
            return keep_measurement(session, clip, judged_by, push_ups(judged=judged)).id

    with ThreadPoolExecutor(2) as pool:
        one, other = (future.result(30) for future in [pool.submit(write), pool.submit(write)])
    assert one == other
    assert counts(database) == {"measurement": 1, "set": 1, "effort": 3, "check": 5 if judged else 0}


def test_two_writers_of_different_measurements_leave_one_current(database: Database, made: Made) -> None:
    ready = Barrier(2)

    def write(program: str) -> str:
        with database.session() as session:
            clip = session.get_one(Clip, made.clip)
            ready.wait(10)
            return keep_measurement(session, clip, None, of_program(push_ups(), program)).id

    with ThreadPoolExecutor(2) as pool:
        both = {future.result(30) for future in [pool.submit(write, "1"), pool.submit(write, "2")]}
    assert len(both) == 2
    with database.session() as session:
        current = session.scalars(select(Measurement).where(Measurement.current)).one()
        current_sets = set(session.scalars(select(SetRow.id).where(SetRow.measurement_id == current.id)))
        assert {effort.set_id for effort in efforts(session) if effort.current} == current_sets
        assert len([effort for effort in efforts(session) if effort.current]) == 3


def test_measuring_again_puts_the_newer_in_the_place_of_the_older(database: Database, made: Made) -> None:
    older = keep(database, made, push_ups())
    newer = keep(database, made, of_program(push_ups(), "0.2.0"))
    with database.session() as session:
        assert session.get_one(Measurement, older).current is False
        assert session.get_one(Measurement, newer).current is True
        found = efforts(session)
        assert [effort.current for effort in found] == [False] * 3 + [True] * 3
        assert {effort.changed for effort in found} == {2}, "withdrawn in the same change"


def test_going_back_to_an_earlier_program_makes_its_measurement_current_again(database: Database, made: Made) -> None:
    older = keep(database, made, push_ups())
    keep(database, made, of_program(push_ups(), "0.2.0"))
    assert keep(database, made, push_ups()) == older
    with database.session() as session:
        assert session.scalars(select(Measurement.id).where(Measurement.current)).all() == [older]
        assert [effort.current for effort in efforts(session)] == [True] * 3 + [False] * 3
        assert {effort.changed for effort in efforts(session)} == {3}


def test_another_version_or_movement_is_another_measurement(database: Database, made: Made) -> None:
    with database.session() as session:
        other = add_version(session, made.gym, made.athlete, "push-up, hands raised").id
    document = push_ups()
    kept = [
        keep(database, made, document, made.version),
        keep(database, made, document, other),
        keep(database, made, document),
        keep(database, made, document.model_copy(update={"movement": "dip"})),
    ]
    assert len(set(kept)) == 4


def test_measurements_outlive_their_prescription(database: Database, made: Made) -> None:
    """Both would then be of no version; neither may stand in the other's way."""
    keep(database, made, push_ups(), made.version)
    keep(database, made, push_ups())
    with database.session() as session:
        session.execute(delete(PrescriptionVersion))
        assert session.scalar(select(func.count()).select_from(Measurement)) == 2


def test_a_clip_deleted_meanwhile_leaves_nothing(database: Database, made: Made) -> None:
    with database.session() as session:
        clip = session.get_one(Clip, made.clip)
    with database.session() as session:
        tell_deleted(session, made.gym, "clip", made.clip)
        session.execute(delete(Clip))
    with database.session() as session, pytest.raises(ClipGone, match="was deleted"):
        keep_measurement(session, clip, None, push_ups())
    assert set(counts(database).values()) == {0}


def test_other_clips_and_other_gyms_are_left_alone(database: Database, made: Made) -> None:
    keep(database, made, push_ups())
    with database.session() as session:
        second = add_clip(session, made.gym, made.athlete)
        keep_measurement(session, second, None, push_ups())
        elsewhere = make_gym(session, "Canal Rings")
        keep_measurement(session, session.get_one(Clip, elsewhere.clip), None, push_ups())
    with database.session() as session:
        assert [effort.current for effort in efforts(session)] == [True] * 9
        assert [effort.changed for effort in efforts(session)] == [1] * 3 + [2] * 3 + [1] * 3


def test_a_clip_without_a_day_counts_on_that_of_its_arrival(database: Database, made: Made) -> None:
    with database.session() as session:
        clip = add_clip(session, made.gym, made.athlete, filmed=None)
        keep_measurement(session, clip, None, push_ups())
        assert {effort.done for effort in efforts(session)} == {clip.arrived}


@pytest.mark.parametrize(
    ("zone", "week"),
    [("UTC", date(2026, 3, 2)), ("Pacific/Auckland", date(2026, 3, 9)), ("Asia/Tokyo", date(2026, 3, 9))],
)
def test_a_week_begins_on_monday_by_the_gyms_clock(zone: str, week: date) -> None:
    sunday_evening = datetime(2026, 3, 8, 20, 0, tzinfo=UTC)
    assert week_of(sunday_evening, zone) == week


def test_a_change_waits_for_the_one_before_it(database: Database, made: Made) -> None:
    """A number that is seen has none below it still on its way: nobody who reads up to it misses anything."""

    def count() -> int:
        with database.session() as session:
            return next_change(session, made.gym)

    with ThreadPoolExecutor(1) as pool:
        with database.session() as session:
            assert next_change(session, made.gym) == 1
            second = pool.submit(count)
            with pytest.raises(TimeoutError):
                second.result(0.3)
        assert second.result(30) == 2


def test_gyms_do_not_wait_for_each_other_on_postgresql(postgres_database: Database) -> None:
    with postgres_database.session() as session:
        one, other = make_gym(session), make_gym(session, "Canal Rings")
    with postgres_database.session() as first, postgres_database.session() as second:
        assert (next_change(first, one.gym), next_change(second, other.gym)) == (1, 1)
