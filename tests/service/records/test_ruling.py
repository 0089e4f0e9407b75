"""Rulings and corrections stand beside what the machine said."""

from collections.abc import Iterator

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from models.document import Document, Rep
from service.records import Clip, Correction, Effort, Gym, PrescriptionVersion, Ruling
from service.records.database import Database
from service.records.keeping import keep_measurement
from service.records.ruling import RulingError, correct, rule, take_back
from tests.by_hand import push_ups, q
from tests.service.records.gym import Made, add_clip, make_gym


@pytest.fixture
def session(shared_database: Database) -> Iterator[Session]:
    """What a test writes is rolled back."""
    with Session(shared_database.engine, expire_on_commit=False) as opened:
        yield opened


@pytest.fixture(scope="module")
def made(shared_database: Database) -> Made:
    with shared_database.session() as session:
        gym = make_gym(session)
        keep(session, gym, push_ups(), gym.version)
    return gym


def keep(session: Session, made: Made, document: Document, version: str | None) -> None:
    judged_by = session.get_one(PrescriptionVersion, version) if version else None
    keep_measurement(session, session.get_one(Clip, made.clip), judged_by, document)


def current(session: Session) -> list[Effort]:
    asked = select(Effort).where(Effort.current).order_by(Effort.id)
    return list(session.scalars(asked, execution_options={"populate_existing": True}))


def later_program(document: Document, shift: float, program: str = "0.2.0") -> Document:
    """Measured by a later program, which puts every rep a little later."""
    (only,) = document.sets
    reps = tuple(_shifted(rep, shift) for rep in only.reps)
    made_by = document.made_by.model_copy(update={"program": program})
    return document.model_copy(update={"made_by": made_by, "sets": (only.model_copy(update={"reps": reps}),)})


def _shifted(rep: Rep, shift: float) -> Rep:
    strokes = {
        name: stroke and stroke.model_copy(update={"start": stroke.start + shift, "end": stroke.end + shift})
        for name, stroke in (("lowering", rep.lowering), ("raising", rep.raising))
    }
    return rep.model_copy(update={"start": rep.start + shift, "end": rep.end + shift, **strokes})


def test_the_newest_ruling_counts_and_the_earlier_stays(session: Session, made: Made) -> None:
    third = current(session)[2]
    clip = session.get_one(Clip, made.clip)
    rule(
        session, clip, "film again", coach_id=made.coach, effort_id=third.id, note="feet hidden", blind=True, chance=0.2
    )
    newest = rule(session, clip, "met", coach_id=made.coach, effort_id=third.id)
    third = current(session)[2]
    assert (third.ruling, third.verdict) == ("met", "missed"), "the machine's verdict stays"
    assert third.changed == newest.changed == session.get_one(Gym, made.gym, populate_existing=True).changes == 3
    kept = session.scalars(select(Ruling).order_by(Ruling.changed)).all()
    assert [(each.ruling, each.note, each.blind, each.chance) for each in kept] == [
        ("film again", "feet hidden", True, 0.2),
        ("met", None, False, 1.0),
    ]
    assert {(each.start, each.end, each.coach_id) for each in kept} == {(11.0, 14.5, made.coach)}
    assert [effort.ruling for effort in current(session)] == [None, None, "met"]


