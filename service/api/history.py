"""An athlete's sessions, as the rules of a path take them, from what is on record."""

from collections import defaultdict
from datetime import date

from sqlalchemy import select
from sqlalchemy.orm import Session as Records

from models.document import VerdictWord
from models.errors import BadInput
from models.path import History, Session
from models.path.history import Clearance
from models.prescription import Prescription, parse_prescription
from models.verdict import set_verdict
from service.records import Clip, Effort, Measurement, PainReport, Person, PrescriptionVersion, SetRow

RULED: dict[str, VerdictWord] = {"met": "met", "missed": "missed"}
"""A coach's ruling counts in place of the machine's verdict; other rulings take the rep out."""


def history_of(records: Records, person: Person) -> History:
    """Each day's sets of one version of a prescription are a session. What was filmed without a prescription is none."""
    plans: dict[str, Prescription | None] = {}
    sessions: dict[tuple[date, str], list[VerdictWord]] = defaultdict(list)
    for row, clip, version in records.execute(
        select(SetRow, Clip, PrescriptionVersion)
        .join(Measurement, Measurement.id == SetRow.measurement_id)
        .join(Clip, Clip.id == SetRow.clip_id)
        .join(PrescriptionVersion, PrescriptionVersion.id == Measurement.prescription_version_id)
        .where(SetRow.athlete_id == person.id, Measurement.current)
        .order_by(SetRow.id)
    ):
        plan = plans.setdefault(version.id, _plan(version))
        if plan is not None:
            day = (clip.filmed or clip.arrived).date()
            sessions[day, version.id].append(_verdict(records, row, plan))
    pains = _pain(records, person)
    hurt = {report.made.date() for report in pains}
    told = [
        Session(date=day, prescription=plan, sets=tuple(sets), pain=day in hurt)
        for (day, version_id), sets in sorted(sessions.items())
        if (plan := plans[version_id]) is not None
    ]
    cleared = [Clearance(date=report.cleared.date(), by="a coach") for report in pains if report.cleared]
    return History(sessions=tuple(told), cleared=tuple(cleared))


def uncleared_pain(records: Records, person: Person) -> str | None:
    """Why no step up is offered, if a report of pain is still open."""
    open_ = [report for report in _pain(records, person) if report.cleared is None]
    if not open_:
        return None
    return f"pain was reported on {max(report.made for report in open_).date()}, and nobody has cleared it since"


def _pain(records: Records, person: Person) -> list[PainReport]:
    return list(records.scalars(select(PainReport).where(PainReport.athlete_id == person.id)))


def _plan(version: PrescriptionVersion) -> Prescription | None:
    """What was prescribed; None where the catalogue no longer has it."""
    try:
        return parse_prescription(version.text.encode(), "the prescription")
    except BadInput:
        return None


def _verdict(records: Records, row: SetRow, plan: Prescription) -> VerdictWord:
    """Of a set, with what a coach ruled on its reps or holds."""
    efforts = list(records.scalars(select(Effort).where(Effort.set_id == row.id)))
    if not any(effort.ruling for effort in efforts):
        return row.verdict or "unsure"
    counted = [
        effort for effort in efforts if effort.kind == "hold" or effort.status == "whole" or effort.ruling == "met"
    ]
    verdicts = [_ruled(effort) for effort in counted]
    return set_verdict(verdicts, plan.reps or 1)


def _ruled(effort: Effort) -> VerdictWord | None:
    return effort.verdict if effort.ruling is None else RULED.get(effort.ruling)
