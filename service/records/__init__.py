"""The records: everything that is kept in the database."""

from service.records.base import Base, new_id, now
from service.records.clips import Clip, Upload
from service.records.entrance import Factor, Key, Link, Session, Tally
from service.records.gyms import Consent, Gym, Person
from service.records.prescriptions import MovementInUse, Prescription, PrescriptionVersion
from service.records.results import CheckRow, Effort, Measurement, SetRow
from service.records.review import Correction, Note, PainReport, Ruling
from service.records.running import Answered, Audit, Beat, Deleted, Delivery, Webhook

__all__ = [
    "Answered", "Audit", "Base", "Beat", "CheckRow", "Clip", "Consent", "Correction", "Deleted", "Delivery", "Effort", "Factor", "Gym",
    "Key", "Link", "Measurement", "MovementInUse", "Note", "PainReport", "Person", "Prescription", "PrescriptionVersion",
    "Ruling", "Session", "SetRow", "Tally", "Upload", "Webhook", "new_id", "now",
]  # fmt: skip