def test_a_missing_rep_has_a_stretch_and_no_effort(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    ruling = rule(session, clip, "missing rep", coach_id=made.coach, stretch=(4.6, 5.4))
    assert (ruling.effort_id, ruling.start, ruling.end) == (None, 4.6, 5.4)


def test_a_whole_clip_can_be_filmed_again(session: Session, made: Made) -> None:
    ruling = rule(session, session.get_one(Clip, made.clip), "film again", coach_id=made.coach)
    assert (ruling.effort_id, ruling.start, ruling.end) == (None, None, None)


@pytest.mark.parametrize("stretch", [None, (3.0, 2.0), (-1.0, 2.0), (14.0, 15.1), (2.0, 2.0)])
def test_a_missing_rep_outside_the_clip_is_refused(
    session: Session, made: Made, stretch: tuple[float, float] | None
) -> None:
    with pytest.raises(RulingError, match="missing rep"):
        rule(session, session.get_one(Clip, made.clip), "missing rep", coach_id=made.coach, stretch=stretch)


def test_rulings_need_a_rep_of_this_clip(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    other = add_clip(session, made.gym, made.athlete)
    effort = current(session)[0].id
    with pytest.raises(RulingError, match=f"no rep or hold {effort}"):
        rule(session, other, "met", coach_id=made.coach, effort_id=effort)
    with pytest.raises(RulingError, match="say which rep or hold is ruled 'met'"):
        rule(session, clip, "met", coach_id=made.coach)
    with pytest.raises(RulingError, match="no rep that was found"):
        rule(session, clip, "missing rep", coach_id=made.coach, effort_id=effort, stretch=(1, 2))


def test_a_ruling_outlasts_measuring_again(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    rule(session, clip, "missed", coach_id=made.coach, effort_id=current(session)[1].id)
    rule(session, clip, "met", coach_id=made.coach, effort_id=current(session)[1].id)
    keep(session, made, later_program(push_ups(), 0.4), made.version)
    assert [effort.ruling for effort in current(session)] == [None, "met", None]


def test_a_ruling_is_not_carried_to_another_stretch(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    rule(session, clip, "met", coach_id=made.coach, effort_id=current(session)[1].id)
    keep(session, made, later_program(push_ups(), 2.4), made.version)
    assert [effort.ruling for effort in current(session)] == [None, None, None]


def test_a_ruling_is_not_carried_to_another_prescription(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    rule(session, clip, "met", coach_id=made.coach, effort_id=current(session)[1].id)
    keep(session, made, push_ups(judged=False), None)
    assert [effort.ruling for effort in current(session)] == [None, None, None]


def test_a_correction_stands_beside_the_machines_value(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    effort = current(session)[2]
    correct(session, clip, effort.id, {"lowering_start": 10.9}, {"lowering": q(2.1, 0.1, "s")}, coach_id=made.coach)
    correct(session, clip, effort.id, {"lowering_start": 10.5}, {"lowering": q(2.5, 0.1, "s")}, coach_id=made.coach)
    third = current(session)[2]
    assert third.lowering_s == 2.0
    assert third.corrected == {"lowering": {"value": 2.5, "U95": 0.1, "unit": "s"}}
    assert third.changed == 3
    kept = session.scalars(select(Correction)).all()
    assert sorted(each.boundaries["lowering_start"] for each in kept) == [10.5, 10.9]


def test_a_boundary_outside_the_clip_is_refused(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    with pytest.raises(RulingError, match=r"lowering_start must lie within the clip, from 0 to 15\.00 s"):
        correct(session, clip, current(session)[0].id, {"lowering_start": 15.2}, {}, coach_id=made.coach)


def test_a_correction_outlasts_measuring_again(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    before = current(session)[1]
    for end in (8.2, 8.5):
        put = correct(
            session, clip, before.id, {"lowering.end": end}, {"lowering": q(end - 6, 0.1)}, coach_id=made.coach
        )
    for program in ("0.2.0", "0.3.0"):
        keep(session, made, later_program(push_ups(), 0.4, program), made.version)
    first, now, last = current(session)
    carried = session.scalars(select(Correction).where(Correction.effort_id == now.id)).one()
    assert (first.corrected, last.corrected) == (None, None)
    assert (carried.boundaries, carried.coach_id, carried.made) == ({"lowering.end": 8.5}, made.coach, put.made)
    assert now.corrected == carried.measured
    lowering = now.corrected and now.corrected["lowering"]["value"]
    assert lowering == pytest.approx(8.5 - 6.4), "from the stroke's start as the later program puts it"


def test_a_correction_that_the_strokes_no_longer_allow_is_not_carried(session: Session, made: Made) -> None:
    clip = session.get_one(Clip, made.clip)
    correct(
        session, clip, current(session)[1].id, {"lowering.end": 6.2}, {"lowering": q(0.2, 0.1)}, coach_id=made.coach
    )
    keep(session, made, later_program(push_ups(), 0.4), made.version)
    assert [effort.corrected for effort in current(session)] == [None, None, None]


def test_taking_a_ruling_back_reaches_the_measurement_that_it_was_carried_to(session: Session, made: Made) -> None:
    clip, before = session.get_one(Clip, made.clip), current(session)[1]
    rule(session, clip, "missed", coach_id=made.coach, effort_id=before.id)
    slip = rule(session, clip, "met", coach_id=made.coach, effort_id=before.id)
    keep(session, made, later_program(push_ups(), 0.4), made.version)
    take_back(session, slip)
    changes = session.get_one(Gym, made.gym, populate_existing=True).changes
    assert [(effort.ruling, effort.changed == changes) for effort in current(session)] == [
        (None, False), ("missed", True), (None, False),
    ]  # fmt: skip
    assert session.get_one(Effort, before.id).ruling == "missed"
